// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/sanding.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cassert>
#include <cstddef>

#include "geometry/compensated_sum.h"
#include "geometry/moments.h"
#include "symmetry/columns.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Vec3;

struct BySide {
  geometry::CompensatedSum left;
  geometry::CompensatedSum right;

  void add(double y_mm, double volume_mm3) { (y_mm < 0 ? left : right).add(volume_mm3); }
};

constexpr double mm3_per_cm3 = 1000;

}  // namespace

Sanding sanding(const ClosedMesh& in_body_frame, std::span<const std::uint8_t> facet_measured,
                const Patches& patches, std::optional<double> wood_density_g_cm3,
                const geometry::ParallelFor& loop) {
  Sanding result;
  const std::size_t vertices = static_cast<std::size_t>(in_body_frame.vertex_count());
  assert(patches.labels.size() == vertices && "patches of this body");
  result.depth_mm.assign(vertices, 0.0);
  BySide sides;
  for (std::size_t v = 0; v < vertices; ++v) {
    if (patches.labels[v] <= 0) continue;
    const Vec3 p = in_body_frame.positions_mm().col(static_cast<Eigen::Index>(v));
    result.depth_mm[v] = patches.deviation_mm[v];
    sides.add(p.y(), patches.volumes_mm3[v]);
    if (result.depth_mm[v] > result.deepest_mm) {
      result.deepest_mm = result.depth_mm[v];
      result.deepest_at_mm = p;
    }
  }
  result.left_mm3 = sides.left.value();
  result.right_mm3 = sides.right.value();
  result.remove_mm3 = result.left_mm3 + result.right_mm3;
  for (const Patch& patch : patches.proud) result.patch_mm3.push_back(patch.volume_mm3);
  result.remove_raw_mm3 = one_sided(in_body_frame, facet_measured, loop).both_mm3();
  result.volume_after_mm3 = geometry::moments(in_body_frame).volume_mm3 - result.remove_mm3;
  if (wood_density_g_cm3) {
    result.remove_g = result.remove_mm3 / mm3_per_cm3 * *wood_density_g_cm3;
    result.mass_after_g = result.volume_after_mm3 / mm3_per_cm3 * *wood_density_g_cm3;
  }
  return result;
}

namespace {

// The sign of the patch that a vertex's mirror image lies in: that of two corners of three.
int sign_opposite(const ClosedMesh& body, const Patches& patches, int facet) {
  if (facet < 0) return 0;
  int proud = 0;
  int shy = 0;
  for (const int corner : body.facets().col(facet)) {
    const int label = patches.labels[static_cast<std::size_t>(corner)];
    proud += label > 0 ? 1 : 0;
    shy += label < 0 ? 1 : 0;
  }
  return proud >= 2 ? 1 : shy >= 2 ? -1 : 0;
}

// Which part of the way to its mirror image each vertex goes: all of it where proud, nothing where
// shy, half where neither is known. What a vertex is, its opposite is not: so the two meet.
double part_of_the_way(int label, int opposite, NoisySkin noisy_skin) {
  if (label > 0) return 1;
  if (label < 0) return 0;
  if (noisy_skin == NoisySkin::left_alone) return 0;
  return opposite > 0 ? 0 : opposite < 0 ? 1 : 0.5;
}

Vec3 twice_area(const ClosedMesh& body, const Eigen::Matrix3Xd& moves, int facet) {
  const auto corners = body.facets().col(facet);
  const Vec3 a = body.corner(facet, 0) + moves.col(corners[0]);
  const Vec3 b = body.corner(facet, 1) + moves.col(corners[1]);
  const Vec3 c = body.corner(facet, 2) + moves.col(corners[2]);
  return (b - a).cross(c - a);
}

// Where a facet would turn over, its corners go half as far, and half of that, until none does.
int hold_back(const ClosedMesh& body, Eigen::Matrix3Xd& moves) {
  constexpr int rounds = 30;
  const Eigen::Matrix3Xd still = Eigen::Matrix3Xd::Zero(3, moves.cols());
  std::vector<std::uint8_t> held(static_cast<std::size_t>(moves.cols()), 0);
  for (int round = 0; round < rounds; ++round) {
    std::vector<std::uint8_t> now(held.size(), 0);
    bool any = false;
    for (int f = 0; f < body.facet_count(); ++f) {
      if (twice_area(body, moves, f).dot(twice_area(body, still, f)) >= 0) continue;
      any = true;
      for (const int corner : body.facets().col(f)) now[static_cast<std::size_t>(corner)] = 1;
    }
    if (!any) break;
    for (std::size_t v = 0; v < now.size(); ++v) {
      if (now[v] == 0) continue;
      held[v] = 1;
      moves.col(static_cast<Eigen::Index>(v)) *= round + 1 < rounds ? 0.5 : 0.0;
    }
  }
  return static_cast<int>(std::count(held.begin(), held.end(), 1));
}

}  // namespace

SandedMesh sanded(const ClosedMesh& in_body_frame, const DeviationField& field,
                  const Patches& patches, NoisySkin noisy_skin) {
  Eigen::Matrix3Xd moves = field.mirror_image_mm - in_body_frame.positions_mm();
  for (std::size_t v = 0; v < patches.labels.size(); ++v) {
    const int opposite = sign_opposite(in_body_frame, patches, field.opposite_facet[v]);
    moves.col(static_cast<Eigen::Index>(v)) *=
        part_of_the_way(patches.labels[v], opposite, noisy_skin);
  }
  SandedMesh result;
  result.held_back = hold_back(in_body_frame, moves);
  result.mesh = {in_body_frame.positions_mm() + moves, in_body_frame.facets()};
  return result;
}

}  // namespace trueblank::symmetry
