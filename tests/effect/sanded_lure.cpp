// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/sanded_lure.h"

#include <algorithm>
#include <cstddef>
#include <utility>

#include "effect/skin_layer.h"
#include "geometry/moment_tree.h"
#include "water/near_pose.h"

namespace trueblank::effect {
namespace {

Eigen::Matrix3Xd moved_in(const Asymmetry& asymmetry, std::span<const int> take) {
  if (take.empty()) return *asymmetry.sanded_mm;
  Eigen::Matrix3Xd positions = asymmetry.body->positions_mm();
  for (std::size_t v = 0; v < asymmetry.patch_of_vertex.size(); ++v) {
    if (std::find(take.begin(), take.end(), asymmetry.patch_of_vertex[v]) == take.end()) continue;
    const auto column = static_cast<Eigen::Index>(v);
    positions.col(column) = asymmetry.sanded_mm->col(column);
  }
  return positions;
}

}  // namespace

std::optional<water::RestPose> pose_when_sanded(const Asymmetry& asymmetry,
                                                std::span<const int> take,
                                                const water::Floater& lure,
                                                const water::RestPose& pose,
                                                const WoodDensity& wood) {
  geometry::TriangleMesh mesh = asymmetry.body->mesh();
  mesh.positions_mm = moved_in(asymmetry, take);
  const SkinLayer off = skin_layers(*asymmetry.body, mesh.positions_mm,
                                    {.pivot_mm = lure.centre_of_mass_mm, .wood = wood})
                            .whole;
  const std::optional<geometry::ClosedMesh> body = geometry::closed_mesh(std::move(mesh));
  water::Floater sanded = lure;
  sanded.mass_g -= off.wood_g;
  if (!body || !(sanded.mass_g > 0)) return {};
  const geometry::MomentTree tree(*body);
  sanded.body = water::CutBody(&tree);
  sanded.centre_of_mass_mm -= off.wood_moment_g_mm / sanded.mass_g;
  return pose.waterline_offset_mm ? water::pose_followed(sanded, pose)
                                  : water::pose_near(sanded, pose.up);
}

}  // namespace trueblank::effect
