// SPDX-License-Identifier: GPL-3.0-or-later
#include "mirror_water.h"

#include "effect/effect.h"
#include "effect/plan.h"
#include "float_result.h"
#include "rig/assembly.h"
#include "rig/mass_model.h"
#include "water/rest_poses.h"

namespace trueblank::tools {

namespace {

std::optional<effect::Effect> effect_in_first_pose(const effect::ProudSkin& skin,
                                                   const report::MirrorResult& result,
                                                   const geometry::ClosedMesh& wet,
                                                   const water::Floater& lure,
                                                   const effect::WoodDensity& wood,
                                                   const geometry::ParallelFor& loop) {
  const water::Balance balance = water::balance(lure, loop);
  if (balance.poses.empty()) return {};
  std::vector<double> stations;
  for (const symmetry::Station& one : result.stations) stations.push_back(one.section.x_mm);
  const std::vector<double> edges = effect::slice_edges_mm(stations, result.length_mm);
  return effect::effect_of({.body = &wet,
                            .sanded_mm = &skin.sanded_mm,
                            .patch_of_vertex = skin.patch_of_vertex,
                            .patches = static_cast<int>(result.patches.size()),
                            .slice_edges_mm = edges},
                           lure, balance.poses.front(), wood);
}

// Numbers the patches anew, those that change the list most first.
void put_in_order(report::MirrorResult& result, effect::Effect& effect) {
  std::vector<symmetry::Patch> patches;
  std::vector<effect::PartEffect> effects;
  for (const effect::SandingStep& step : effect::sanding_plan(effect).largest_first) {
    const auto old = static_cast<std::size_t>(step.patch);
    const effect::PartEffect& part = effect.patches[old];
    patches.push_back(std::move(result.patches[old]));
    effects.push_back(part);
    // Of halves of unlike weight each patch has its own density.
    symmetry::Patch& patch = patches.back();
    if (part.volume_mm3 > 0) patch.mass_g = patch.volume_mm3 * part.wood_g / part.volume_mm3;
  }
  result.patches = std::move(patches);
  effect.patches = std::move(effects);
}

}  // namespace

void add_water(report::MirrorResult& result, const std::string& sheet_path,
               const sheet::ResolvedRig& resolved, const body::FramedBody& framed,
               const symmetry::Patches& patches, const geometry::ParallelFor& loop) {
  const WetBody wet = wet_body(framed, resolved);
  const water::Floater lure =
      water::floater(wet.tree, rig::rigged(*framed.body, framed.whole, resolved.rig, wet.coated));
  const effect::WoodDensity wood = effect::wood_of(resolved.rig, *result.volumes);
  report::InTheWater water{.sheet = sheet_path,
                           .wood_density_g_cm3 = resolved.rig.wood_density_g_cm3};
  water.effect =
      effect_in_first_pose(effect::proud_skin(wet.skin, patches.labels, patches.to_mirror_mm),
                           result, wet.skin, lure, wood, loop);
  if (water.effect) {
    put_in_order(result, *water.effect);
    water.plan = effect::sanding_plan(*water.effect);
  } else {
    result.warnings.push_back(report::no_effect_without_list(sheet_path));
  }
  result.water = std::move(water);
}

}  // namespace trueblank::tools
