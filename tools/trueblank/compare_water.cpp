// SPDX-License-Identifier: GPL-3.0-or-later
#include "compare_water.h"

#include "float_result.h"
#include "sheet/resolve_copy.h"
#include "symmetry/nearest_surface.h"

namespace trueblank::tools {

namespace {

effect::RiggedBody rigged(const body::FramedBody& framed, const WetBody& wet, const rig::Rig& rig) {
  return {.bare = *framed.body,
          .whole = framed.whole,
          .wet = wet.skin,
          .coated = wet.coated,
          .cut = &wet.tree,
          .rig = rig};
}

}  // namespace

struct MasterInWater::Rigged {
  Rigged(const sheet::Sheet& its_sheet, const body::FramedBody& its_body,
         const geometry::ParallelFor& loop)
      : sheet(its_sheet),
        framed(its_body),
        resolved(sheet::resolve(its_sheet, its_body)),
        wet(wet_body(its_body, resolved)),
        balance(effect::balance_of(rigged(its_body, wet, resolved.rig), loop)) {}

  const sheet::Sheet& sheet;
  const body::FramedBody& framed;
  sheet::ResolvedRig resolved;
  WetBody wet;
  water::Balance balance;
};

MasterInWater::MasterInWater(const sheet::Sheet& sheet, const body::FramedBody& framed,
                             const geometry::ParallelFor& loop)
    : master_(std::make_unique<Rigged>(sheet, framed, loop)) {}

MasterInWater::~MasterInWater() = default;

const std::vector<std::string>& MasterInWater::warnings() const {
  return master_->resolved.warnings;
}

double MasterInWater::wood_density_g_cm3() const {
  return master_->resolved.rig.wood_density_g_cm3;
}

std::optional<report::CopyInWater> MasterInWater::of(const body::FramedBody& copy,
                                                     std::vector<std::string>& warnings,
                                                     const geometry::ParallelFor& loop) const {
  const sheet::CopyRig rig =
      sheet::resolve_copy(master_->sheet, master_->framed, master_->resolved, copy);
  warnings.insert(warnings.end(), rig.warnings.begin(), rig.warnings.end());
  if (!rig.rig) return {};
  const WetBody wet = wet_body(copy, *rig.rig);
  report::CopyInWater water{
      .wood_density_g_cm3 = rig.wood_density_g_cm3,
      .places_as_in_master = rig.places_as_in_master,
      .effect = effect::copy_effect(rigged(master_->framed, master_->wet, master_->resolved.rig),
                                    master_->balance, rigged(copy, wet, rig.rig->rig), loop)};
  const effect::CopyEffect& effect = water.effect;
  if (effect.master_pose < 0) {
    warnings.push_back(report::no_water_without_pose(master_->sheet.path()));
    return {};
  }
  std::optional<water::RestPose> pose;
  if (effect.copy_pose >= 0) {
    pose = effect.copy.poses[static_cast<std::size_t>(effect.copy_pose)];
  }
  const symmetry::NearestSurface skin(copy.body->mesh(), loop);
  water.restored =
      tuning::restored({.bare = *copy.body,
                        .whole = copy.whole,
                        .coated = wet.coated,
                        .skin = skin,
                        .wet = wet.skin,
                        .cut = &wet.tree,
                        .rig = rig.rig->rig,
                        .length_mm = copy.length_mm},
                       pose,
                       {.reserve_g = effect.master.reserve_g,
                        .pose = effect.master.poses[static_cast<std::size_t>(effect.master_pose)]},
                       loop);
  return water;
}

}  // namespace trueblank::tools
