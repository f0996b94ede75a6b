// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/effect.h"

#include <algorithm>
#include <cstddef>
#include <numeric>

#include "effect/list_response.h"
#include "geometry/cut.h"
#include "geometry/moments.h"

namespace trueblank::effect {
namespace {

constexpr double cm3_per_mm3 = 1e-3;

PartEffect effect_of_layer(const SkinLayer& layer, const ListResponse& response,
                           double water_g_per_mm3) {
  const Vec3 weight = response.weight_factor() * layer.wood_moment_g_mm;
  const Vec3 lift = -water_g_per_mm3 * layer.wet_moment_mm4;
  PartEffect part{.volume_mm3 = layer.volume_mm3, .wet_mm3 = layer.wet_mm3, .wood_g = layer.wood_g};
  part.weight_moment_g_mm = response.turning_moment_g_mm(weight);
  part.lift_moment_g_mm = response.turning_moment_g_mm(lift);
  part.turning_moment_g_mm = part.weight_moment_g_mm + part.lift_moment_g_mm;
  part.list_deg = response.list_deg(weight + lift);
  return part;
}

/// What each side weighs more or less than with their mean density; together nothing, so that the
/// place that levers count from has no say.
HalvesEffect effect_of_halves(const geometry::ClosedMesh& body, const ListResponse& response,
                              const WoodDensity& wood) {
  const geometry::Moments whole = geometry::moments(body);
  const geometry::BelowPlane left = geometry::moments_below(body, geometry::Plane{});
  const double right_mm3 = whole.volume_mm3 - left.volume_mm3;
  const Vec3 right_mm4 = whole.volume_mm3 * whole.centroid_mm - left.first_moment_mm4;
  const double mean =
      (wood.left_g_cm3 * left.volume_mm3 + wood.right_g_cm3 * right_mm3) / whole.volume_mm3;
  const Vec3 pull =
      response.weight_factor() * cm3_per_mm3 *
      ((wood.left_g_cm3 - mean) * left.first_moment_mm4 + (wood.right_g_cm3 - mean) * right_mm4);
  return {.turning_moment_g_mm = response.turning_moment_g_mm(pull),
          .list_deg = response.list_deg(pull)};
}

}  // namespace

WoodDensity wood_of(const rig::Rig& rig, const symmetry::SideVolumes& bare) {
  if (!rig.halves) return {rig.wood_density_g_cm3, rig.wood_density_g_cm3};
  return {rig.halves->left_g / (cm3_per_mm3 * bare.left_mm3),
          rig.halves->right_g / (cm3_per_mm3 * bare.right_mm3)};
}

ProudSkin proud_skin(const geometry::ClosedMesh& body, std::span<const int> labels,
                     const Eigen::Matrix3Xd& to_mirror_mm) {
  ProudSkin skin{.sanded_mm = body.positions_mm(), .patch_of_vertex = {}, .patches = 0};
  skin.patch_of_vertex.reserve(labels.size());
  for (std::size_t v = 0; v < labels.size(); ++v) {
    const int label = std::max(labels[v], 0);
    skin.patch_of_vertex.push_back(label - 1);
    skin.patches = std::max(skin.patches, label);
    const auto column = static_cast<Eigen::Index>(v);
    if (label > 0) skin.sanded_mm.col(column) += to_mirror_mm.col(column);
  }
  return skin;
}

std::optional<Effect> effect_of(const Asymmetry& asymmetry, const water::Floater& lure,
                                const water::RestPose& pose, const WoodDensity& wood) {
  const std::optional<ListResponse> response = ListResponse::of(lure, pose);
  if (!response) return {};
  const SkinLayers layers = skin_layers(*asymmetry.body, *asymmetry.sanded_mm,
                                        {.pivot_mm = response->pivot_mm(),
                                         .surface = response->surface(),
                                         .wood = wood,
                                         .patch_of_vertex = asymmetry.patch_of_vertex,
                                         .patches = asymmetry.patches,
                                         .slice_edges_mm = asymmetry.slice_edges_mm});
  const auto told = [&](const SkinLayer& layer) {
    return effect_of_layer(layer, *response, lure.water_g_per_mm3());
  };
  Effect effect;
  effect.pose_list_deg = *pose.list_deg;
  effect.whole = told(layers.whole);
  effect.elsewhere = told(layers.elsewhere);
  for (const SkinLayer& layer : layers.patches) effect.patches.push_back(told(layer));
  for (const SkinLayer& layer : layers.slices) effect.slices.push_back(told(layer));
  if (wood.left_g_cm3 != wood.right_g_cm3) {
    effect.halves = effect_of_halves(*asymmetry.body, *response, wood);
  }
  return effect;
}

std::vector<double> slice_edges_mm(std::span<const double> stations_mm, double length_mm) {
  if (stations_mm.empty()) return {};
  std::vector<double> edges = {0};
  for (std::size_t i = 0; i + 1 < stations_mm.size(); ++i) {
    edges.push_back(std::midpoint(stations_mm[i], stations_mm[i + 1]));
  }
  edges.push_back(length_mm);
  return edges;
}

}  // namespace trueblank::effect
