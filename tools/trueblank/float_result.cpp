// SPDX-License-Identifier: GPL-3.0-or-later
#include "float_result.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "rig/in_water.h"
#include "rig/materials.h"
#include "water/baseline.h"

namespace trueblank::tools {

namespace {

// Told when a floater is to sink or a sinker to float: the usual metal, and one without lead.
constexpr std::array<std::string_view, 2> ballast_metals = {"lead", "bismuth"};

std::vector<std::string> joined(std::vector<std::string> first,
                                const std::vector<std::string>& second) {
  first.insert(first.end(), second.begin(), second.end());
  return first;
}

// Of the body and its coat alone, for assembling a rig: without what a hollow body's cavity
// displaces. wet: of what the water sees
geometry::Moments with_its_coat(const body::FramedBody& framed, const geometry::Moments& wet) {
  if (!framed.outer) return wet;
  return rig::with_coat(framed.whole, geometry::moments(*framed.outer), wet);
}

std::vector<report::MetalToHover> metals_to_hover(const water::Floater& lure,
                                                  double wood_density_g_cm3) {
  std::vector<report::MetalToHover> metals;
  for (const std::string_view name : ballast_metals) {
    const std::optional<rig::Material> metal = rig::find_material(name);
    if (!metal || metal->density_g_cm3 <= wood_density_g_cm3 ||
        metal->density_g_cm3 <= lure.water_density_g_cm3) {
      continue;
    }
    metals.push_back(
        {.metal = std::string(name),
         .grams = water::metal_to_hover(lure, wood_density_g_cm3, metal->density_g_cm3)});
  }
  return metals;
}

// What the sheet's baseline and the line's eye bring.
void add_eyes(report::FloatResult& result, const sheet::ResolvedRig& resolved,
              const water::Floater& lure) {
  if (resolved.baseline) {
    for (const water::RestPose& pose : result.balance.poses) {
      result.tail_down_baseline_deg.push_back(water::tail_down_along_deg(
          pose.up, resolved.baseline->nose_mm, resolved.baseline->tail_mm));
    }
  }
  if (!resolved.line_eye) return;
  const std::optional<water::TightLine> line = water::on_tight_line(lure, resolved.line_eye->at_mm);
  if (!line) return;
  result.tight_line = report::OnLine{
      .eye = resolved.line_eye->name, .eye_mm = resolved.line_eye->at_mm, .line = *line};
}

// How firmly it lies, and how near it is to lying otherwise.
void add_firmness(report::FloatResult& result, const SheetLure& built, const water::Floater& lure,
                  const rig::Assembly& laid, const geometry::ParallelFor& loop) {
  const std::vector<water::RestPose>& poses = result.balance.poses;
  result.righting.resize(poses.size());
  loop(static_cast<int>(poses.size()), [&](int i) {
    const auto place = static_cast<std::size_t>(i);
    result.righting[place] = water::righting(lure, poses[place]);
  });
  if (poses.empty()) return;
  result.sensitivity = water::sensitivity(&built.wet.tree, laid, poses.front(),
                                          water::hook_sizes(laid, built.resolved.rig.hooks));
}

void add_draws(report::FloatResult& result, const SheetLure& built, const rig::Assembly& laid,
               const Draws& draws, const geometry::ParallelFor& loop) {
  if (result.balance.poses.empty()) {
    result.warnings.emplace_back("No builds were drawn: there is no pose to compare them with.");
    return;
  }
  result.draws = water::draw_builds(&built.wet.tree, laid, built.resolved.tolerances,
                                    result.balance.poses.front(), draws.builds, draws.seed, loop);
}

void add_handling(report::FloatResult& result, const SheetLure& built, const water::Floater& lure,
                  const rig::Assembly& laid) {
  const rig::Rig& rig = built.resolved.rig;
  result.casting = water::casting(
      *built.framed.body, water::spread_masses(laid, rig, built.framed.whole, built.wet.coated));
  result.sink = water::sink_estimate(lure, built.wet.skin);
  result.waters = water::waters_table(lure);
  result.to_hover = metals_to_hover(lure, rig.wood_density_g_cm3);
}

void add_tank(report::FloatResult& result, const SheetLure& built,
              const geometry::ParallelFor& loop) {
  const rig::Water& tank = built.resolved.tank;
  const water::Floater in_tank = built.floater(rig::in_water(built.resolved.rig, tank));
  result.tank = {.water = tank, .view = water::tank_view(in_tank, tank.density_g_cm3, loop)};
}

// What the volume is not sure of is water displaced; wood that was not weighed grows with it.
void add_doubts(report::FloatResult& result, const body::BodyRecord& record, const rig::Rig& rig) {
  const double water_g_mm3 = rig.water.density_g_cm3 / 1000;
  const double sd_mm3 = body::volume_sd_mm3(record);
  const double bound_mm3 = body::volume_bound_mm3(record);
  const double wood_g_mm3 = rig.wood_weighed ? 0 : rig.wood_density_g_cm3 / 1000;
  const double net_g_mm3 = std::abs(water_g_mm3 - wood_g_mm3);
  result.displacement_doubt = {.sd_g = water_g_mm3 * sd_mm3, .bound_g = water_g_mm3 * bound_mm3};
  result.reserve_doubt = {.sd_g = net_g_mm3 * sd_mm3, .bound_g = net_g_mm3 * bound_mm3};
}

}  // namespace

WetBody wet_body(const body::FramedBody& framed, const sheet::ResolvedRig& resolved) {
  const geometry::ClosedMesh& skin = resolved.coated ? *resolved.coated : framed.wet();
  const geometry::Moments whole = geometry::moments(skin);
  return {.skin = skin,
          .whole = whole,
          .coated = with_its_coat(framed, whole),
          .tree = geometry::MomentTree::with_rough(skin)};
}

rig::Assembly SheetLure::laid(const rig::Rig& rig) const {
  return rig::assemble(*framed.body, framed.whole, rig, wet.coated);
}

water::Floater SheetLure::floater(const rig::Rig& rig) const {
  return water::floater(wet.tree, rig::add_up(laid(rig)));
}

double reserve_in_g(const SheetLure& lure, const rig::Water& water) {
  const water::Floater floater = lure.floater(rig::in_water(lure.resolved.rig, water));
  return floater.displacement_full_g() - floater.mass_g;
}

bool has_lead(const rig::Rig& rig) {
  const std::optional<rig::Material> lead = rig::find_material("lead");
  const auto of_lead = [&](const auto& part) {
    return lead && part.density_g_cm3 == lead->density_g_cm3;  // by name: the very same number
  };
  return std::ranges::any_of(rig.ballasts, of_lead) || std::ranges::any_of(rig.hooks, of_lead) ||
         std::ranges::any_of(rig.wires, of_lead) || std::ranges::any_of(rig.outsides, of_lead);
}

report::FloatResult float_result(const SheetLure& built, const std::optional<Draws>& draws,
                                 const Workshop& workshop) {
  const geometry::ParallelFor& loop = workshop.loop;
  const rig::Rig& rig = built.resolved.rig;
  const body::FramedBody& framed = built.framed;
  const rig::Assembly laid = built.laid(rig);
  const rig::RiggedLure rigged = rig::add_up(laid);
  const water::Floater lure = water::floater(built.wet.tree, rigged);
  report::FloatResult result{.input = framed.sound.input,
                             .record = framed.sound.record,
                             .sheet = built.sheet.path(),
                             .title = built.sheet.title(),
                             .frame = framed.frame,
                             .guessed = framed.guessed,
                             .length_mm = framed.length_mm,
                             .volume_mm3 = framed.whole.volume_mm3,
                             .coated_volume_mm3 = built.wet.whole.volume_mm3,
                             .wood_name = built.sheet.wood_name(),
                             .wood_density_g_cm3 = rig.wood_density_g_cm3,
                             .wood_weighed = laid.wood_weighed,
                             .has_lead = has_lead(rig),
                             .water = rig.water,
                             .lure = rigged,
                             .budget = rig::mass_budget(rigged.parts),
                             .balance = water::balance(lure, loop),
                             .warnings = joined(framed.sound.warnings, built.resolved.warnings)};
  add_doubts(result, framed.sound.record, rig);
  if (!result.balance.poses.empty()) {
    result.list_per_1g_2mm_deg =
        water::list_for_sideways_move_deg(result.balance.poses.front(), 1, 2);
  }
  add_eyes(result, built.resolved, lure);
  add_firmness(result, built, lure, laid, loop);
  if (draws) {
    workshop.progress.step("drawing builds ...");
    add_draws(result, built, laid, *draws, loop);
  }
  add_handling(result, built, lure, laid);
  add_tank(result, built, loop);
  return result;
}

}  // namespace trueblank::tools
