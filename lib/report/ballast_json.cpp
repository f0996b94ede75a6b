// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON of ballast.
#include <utility>

#include "report/ballast_words.h"
#include "report/float_json.h"

namespace trueblank::report {

namespace {

using Limit = tuning::Concession::Limit;

std::optional<JsonObject> hole_json(const std::optional<tuning::DrillPlan>& hole) {
  if (!hole) return {};
  JsonObject out;
  out.text("from", mouth_name(hole->from));
  out.vector("start_mm", hole->start_mm);
  out.vector("direction", hole->direction);
  out.number("depth_mm", hole->depth_mm);
  out.number("diameter_mm", hole->diameter_mm);
  out.number("weight_length_mm", hole->length_mm);
  out.number("plug_mm", hole->plug_mm);
  out.number("rim_mm", hole->rim_mm);
  out.number("wall_mm", hole->wall_mm);
  out.text("wall_to", hole->wall_to);
  out.vector("wall_at_mm", hole->wall_at_mm);
  out.number("channel_wall_mm", hole->channel_wall_mm);
  out.maybe_text("channel_wall_to", hole->channel_wall_mm
                                        ? std::optional<std::string>(hole->channel_wall_to)
                                        : std::nullopt);
  out.number("area_left", hole->area_left);
  out.number("second_moment_left", hole->second_moment_left);
  out.number("weakest_station_mm", hole->weakest_station_mm);
  out.flag("breaks_out", hole->breaks_out);
  return out;
}

// What is told of a weight of any plan.
JsonObject weight_json(const tuning::PlannedWeight& weight) {
  JsonObject out;
  out.text("name", weight.ballast.name);
  out.vector("at_mm", weight.ballast.at_mm);
  out.number("mass_g", weight.ballast.mass_g);
  out.maybe_text("metal", metal_name(weight.ballast.density_g_cm3));
  out.number("density_g_cm3", weight.ballast.density_g_cm3);
  out.number("diameter_mm", weight.ballast.diameter_mm);
  out.number("wall_mm", weight.wall_mm);
  out.number("wire_wall_mm", weight.wire_wall_mm);
  return out;
}

std::vector<JsonObject> weights_json(const tuning::Plan& plan) {
  std::vector<JsonObject> out;
  for (const tuning::PlannedWeight& weight : plan.weights) out.push_back(weight_json(weight));
  return out;
}

std::vector<JsonObject> found_weights(const BallastResult& result) {
  std::vector<JsonObject> out = weights_json(result.found.plan);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const std::optional<tuning::DrillPlan>& hole = result.holes[i];
    out[i].number("above_belly_mm", result.bench[i].above_belly_mm);
    out[i].number("below_back_mm", result.bench[i].below_back_mm);
    out[i].number("hole_depth_mm", hole ? std::optional<double>(hole->depth_mm) : std::nullopt);
    out[i].object("hole", hole_json(hole));
  }
  return out;
}

std::vector<JsonObject> hooks_json(const BallastResult& result, const tuning::Plan& plan) {
  std::vector<JsonObject> out;
  for (const tuning::PlannedHook& hook : plan.hooks) {
    JsonObject& entry = out.emplace_back();
    entry.text("name", result.hooks_before[hook.hook].name);
    entry.number("mass_g", hook.mass_g);
    entry.vector("eye_mm", hook.eye_mm);
  }
  return out;
}

std::vector<JsonObject> changed_hooks(const BallastResult& result) {
  std::vector<JsonObject> out = hooks_json(result, result.found.plan);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const HookBefore& before = result.hooks_before[result.found.plan.hooks[i].hook];
    out[i].number("mass_before_g", before.mass_g);
    out[i].vector("eye_before_mm", before.eye_mm);
  }
  return out;
}

std::optional<std::string> state_wanted(const BallastResult& result) {
  if (!result.wishes.target.state) return {};
  return wanted_state_name(*result.wishes.target.state);
}

std::vector<JsonObject> wishes_json(const BallastResult& result) {
  std::vector<JsonObject> out;
  for (const tuning::WishResult& wish : result.found.plan.wishes) {
    const bool of_state = wish.kind == tuning::WishResult::Kind::state;
    JsonObject& entry = out.emplace_back();
    entry.text("wish", wish_name(wish.kind));
    if (wish.kind == tuning::WishResult::Kind::wall) entry.text("place", wish.name);
    if (of_state) {
      entry.maybe_text("wanted", state_wanted(result));
      entry.text("reached", wish.name);
    } else {
      entry.number("wanted", wish.wanted);
      entry.number("tolerance", wish.tolerance);
      entry.number("reached", wish.reached);
    }
    entry.flag("met", wish.met);
  }
  return out;
}

std::string limit_name(Limit limit) {
  switch (limit) {
    case Limit::x_low:
      return "x_low";
    case Limit::x_high:
      return "x_high";
    case Limit::mass_high:
      return "mass_high";
    case Limit::wish:
      break;
  }
  return "wish";
}

std::vector<JsonObject> concessions_json(const std::vector<tuning::Concession>& all) {
  std::vector<JsonObject> out;
  for (const tuning::Concession& one : all) {
    const bool of_wish = one.limit == Limit::wish;
    JsonObject& entry = out.emplace_back();
    entry.maybe_text("wish", of_wish ? std::optional(wish_name(one.kind)) : std::nullopt);
    entry.maybe_text("place", of_wish ? std::nullopt : std::optional(one.place));
    entry.text("limit", limit_name(one.limit));
    entry.number("asked", one.asked);
    entry.number("needed", one.needed);
  }
  return out;
}

// A plan in short: what is added and how it lies.
JsonObject brief_json(const BallastResult& result, const tuning::Plan& plan) {
  using Maybe = std::optional<double>;
  const water::RestPose* pose =
      plan.pose < 0 ? nullptr : &plan.balance.poses[static_cast<std::size_t>(plan.pose)];
  JsonObject out;
  out.flag("met", plan.met);
  out.number("added_g", plan.added_g);
  out.list("weights", weights_json(plan));
  out.list("hooks", hooks_json(result, plan));
  out.text("state", state_name(plan.balance.state));
  out.number("reserve_g", plan.balance.reserve_g);
  out.number("tail_down_deg", pose == nullptr ? Maybe() : Maybe(pose->tail_down_deg));
  out.number("list_deg", pose == nullptr ? Maybe() : pose->list_deg);
  out.number("least_stiffness_g_mm_per_deg",
             pose == nullptr ? Maybe() : Maybe(pose->least_stiffness_g_mm_per_deg));
  out.number("share_as_meant", plan.share_as_meant);
  return out;
}

std::vector<JsonObject> rows_json(const std::vector<tuning::TableRow>& rows,
                                  const std::string& unit) {
  std::vector<JsonObject> out;
  for (const tuning::TableRow& row : rows) {
    JsonObject& entry = out.emplace_back();
    entry.text("name", row.name);
    entry.number(unit, row.value);
    entry.flag("met", row.met);
    entry.number("added_g", row.added_g);
    entry.number("ratio_g_per_100g_wood", row.ratio_g_per_100g_wood);
    entry.number("reserve_g", row.reserve_g);
    entry.number("tail_down_deg", row.tail_down_deg);
    entry.number("least_stiffness_g_mm_per_deg", row.least_stiffness_g_mm_per_deg);
    entry.number("list_deg_per_mm_aside", row.list_per_mm_deg);
  }
  return out;
}

std::optional<JsonObject> varies_json(const std::optional<tuning::VarianceShares>& shares) {
  if (!shares) return {};
  std::vector<JsonObject> all;
  for (const tuning::VarianceShares::One& one : shares->of) {
    JsonObject& entry = all.emplace_back();
    entry.text("what", one.what);
    entry.flag("measurable", one.measurable);
    entry.number("tail_down", one.tail_down);
    entry.number("list", one.list);
    entry.number("reserve", one.reserve);
  }
  JsonObject out;
  out.number("tail_down_sd_deg", shares->tail_down_sd_deg);
  out.number("list_sd_deg", shares->list_sd_deg);
  out.number("reserve_sd_g", shares->reserve_sd_g);
  out.list("shares", std::move(all));
  return out;
}

std::vector<JsonObject> wires_json(const std::vector<tuning::BendPlan>& wires) {
  std::vector<JsonObject> out;
  for (const tuning::BendPlan& wire : wires) {
    std::vector<JsonObject> bends;
    for (const tuning::BendPlan::Bend& bend : wire.bends) {
      JsonObject& entry = bends.emplace_back();
      entry.number("from_start_mm", bend.from_start_mm);
      entry.number("angle_deg", bend.angle_deg);
      entry.number("twist_deg", bend.twist_deg);
      entry.vector("at_mm", bend.at_mm);
    }
    JsonObject& entry = out.emplace_back();
    entry.text("name", wire.name);
    entry.number("diameter_mm", wire.diameter_mm);
    entry.number("straight_mm", wire.straight_mm);
    entry.numbers("lengths_mm", wire.lengths_mm);
    entry.list("bends", std::move(bends));
    entry.count("eyes", wire.eyes);
    entry.number("eye_mm", wire.eye_mm);
    entry.number("cut_mm", wire.cut_mm);
    entry.number("eyes_uncounted_g", wire.eyes_uncounted_g);
  }
  return out;
}

}  // namespace

std::string to_json(const BallastResult& result) {
  const tuning::Plan& plan = result.found.plan;
  const FloatResult& lies = result.lies;
  JsonObject out = opening("ballast", lies.input, all_warnings(result));
  out.object("frame", frame_json(lies.frame, lies.guessed));
  out.flag("met", plan.met);
  out.list("weights", found_weights(result));
  out.list("hooks", changed_hooks(result));
  out.number("added_g", plan.added_g);
  out.number("ratio_g_per_100g_wood", lies.lure.ratio_g_per_100g_wood);
  out.number("wood_density_g_cm3", lies.wood_density_g_cm3);
  out.maybe_count("pose", plan.pose < 0 ? std::nullopt : std::optional<long long>(plan.pose));
  out.list("wishes", wishes_json(result));
  std::vector<JsonObject> others;
  for (const tuning::Plan& other : result.found.others) {
    others.push_back(brief_json(result, other));
  }
  out.list("others", std::move(others));
  out.list("concessions", concessions_json(result.found.concessions));
  out.list("wire", wires_json(result.wires));
  out.number("share_as_meant", plan.share_as_meant);
  out.number("falls_tail_down_deg", plan.falls_tail_down_deg);
  out.number("falls_m_s", plan.falls_m_s);
  out.flag("judged_falling", plan.judged_falling);
  out.number("reserve_per_degree_g", result.reserve_per_degree_g);
  out.list("woods", rows_json(result.woods, "density_g_cm3"));
  out.list("hook_sizes", rows_json(result.hook_sizes, "mass_g"));
  out.object("varies_by", varies_json(result.varies_by));
  out.object("result", float_json(lies));
  out.object("sensitivity", sensitivity_json(lies.sensitivity));
  return out.written();
}

}  // namespace trueblank::report
