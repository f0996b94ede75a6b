// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON of float.
#include <array>
#include <utility>

#include "report/float_report.h"
#include "report/json_object.h"

namespace trueblank::report {

namespace {

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
  out.number("gm_roll_mm", p.gm_roll_mm);
  out.number("gm_pitch_mm", p.gm_pitch_mm);
  out.number("share", p.share);
  out.flag("indifferent", p.indifferent);
  return out;
}

std::vector<JsonObject> poses(const FloatResult& result) {
  std::vector<JsonObject> out;
  for (std::size_t i = 0; i < result.balance.poses.size(); ++i) {
    out.push_back(pose(result.balance.poses[i]));
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

JsonObject bench(const rig::RiggedLure& lure) {
  JsonObject out;
  out.number("rigged_balance_station_mm", lure.dry_balance_mm);
  out.number("rigged_dry_mass_g", lure.dry_mass_g);
  out.number("blank_balance_station_mm", lure.blank_balance_mm);
  return out;
}

}  // namespace

std::string to_json(const FloatResult& result) {
  JsonObject out = opening("float", result.input, result.warnings);
  out.object("frame", frame_json(result.frame, result.guessed));
  out.number("mass_g", result.balance.mass_g);
  out.list("mass_parts", mass_parts(result.lure.parts));
  out.object("mass_by_kind_g", budget(result.budget));
  out.vector("centre_of_mass_mm", result.lure.centre_of_mass_mm);
  out.number("displacement_full_g", result.balance.displacement_full_g);
  out.text("state", state_name(result.balance.state));
  out.number("reserve_g", result.balance.reserve_g);
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
  return out.written();
}

}  // namespace trueblank::report
