// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "made_up_results.h"
#include "report/ballast_report.h"
#include "rig/materials.h"

// A found plan as the verb would hand it over.
namespace trueblank::report {

inline tuning::PlannedWeight planned(const std::string& name, const std::string& metal,
                                     double mass_g, const geometry::Vec3& at_mm) {
  return {.ballast = {.name = name,
                      .at_mm = at_mm,
                      .mass_g = mass_g,
                      .density_g_cm3 = rig::find_material(metal)->density_g_cm3,
                      .diameter_mm = 8,
                      .axis = rig::HoleAxis::upright},
          .wall_mm = 4.2};
}

inline tuning::DrillPlan from_belly(const std::string& name) {
  return {.name = name,
          .from = rig::Mouth::belly,
          .start_mm = {71.3, 0, -14.2},
          .direction = {0, 0, 1},
          .depth_mm = 14.2,
          .diameter_mm = 8,
          .length_mm = 11.1,
          .plug_mm = 3.1,
          .rim_mm = 0.4,
          .wall_mm = 4.2,
          .wall_at_mm = {75.3, 0, -4},
          .wall_to = "the skin",
          .area_left = 0.814,
          .second_moment_left = 0.93,
          .weakest_station_mm = 71.3};
}

/// One weight of lead in a hole from the belly; all is met.
inline BallastResult met_plan() {
  using Kind = tuning::WishResult::Kind;
  BallastResult result{.lies = floating()};
  result.wishes.target.state = rig::WantedState::floats;
  result.wishes.target.reserve_g = 14;
  result.wishes.target.tail_down_deg = 5;
  tuning::Plan& plan = result.found.plan;
  plan.weights = {planned("belly", "lead", 11.5, {71.3, 0, -6})};
  plan.rig.ballasts = {plan.weights[0].ballast};
  plan.balance = result.lies.balance;
  plan.pose = 0;
  plan.added_g = 11.5;
  plan.wishes = {
      {.kind = Kind::state, .name = "floats", .met = true},
      {.kind = Kind::reserve, .wanted = 14, .tolerance = 0.5, .reached = 14.3, .met = true},
      {.kind = Kind::tail_down, .wanted = 5, .tolerance = 1, .reached = 5.4, .met = true},
      {.kind = Kind::list, .wanted = 0, .tolerance = 1, .reached = 0, .met = true},
      {.kind = Kind::wall, .name = "belly", .wanted = 4, .reached = 4.2, .met = true},
      {.kind = Kind::stands, .wanted = 1, .reached = 1, .met = true}};
  plan.met = true;
  result.bench = {{.above_belly_mm = 8.2, .below_back_mm = 16}};
  result.holes = {from_belly("belly")};
  return result;
}

/// The same with a second weight of tungsten, not met.
inline BallastResult unmet_plan() {
  BallastResult result = met_plan();
  tuning::Plan& plan = result.found.plan;
  plan.weights.push_back(planned("tail", "tungsten", 3, {130, 0, 0}));
  plan.weights.back().ballast.diameter_mm.reset();
  plan.rig.ballasts.push_back(plan.weights.back().ballast);
  plan.added_g = 14.5;
  plan.met = false;
  plan.wishes[2].reached = 7.5;
  plan.wishes[2].met = false;
  result.bench.push_back({.above_belly_mm = 6, .below_back_mm = 7});
  result.holes.emplace_back();
  result.found.concessions = {
      {.place = "belly", .limit = tuning::Concession::Limit::x_high, .asked = 60, .needed = 74},
      {.kind = tuning::WishResult::Kind::reserve, .asked = 14, .needed = 11.25},
      {.kind = tuning::WishResult::Kind::tail_down, .asked = 5, .needed = 16}};
  return result;
}

}  // namespace trueblank::report
