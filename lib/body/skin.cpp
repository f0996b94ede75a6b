// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/skin.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/coat.h"
#include "geometry/moments.h"
#include "geometry/shells.h"

namespace trueblank::body {

using geometry::ClosedMesh;
using geometry::TriangleMesh;

namespace {

double volume_mm3(const TriangleMesh& mesh) {
  return geometry::signed_volume_mm3(mesh, mesh.positions_mm.col(0));
}

// Of L² on an even skin, where each vertex has six neighbours and L takes their mean from it: the
// root of the sum of the squares of its weights. The vertex has 1 + 1/6, its six neighbours 5/18
// each, of the twelve around those six 1/18 and six 1/36.
const double even_gain = std::sqrt(49.0 / 36 + 6 * 25.0 / 324 + 6.0 / 324 + 6.0 / 1296);
// Of a normal distribution half lies within this many standard deviations.
constexpr double half_within = 0.6744897501960817;

// For each vertex the mean over its edges of what stands at their other ends, less its own.
template <typename Matrix>
Matrix off_neighbours(const TriangleMesh& mesh, const Matrix& values) {
  Matrix sums = Matrix::Zero(values.rows(), values.cols());
  Eigen::VectorXd edges = Eigen::VectorXd::Zero(values.cols());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const int from = mesh.facets(k, f);
      sums.col(from) += values.col(mesh.facets((k + 1) % 3, f));  // each edge once from either end
      edges(from) += 1;
    }
  }
  for (Eigen::Index v = 0; v < values.cols(); ++v) {
    if (edges(v) > 0) sums.col(v) = sums.col(v) / edges(v) - values.col(v);
  }
  return sums;
}

// Vertices of measured facets, but for edges: where a facet is turned from the vertex's normal by
// more than 40°, which is meant, and noise is not told from it.
std::vector<std::uint8_t> on_smooth_skin(const TriangleMesh& mesh, const Eigen::Matrix3Xd& normals,
                                         const std::vector<std::uint8_t>& facet_measured) {
  constexpr double cos_of_an_edge = 0.766044443118978;  // cos 40°
  std::vector<std::uint8_t> measured(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (!facet_measured.empty() && facet_measured[static_cast<std::size_t>(f)] == 0) continue;
    for (int k = 0; k < 3; ++k) measured[static_cast<std::size_t>(mesh.facets(k, f))] = 1;
  }
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 across =
        (mesh.corner(f, 1) - mesh.corner(f, 0)).cross(mesh.corner(f, 2) - mesh.corner(f, 0));
    for (int k = 0; k < 3; ++k) {
      const int v = mesh.facets(k, f);
      if (normals.col(v).dot(across) < cos_of_an_edge * across.norm()) {
        measured[static_cast<std::size_t>(v)] = 0;
      }
    }
  }
  return measured;
}

}  // namespace

MovableSkin::MovableSkin(const ClosedMesh& body, Cavity cavity)
    : body_(body),
      outer_(geometry::on_outer_skin(body.mesh())),
      normals_(geometry::outward_normals(body)) {
  for (int v = 0; v < body.vertex_count(); ++v) {
    if (outer_[static_cast<std::size_t>(v)] == 0) normals_.col(v).setZero();
  }
  const TriangleMesh skin = outer();
  if (skin.facet_count() < body.facet_count()) {
    cavity_mm3_ = volume_mm3(skin) - volume_mm3(body.mesh());
  }
  flooded_mm3_ = cavity == Cavity::flooded ? cavity_mm3_ : 0;
}

TriangleMesh MovableSkin::moved(double out_mm) const {
  TriangleMesh mesh = body_.mesh();
  mesh.positions_mm += out_mm * normals_;
  return mesh;
}

double MovableSkin::displaced_mm3(double out_mm) const {
  return volume_mm3(moved(out_mm)) + cavity_mm3_ - flooded_mm3_;
}

// The displaced volume is a cubic of the offset: a secant that keeps the answer between its ends
// (the Illinois rule) is there in a few steps.
std::optional<double> MovableSkin::offset_to_displace(double mm3, double least_mm,
                                                      double most_mm) const {
  double low = least_mm;
  double high = most_mm;
  double below = displaced_mm3(low) - mm3;
  double above = displaced_mm3(high) - mm3;
  if (!(below <= 0 && above >= 0)) return {};
  const double rounding = 1e-13 * mm3;
  double at = low;
  int side = 0;
  for (int step = 0; step < 100 && high > low; ++step) {
    at = above > below ? low - below * (high - low) / (above - below) : low;
    const double off = displaced_mm3(at) - mm3;
    if (std::abs(off) <= rounding) break;
    if (off < 0) {
      low = at;
      below = off;
      if (side == -1) above /= 2;
      side = -1;
    } else {
      high = at;
      above = off;
      if (side == 1) below /= 2;
      side = 1;
    }
  }
  return at;
}

TriangleMesh MovableSkin::outer() const { return geometry::facets_over(body_.mesh(), outer_); }

double MovableSkin::outer_area_mm2() const { return geometry::area_mm2(outer()); }

double vertex_noise_mm(const ClosedMesh& body, const std::vector<std::uint8_t>& facet_measured) {
  const TriangleMesh& mesh = body.mesh();
  const Eigen::Matrix3Xd off = off_neighbours(mesh, mesh.positions_mm);
  const Eigen::Matrix3Xd normals = geometry::outward_normals(body);
  const Eigen::RowVectorXd height = off.cwiseProduct(normals).colwise().sum();
  const Eigen::RowVectorXd noise = off_neighbours(mesh, height);
  const std::vector<std::uint8_t> measured = on_smooth_skin(mesh, normals, facet_measured);
  std::vector<double> sizes;
  sizes.reserve(measured.size());
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    if (measured[static_cast<std::size_t>(v)] != 0) sizes.push_back(std::abs(noise(v)));
  }
  if (sizes.empty()) return 0;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return *middle / half_within / even_gain;
}

}  // namespace trueblank::body
