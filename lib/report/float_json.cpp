// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON of float.
#include "report/float_json.h"

#include <array>
#include <utility>

#include "report/sweep_json.h"

namespace trueblank::report {

JsonObject lies_json(const tuning::Lies& lies) {
  JsonObject out;
  out.number("reserve_g", lies.reserve_g);
  out.number("tail_down_deg", lies.tail_down_deg);
  out.number("list_deg", lies.list_deg);
  out.number("least_stiffness_g_mm_per_deg", lies.least_stiffness_g_mm_per_deg);
  return out;
}

std::string state_name(water::State state) {
  switch (state) {
    case water::State::floats:
      return "floats";
    case water::State::suspends:
      return "suspends";
    case water::State::sinks:
      return "sinks";
  }
  return "floats";
}

namespace {

constexpr std::array<const char*, rig::part_kinds> kind_names = {
    "wood", "finish", "wire", "ballast", "pocket", "hook", "outside"};

std::string kind_name(rig::PartKind kind) { return kind_names[static_cast<std::size_t>(kind)]; }

std::vector<JsonObject> mass_parts(const std::vector<rig::MassPart>& parts) {
  std::vector<JsonObject> out;
  for (const rig::MassPart& part : parts) {
    JsonObject& entry = out.emplace_back();
    entry.text("name", part.name);
    entry.text("kind", kind_name(part.kind));
    entry.number("mass_g", part.mass_g);
    entry.vector("centre_mm", part.centre_mm);
  }
  return out;
}

JsonObject budget(const rig::MassBudget& budget) {
  JsonObject out;
  for (std::size_t kind = 0; kind < rig::part_kinds; ++kind) {
    out.number(kind_names[kind], budget.g[kind]);
  }
  return out;
}

std::optional<JsonObject> waterline(const std::optional<double>& offset_mm) {
  if (!offset_mm) return {};
  JsonObject out;
  out.number("offset_mm", *offset_mm);
  return out;
}

void add_barrier(JsonObject& out, const water::RestPose& p) {
  const std::optional<water::Barrier>& barrier = p.barrier;
  using Maybe = std::optional<double>;
  out.number("barrier_g_mm", barrier ? Maybe(barrier->barrier_g_mm) : Maybe());
  out.maybe_count("barrier_to", barrier ? std::optional<long long>(barrier->to) : std::nullopt);
  out.vector("barrier_up", barrier ? std::optional(barrier->up) : std::nullopt);
  out.number("hardest_push_g_mm", barrier ? Maybe(barrier->hardest_push_g_mm) : Maybe());
  out.number("overturn_g_mm", p.overturn_g_mm);
}

void add_righting(JsonObject& out, const std::optional<water::Righting>& curve) {
  std::vector<JsonObject> points;
  std::optional<JsonObject> area;
  const water::Righting none;
  const water::Righting& told = curve ? *curve : none;
  for (const water::RightingPoint& point : told.points) {
    JsonObject& entry = points.emplace_back();
    entry.number("list_deg", point.list_deg);
    entry.number("arm_mm", point.arm_mm);
    entry.number("moment_g_mm", point.moment_g_mm);
    entry.number("tail_down_deg", point.tail_down_deg);
  }
  if (curve) {
    area.emplace();
    area->number("left", told.left.area_mm_rad);
    area->number("right", told.right.area_mm_rad);
  }
  out.list("righting", std::move(points));
  out.number("vanishing_deg", told.vanishing_deg);
  out.number("vanishing_right_deg", told.right.vanishing_deg);
  out.number("vanishing_left_deg", told.left.vanishing_deg);
  out.object("righting_area_mm_rad", std::move(area));
}

JsonObject pose(const water::RestPose& p) {
  JsonObject out;
  out.vector("up", p.up);
  out.number("tail_down_deg", p.tail_down_deg);
  out.number("list_deg", p.list_deg);
  out.object("waterline", waterline(p.waterline_offset_mm));
  out.number("submerged_mm3", p.submerged_mm3);
  out.vector("centre_of_buoyancy_mm", p.centre_of_buoyancy_mm);
  out.number("waterplane_mm2", p.waterplane_mm2);
  out.number("roll_stiffness_g_mm_per_deg", p.roll_stiffness_g_mm_per_deg);
  out.number("pitch_stiffness_g_mm_per_deg", p.pitch_stiffness_g_mm_per_deg);
  out.number("least_stiffness_g_mm_per_deg", p.least_stiffness_g_mm_per_deg);
  out.number("list_stiffness_g_mm_per_deg", p.list_stiffness_g_mm_per_deg);
  out.number("gm_roll_mm", p.gm_roll_mm);
  out.number("gm_pitch_mm", p.gm_pitch_mm);
  out.number("share", p.share);
  out.flag("indifferent", p.indifferent);
  return out;
}

std::vector<JsonObject> poses(const FloatResult& result) {
  std::vector<JsonObject> out;
  for (std::size_t i = 0; i < result.balance.poses.size(); ++i) {
    const water::RestPose& one = result.balance.poses[i];
    out.push_back(pose(one));
    add_barrier(out.back(), one);
    add_righting(out.back(), i < result.righting.size() ? result.righting[i] : std::nullopt);
    if (i < result.tail_down_baseline_deg.size()) {
      out.back().number("tail_down_baseline_deg", result.tail_down_baseline_deg[i]);
    }
  }
  return out;
}

JsonObject casting(const water::Casting& figures) {
  JsonObject out;
  out.number("mass_centre_percent", figures.mass_centre_percent);
  out.number("side_centre_percent", figures.side_centre_percent);
  out.number("centres_apart_mm", figures.centres_apart_mm);
  out.text("leads", figures.leads == water::Leads::nose   ? "nose"
                    : figures.leads == water::Leads::tail ? "tail"
                                                          : "neither");
  out.number("radius_of_gyration_mm", figures.radius_of_gyration_mm);
  return out;
}

std::optional<JsonObject> sink(const std::optional<water::SinkEstimate>& estimate) {
  if (!estimate) return {};
  JsonObject out;
  out.numbers("rate_m_s", {estimate->rate_m_s.low, estimate->rate_m_s.high});
  out.numbers("tail_down_deg", {estimate->tail_down_deg.low, estimate->tail_down_deg.high});
  out.flag("slow", estimate->slow);
  return out;
}

std::optional<JsonObject> tight_line(const std::optional<OnLine>& on) {
  if (!on) return {};
  JsonObject out;
  out.text("eye", on->eye);
  out.vector("eye_mm", on->eye_mm);
  out.vector("up", on->line.up);
  out.number("tail_down_deg", on->line.tail_down_deg);
  out.number("list_deg", on->line.list_deg);
  out.number("tension_g", on->line.tension_g);
  out.flag("holds_down", on->line.holds_down);
  out.number("stiffness_g_mm_per_deg", on->line.stiffness_g_mm_per_deg);
  return out;
}

void add_waters(JsonObject& out, const water::WatersTable& table) {
  std::vector<JsonObject> waters;
  for (const water::InWater& one : table.waters) {
    JsonObject& entry = waters.emplace_back();
    entry.number("salinity", one.salinity);
    entry.number("temperature_c", one.temperature_c);
    entry.number("density_g_cm3", one.density_g_cm3);
    entry.number("reserve_g", one.reserve_g);
    entry.text("state", state_name(one.state));
  }
  out.list("waters", std::move(waters));
  std::vector<JsonObject> flips;
  for (const water::Flip& flip : table.flips) {
    JsonObject& entry = flips.emplace_back();
    entry.number("salinity", flip.salinity);
    entry.number("temperature_c", flip.temperature_c);
  }
  out.list("water_flips", std::move(flips));
  out.number("hovers_in_g_cm3", table.hovers_in_g_cm3);
}

JsonObject to_hover(const FloatResult& result) {
  const double reserve_g = result.balance.reserve_g;
  JsonObject out;
  out.flag("add", reserve_g >= 0);
  out.number("net_g", reserve_g < 0 ? -reserve_g : reserve_g);
  std::vector<JsonObject> metals;
  for (const MetalToHover& one : result.to_hover) {
    JsonObject& entry = metals.emplace_back();
    entry.text("metal", one.metal);
    entry.number("in_wood_g", one.grams.in_wood_g);
    entry.number("outside_g", one.grams.outside_g);
  }
  out.list("metals", std::move(metals));
  return out;
}

JsonObject tank(const InTank& in) {
  const bool by_kind = !in.water.density_given;
  JsonObject out;
  out.number("density_g_cm3", in.view.density_g_cm3);
  out.number("salinity", by_kind ? std::optional(in.water.salinity) : std::nullopt);
  out.number("temperature_c", by_kind ? std::optional(in.water.temperature_c) : std::nullopt);
  out.number("reserve_g", in.view.reserve_g);
  out.text("state", state_name(in.view.state));
  out.number("tail_down_deg", in.view.tail_down_deg);
  out.number("list_deg", in.view.list_deg);
  out.number("share", in.view.share);
  out.count("poses", in.view.pose_count);
  return out;
}

JsonObject slope(const water::Slope& s) {
  JsonObject out;
  out.number("tail_down_deg", s.tail_down_deg);
  out.number("list_deg", s.list_deg);
  out.number("reserve_g", s.reserve_g);
  out.number("least_stiffness_g_mm_per_deg", s.least_stiffness_g_mm_per_deg);
  out.flag("at_border", s.at_border);
  return out;
}

JsonObject part_slopes(const water::PartSlopes& part) {
  JsonObject out;
  out.text("name", part.name);
  out.text("kind", kind_name(part.kind));
  out.object("per_g", part.per_g ? std::optional(slope(*part.per_g)) : std::nullopt);
  std::optional<JsonObject> per_mm;
  if (part.per_mm) {
    per_mm.emplace();
    per_mm->object("x", slope((*part.per_mm)[0]));
    per_mm->object("y", slope((*part.per_mm)[1]));
    per_mm->object("z", slope((*part.per_mm)[2]));
  }
  out.object("per_mm", std::move(per_mm));
  return out;
}

JsonObject hook_change(const water::HookChange& change) {
  const std::optional<water::RestPose>& then = change.pose;
  JsonObject out;
  out.text("name", change.name);
  out.text("change", change.change == water::Hooked::lost ? "lost" : "size up");
  out.number("mass_g", change.mass_g);
  out.flag("assumed", change.assumed);
  out.text("state", state_name(change.state));
  out.number("reserve_g", change.reserve_g);
  out.number("tail_down_deg", then ? std::optional(then->tail_down_deg) : std::nullopt);
  out.number("list_deg", then ? then->list_deg : std::nullopt);
  out.number("turns_deg", change.turns_deg);
  out.flag("rolls", change.rolls);
  return out;
}

std::optional<JsonObject> scatter(const std::optional<water::Scatter>& of) {
  if (!of) return {};
  JsonObject out;
  out.number("mean", of->mean);
  out.number("sd", of->standard_deviation);
  out.number("p5", of->p5);
  out.number("p95", of->p95);
  return out;
}

std::optional<JsonObject> tolerances(const std::optional<water::ToleranceDraws>& draws) {
  if (!draws) return {};
  JsonObject sd;
  sd.number("mass_g", draws->tolerances.mass_g);
  sd.number("place_mm", draws->tolerances.place_mm);
  sd.number("wood_density_percent", draws->tolerances.wood_density_percent);
  sd.number("scale_percent", draws->tolerances.scale_percent);
  JsonObject out;
  out.count("builds", draws->builds);
  out.count("seed", static_cast<long long>(draws->seed));
  out.object("one_standard_deviation", std::move(sd));
  out.number("share_as_nominal", draws->share_as_nominal);
  out.number("share_as_nominal_error", draws->share_as_nominal_error);
  out.number("share_floats", draws->share_floats);
  out.number("share_rolls", draws->share_rolls);
  out.count("not_settled", draws->not_settled);
  out.object("tail_down_deg", scatter(draws->tail_down_deg));
  out.object("list_deg", scatter(draws->list_deg));
  out.object("reserve_g", scatter(draws->reserve_g));
  out.object("least_stiffness_g_mm_per_deg", scatter(draws->least_stiffness_g_mm_per_deg));
  return out;
}

JsonObject bench(const rig::RiggedLure& lure) {
  JsonObject out;
  out.number("rigged_balance_station_mm", lure.dry_balance_mm);
  out.number("rigged_dry_mass_g", lure.dry_mass_g);
  out.number("blank_balance_station_mm", lure.blank_balance_mm);
  return out;
}

void add_doubts(JsonObject& out, const FloatResult& result) {
  out.number("displacement_full_uncertainty_g", result.displacement_doubt.sd_g);
  out.number("displacement_full_bound_g", result.displacement_doubt.bound_g);
  out.number("reserve_uncertainty_g", result.reserve_doubt.sd_g);
  out.number("reserve_bound_g", result.reserve_doubt.bound_g);
}

}  // namespace

std::optional<JsonObject> sensitivity_json(const std::optional<water::Sensitivity>& all) {
  if (!all) return {};
  JsonObject out;
  std::vector<JsonObject> parts;
  for (const water::PartSlopes& part : all->parts) parts.push_back(part_slopes(part));
  out.list("parts", std::move(parts));
  out.object("wood_density_per_percent", slope(all->wood_per_percent));
  out.object("wood_per_g", slope(all->wood_per_g));
  std::vector<JsonObject> hooks;
  for (const water::HookChange& change : all->changes) hooks.push_back(hook_change(change));
  out.list("hooks", std::move(hooks));
  return out;
}

JsonObject float_json(const FloatResult& result) {
  JsonObject out = opening("float", result.input, result.warnings);
  out.object("frame", frame_json(result.frame, result.guessed));
  out.number("mass_g", result.balance.mass_g);
  out.list("mass_parts", mass_parts(result.lure.parts));
  out.object("mass_by_kind_g", budget(result.budget));
  out.vector("centre_of_mass_mm", result.lure.centre_of_mass_mm);
  out.number("wet_volume_mm3", result.coated_volume_mm3);
  out.number("displacement_full_g", result.balance.displacement_full_g);
  out.text("state", state_name(result.balance.state));
  out.number("reserve_g", result.balance.reserve_g);
  add_doubts(out, result);
  out.list("poses", poses(result));
  out.number("ratio_g_per_100g_wood", result.lure.ratio_g_per_100g_wood);
  out.number("ratio_without_hooks_g_per_100g_wood",
             result.lure.ratio_without_hooks_g_per_100g_wood);
  out.object("bench", bench(result.lure));
  out.object("casting", casting(result.casting));
  out.object("sink", sink(result.sink));
  out.object("tight_line", tight_line(result.tight_line));
  add_waters(out, result.waters);
  out.object("to_hover", to_hover(result));
  out.object("tank", tank(result.tank));
  out.object("sensitivity", sensitivity_json(result.sensitivity));
  out.object("tolerances", tolerances(result.draws));
  out.object("sweep", sweep_json(result.sweep));
  add_making(out, result.record);
  add_body(out, result.input, result.record, result.water.density_g_cm3);
  return out;
}

std::string to_json(const FloatResult& result) { return float_json(result).written(); }

}  // namespace trueblank::report
