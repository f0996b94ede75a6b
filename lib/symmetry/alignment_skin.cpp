// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_skin.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "geometry/moments.h"

namespace trueblank::symmetry {
namespace {

constexpr int kPoints = 2000;

std::vector<std::uint8_t> touching_made_up(const geometry::TriangleMesh& mesh,
                                           std::span<const std::uint8_t> measured) {
  if (std::find(measured.begin(), measured.end(), 0) == measured.end()) return {};
  std::vector<std::uint8_t> touching(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (measured[static_cast<std::size_t>(f)] != 0) continue;
    for (int k = 0; k < 3; ++k) touching[static_cast<std::size_t>(mesh.facets(k, f))] = 1;
  }
  return touching;
}

}  // namespace

AlignmentSkin::AlignmentSkin(const geometry::TriangleMesh& mesh,
                             std::span<const std::uint8_t> facet_measured,
                             const geometry::ParallelFor& loop)
    : skin_(mesh, facet_measured, loop),
      mesh_(mesh),
      on_rim_(touching_made_up(mesh, facet_measured)) {
  const SkinPoints points = skin_.even(kPoints);
  middle_mm_ = points.positions_mm.rowwise().mean();
  const Eigen::Matrix3Xd off = points.positions_mm.colwise() - middle_mm_;
  const geometry::Principal spread =
      geometry::principal(geometry::Mat3(off * off.transpose() / points.count()));
  axes_.col(0) = spread.axes.col(2);
  axes_.col(1) = spread.axes.col(1);
  axes_.col(2) = -spread.axes.col(0);
  for (int k = 0; k < 3; ++k) spread_mm_[k] = std::sqrt(std::max(0.0, spread.values[2 - k]));
  const Eigen::RowVectorXd along = axes_.col(0).transpose() * off;
  length_mm_ = along.maxCoeff() - along.minCoeff();
}

// On an edge or at a corner all of whose ends are on the rim.
bool AlignmentSkin::lies_on_rim(int facet, const Vec3& place_mm) const {
  const Vec3 a = mesh_.corner(facet, 0);
  const Vec3 one = mesh_.corner(facet, 1) - a;
  const Vec3 other = mesh_.corner(facet, 2) - a;
  const Vec3 area = one.cross(other);
  const double whole = area.squaredNorm();
  if (!(whole > 0)) return true;
  Vec3 shares;
  shares[1] = (place_mm - a).cross(other).dot(area) / whole;
  shares[2] = one.cross(place_mm - a).dot(area) / whole;
  shares[0] = 1 - shares[1] - shares[2];
  constexpr double kNothing = 1e-6;
  int corners = 0;
  for (int k = 0; k < 3; ++k) {
    if (shares[k] < kNothing) continue;
    ++corners;
    if (on_rim_[static_cast<std::size_t>(mesh_.facets(k, facet))] == 0) return false;
  }
  return corners < 3;
}

}  // namespace trueblank::symmetry
