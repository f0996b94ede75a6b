// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/proud_bodies.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "effect/sanded_lure.h"
#include "water/near_pose.h"

namespace trueblank::effect {
namespace {

using geometry::Vec3;

constexpr double upright_mm = 1e-3;

/// A box whose right face has a grid of vertices.
geometry::TriangleMesh box_with_grid(const std::vector<double>& xs, const std::vector<double>& zs,
                                     double half_width_mm) {
  geometry::TriangleMesh mesh;
  const int nx = static_cast<int>(xs.size());
  const int nz = static_cast<int>(zs.size());
  mesh.positions_mm.resize(3, Eigen::Index{2} * nx * nz);
  std::vector<Eigen::Vector3i> facets;
  const auto vertex = [&](int side, int i, int k) { return (side * nx + i) * nz + k; };
  const auto quad = [&](int a, int b, int c, int d) {
    facets.emplace_back(a, b, c);
    facets.emplace_back(a, c, d);
  };
  for (int side = 0; side < 2; ++side) {
    for (int i = 0; i < nx; ++i) {
      for (int k = 0; k < nz; ++k) {
        mesh.positions_mm.col(vertex(side, i, k)) =
            Vec3(xs[static_cast<std::size_t>(i)], side == 0 ? -half_width_mm : half_width_mm,
                 zs[static_cast<std::size_t>(k)]);
      }
    }
  }
  for (int i = 0; i + 1 < nx; ++i) {
    for (int k = 0; k + 1 < nz; ++k) {
      quad(vertex(1, i, k), vertex(1, i, k + 1), vertex(1, i + 1, k + 1), vertex(1, i + 1, k));
      quad(vertex(0, i, k), vertex(0, i + 1, k), vertex(0, i + 1, k + 1), vertex(0, i, k + 1));
    }
    quad(vertex(0, i, 0), vertex(1, i, 0), vertex(1, i + 1, 0), vertex(0, i + 1, 0));
    quad(vertex(0, i, nz - 1), vertex(0, i + 1, nz - 1), vertex(1, i + 1, nz - 1),
         vertex(1, i, nz - 1));
  }
  for (int k = 0; k + 1 < nz; ++k) {
    quad(vertex(0, 0, k), vertex(0, 0, k + 1), vertex(1, 0, k + 1), vertex(1, 0, k));
    quad(vertex(0, nx - 1, k), vertex(1, nx - 1, k), vertex(1, nx - 1, k + 1),
         vertex(0, nx - 1, k + 1));
  }
  mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size()));
  for (std::size_t f = 0; f < facets.size(); ++f) {
    mesh.facets.col(static_cast<Eigen::Index>(f)) = facets[f];
  }
  return mesh;
}

water::RestPose pose_from_back_up(const water::Floater& lure) {
  const std::optional<water::RestPose> pose = water::pose_near(lure, Vec3::UnitZ());
  if (!pose) throw std::runtime_error("the test's lure has no pose near back up");
  return *pose;
}

}  // namespace

ProudBody bar_with_pad(double thick_mm, double middle_z_mm) {
  const std::vector<double> xs = {-60, -10 - upright_mm, -10, 10, 10 + upright_mm, 60};
  const double low = middle_z_mm - 5;
  const double high = middle_z_mm + 5;
  const std::vector<double> zs = {-20, low - upright_mm, low, high, high + upright_mm, 20};
  ProudBody body{.mesh = box_with_grid(xs, zs, 10 - thick_mm / 2),
                 .sanded_mm = {},
                 .patch_of_vertex = {},
                 .patches = 1};
  body.sanded_mm = body.mesh.positions_mm;
  for (int v = 0; v < body.mesh.vertex_count(); ++v) {
    auto p = body.mesh.positions_mm.col(v);
    const bool in_pad = p.y() > 0 && std::abs(p.x()) <= 10 && p.z() >= low && p.z() <= high;
    if (in_pad) p.y() += thick_mm;
    body.patch_of_vertex.push_back(in_pad ? 0 : -1);
  }
  return body;
}

std::optional<double> flank_y_mm(const SemiAxes& axes, double x_mm, double z_mm) {
  const double x = x_mm / axes.a_mm;
  const double z = z_mm / axes.c_mm;
  const double rest = 1 - x * x - z * z;
  if (rest < 0) return {};
  return axes.b_mm * std::sqrt(rest);
}

std::optional<double> cap_y_mm(const SemiAxes& axes, const CapPlace& cap, double x_mm,
                               double z_mm) {
  const double x = x_mm - cap.x_mm;
  const double z = z_mm - cap.z_mm;
  const double rest = cap.radius_mm * cap.radius_mm - x * x - z * z;
  if (rest < 0) return {};
  const double middle = *flank_y_mm(axes, cap.x_mm, cap.z_mm) + cap.proud_mm - cap.radius_mm;
  return middle + std::sqrt(rest);
}

ProudBody ellipsoid_with_cap(const SemiAxes& axes, const CapPlace& cap, int rings) {
  ProudBody body;
  body.mesh = test_bodies::ellipsoid(axes.a_mm, axes.b_mm, axes.c_mm, rings, rings);
  body.sanded_mm = body.mesh.positions_mm;
  body.patches = 1;
  for (int v = 0; v < body.mesh.vertex_count(); ++v) {
    auto p = body.mesh.positions_mm.col(v);
    const std::optional<double> out = cap_y_mm(axes, cap, p.x(), p.z());
    const bool proud = p.y() > 0 && out && *out > p.y();
    if (proud) p.y() = *out;
    body.patch_of_vertex.push_back(proud ? 0 : -1);
  }
  return body;
}

ProudBody mirrored(const ProudBody& body) {
  ProudBody other = body;
  other.mesh = test_bodies::mirrored_y(body.mesh);
  other.sanded_mm.row(1) *= -1;
  return other;
}

ProudBody both(const ProudBody& one, const ProudBody& other) {
  ProudBody together = one;
  together.patches = one.patches + other.patches;
  for (std::size_t v = 0; v < other.patch_of_vertex.size(); ++v) {
    if (other.patch_of_vertex[v] < 0) continue;
    const auto column = static_cast<Eigen::Index>(v);
    together.mesh.positions_mm.col(column) = other.mesh.positions_mm.col(column);
    together.patch_of_vertex[v] = one.patches + other.patch_of_vertex[v];
  }
  return together;
}

Afloat::Afloat(ProudBody body, double mass_g, const Vec3& centre_of_mass_mm)
    : body_(std::move(body)),
      floater_(water::floating(test_bodies::closed(body_.mesh), mass_g, centre_of_mass_mm)),
      pose_(pose_from_back_up(floater_.lure)) {}

Asymmetry Afloat::asymmetry(std::span<const double> slice_edges_mm) const {
  return {.body = floater_.mesh.get(),
          .sanded_mm = &body_.sanded_mm,
          .patch_of_vertex = body_.patch_of_vertex,
          .patches = body_.patches,
          .slice_edges_mm = slice_edges_mm};
}

Effect Afloat::effect(const WoodDensity& wood, std::span<const double> slice_edges_mm) const {
  const std::optional<Effect> found =
      effect_of(asymmetry(slice_edges_mm), floater_.lure, pose_, wood);
  if (!found) throw std::runtime_error("the test's lure has no list");
  return *found;
}

double Afloat::list_taken_deg(std::span<const int> take, const WoodDensity& wood) const {
  const std::optional<water::RestPose> after =
      pose_when_sanded(asymmetry(), take, floater_.lure, pose_, wood);
  if (!after || !after->list_deg) throw std::runtime_error("the sanded lure has no list");
  return *pose_.list_deg - *after->list_deg;
}

}  // namespace trueblank::effect
