// SPDX-License-Identifier: GPL-3.0-or-later
#include "mirror_water.h"

#include "effect/effect.h"
#include "effect/plan.h"
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

body::BodyHints hints_over_sheet(const body::BodyHints& told, const body::BodyHints& in_sheet) {
  body::BodyHints hints = told;
  // A unit or a length each settle the scale: what the command line has leaves no place for the
  // sheet's.
  if (!told.units && !told.length_mm && !told.dunk) {
    hints.units = in_sheet.units;
    hints.length_mm = in_sheet.length_mm;
  }
  if (!told.dunk) hints.dunk = in_sheet.dunk;
  if (!told.width_mm) hints.width_mm = in_sheet.width_mm;
  if (!told.height_mm) hints.height_mm = in_sheet.height_mm;
  if (!told.nose && !told.nose_point) {
    hints.nose = in_sheet.nose;
    hints.nose_point = in_sheet.nose_point;
  }
  if (!told.back) hints.back = in_sheet.back;
  if (told.mend == intake::Mend::holes) hints.mend = in_sheet.mend;
  if (told.table == intake::Table::unsaid) hints.table = in_sheet.table;
  hints.coat_mm = in_sheet.coat_mm;
  hints.cavity = in_sheet.cavity;
  return hints;
}

geometry::Moments with_its_coat(const body::FramedBody& framed, const geometry::Moments& wet) {
  if (!framed.outer) return wet;
  return rig::with_coat(framed.whole, geometry::moments(*framed.outer), wet);
}

void add_water(report::MirrorResult& result, const std::string& sheet_path,
               const sheet::ResolvedRig& resolved, const body::FramedBody& framed,
               const symmetry::Patches& patches, const geometry::ParallelFor& loop) {
  const geometry::ClosedMesh& wet = resolved.coated ? *resolved.coated : framed.wet();
  const geometry::MomentTree tree(wet);
  const water::Floater lure =
      water::floater(tree, rig::rigged(*framed.body, framed.whole, resolved.rig,
                                       with_its_coat(framed, geometry::moments(wet))));
  const effect::WoodDensity wood = effect::wood_of(resolved.rig, *result.volumes);
  report::InTheWater water{.sheet = sheet_path,
                           .wood_density_g_cm3 = resolved.rig.wood_density_g_cm3};
  water.effect = effect_in_first_pose(effect::proud_skin(wet, patches.labels, patches.to_mirror_mm),
                                      result, wet, lure, wood, loop);
  if (water.effect) {
    put_in_order(result, *water.effect);
    water.plan = effect::sanding_plan(*water.effect);
  } else {
    result.warnings.push_back(report::no_effect_without_list(sheet_path));
  }
  result.water = std::move(water);
}

}  // namespace trueblank::tools
