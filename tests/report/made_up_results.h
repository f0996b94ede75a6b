// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/check_report.h"
#include "report/float_report.h"
#include "report/mirror_report.h"
#include "report/weigh_report.h"

// Results as a verb would hand them over, with figures that are easy to tell apart.
namespace trueblank::report {

inline body::InputFacts some_input() {
  return {.file = "needle-165.stl",
          .format = "STL binary",
          .facets = 33280,
          .vertices = 16642,
          .scale_mm_per_unit = 1,
          .scale_from = body::ScaleFrom::assumed};
}

inline CheckResult sound_check() {
  CheckResult result;
  result.input = some_input();
  result.as_read = {.closed = true, .oriented = true, .outward = true, .pieces = 1};
  result.closed = true;
  result.size_mm = {165.23, 28.04, 24.06};
  return result;
}

inline WeighResult box_weigh() {
  WeighResult result;
  result.input = some_input();
  result.whole.volume_mm3 = 60000;
  result.whole.area_mm2 = 11200;
  result.whole.centroid_mm = {1, -2, 0};
  result.whole.inertia_mm5.diagonal() << 6.5e6, 54.5e6, 52e6;
  result.principal.values << 6.5e6, 52e6, 54.5e6;
  result.principal.axes << 1, 0, 0, 0, 0, -1, 0, 1, 0;
  result.size_mm = {100, 30, 20};
  return result;
}

inline MirrorResult proud_mirror() {
  MirrorResult result;
  result.input = some_input();
  result.length_mm = 165.2;
  result.plane = geometry::Plane{geometry::Vec3(0, 1, 0), 0.25};
  result.well_determined = true;
  result.candidates = {{.plane = *result.plane, .rms_mm = 0.08}};
  result.deviation_mm = symmetry::DeviationStatistics{
      .rms = 0.08, .mean_abs = 0.05, .p95 = 0.12, .max_proud = 0.63, .max_shy = -0.61};
  result.extremes.proudest = symmetry::Spot{0.63, geometry::Vec3(48.2, 9.5, 1)};
  result.extremes.shyest = symmetry::Spot{-0.61, geometry::Vec3(48.1, -9, 1)};
  result.volumes = symmetry::SideVolumes{.left_mm3 = 26609.3, .right_mm3 = 26690.1};
  result.stations = {{.section = {.x_mm = 10,
                                  .left_half_width_mm = 3,
                                  .right_half_width_mm = 3.25,
                                  .lowest_z_mm = -4,
                                  .highest_z_mm = 5,
                                  .left_area_mm2 = 20,
                                  .right_area_mm2 = 21},
                      .area_difference_mm2 = 1,
                      .centre_offset_mm = 0.125,
                      .belly_below_mm = 4,
                      .back_above_mm = 5,
                      .half_widths = {{.z_mm = 0, .left_mm = 2.5, .right_mm = 2.75},
                                      {.z_mm = 5, .left_mm = 0, .right_mm = 0.5}}}};
  return result;
}

inline water::RestPose back_up(double tail_down_deg, double list_deg, double share) {
  water::RestPose pose;
  pose.tail_down_deg = tail_down_deg;
  pose.list_deg = list_deg;
  pose.waterline_offset_mm = 4;
  pose.submerged_mm3 = 42600;
  pose.waterplane_mm2 = 2500;
  pose.roll_stiffness_g_mm_per_deg = 1.2;
  pose.pitch_stiffness_g_mm_per_deg = 100;
  pose.least_stiffness_g_mm_per_deg = 1.2;
  pose.gm_roll_mm = 1.5;
  pose.gm_pitch_mm = 130;
  pose.share = share;
  pose.list_stiffness_g_mm_per_deg = 1.25;
  return pose;
}

inline water::Righting rights_itself() {
  water::Righting curve;
  curve.points = {{.list_deg = -30, .arm_mm = -1.3, .moment_g_mm = -44.6, .tail_down_deg = 5.5},
                  {.list_deg = 0, .arm_mm = 0, .moment_g_mm = 0, .tail_down_deg = 5.4},
                  {.list_deg = 30, .arm_mm = 1.3, .moment_g_mm = 44.6, .tail_down_deg = 5.5}};
  curve.right = {.vanishing_deg = 131.5,
                 .area_mm_rad = 3.25,
                 .greatest_arm_mm = 2.5,
                 .greatest_arm_list_deg = 62};
  curve.left = {.vanishing_deg = -130.25,
                .area_mm_rad = 3.125,
                .greatest_arm_mm = -2.4,
                .greatest_arm_list_deg = -61};
  curve.vanishing_deg = -130.25;
  return curve;
}

inline water::Slope slope(double tail_down_deg, double reserve_g) {
  return {.tail_down_deg = tail_down_deg,
          .list_deg = 0.5,
          .reserve_g = reserve_g,
          .least_stiffness_g_mm_per_deg = 0.0625,
          .at_border = false};
}

/// One weight, and one hook without which it rolls.
inline water::Sensitivity what_little_does() {
  water::Sensitivity all;
  all.parts = {{.name = "belly",
                .kind = rig::PartKind::ballast,
                .per_g = slope(-0.33, -0.9),
                .per_mm = std::array{slope(0.25, 0), slope(0, 0), slope(0.125, 0)}}};
  all.wood_per_percent = slope(0.1, -0.2);
  all.wood_per_g = slope(0.4, -1);
  water::HookChange lost;
  lost.name = "belly treble";
  lost.reserve_g = 20.25;
  lost.pose = back_up(-3, 92, 0);
  lost.turns_deg = 91.5;
  lost.rolls = true;
  water::HookChange bigger;
  bigger.name = "belly treble";
  bigger.change = water::Hooked::size_up;
  bigger.mass_g = 10;
  bigger.assumed = true;
  bigger.reserve_g = 12.5;
  bigger.pose = back_up(4.4, 0, 0);
  bigger.turns_deg = 1;
  all.changes = {lost, bigger};
  return all;
}

inline water::ToleranceDraws drawn(double share) {
  water::ToleranceDraws draws;
  draws.builds = 1000;
  draws.seed = 1;
  draws.share_as_nominal = share;
  draws.share_as_nominal_error = 0.006;
  draws.share_floats = 1;
  draws.share_rolls = 0.0625;
  draws.tail_down_deg = water::Scatter{
      .builds = 1000, .mean = 5.5, .standard_deviation = 0.75, .p5 = 4.25, .p95 = 6.75};
  return draws;
}

inline water::WatersTable floats_everywhere() {
  water::WatersTable table;
  for (const double salinity : {0.0, 35.0}) {
    for (const double temperature_c : {4.0, 28.0}) {
      table.waters.push_back({.salinity = salinity,
                              .temperature_c = temperature_c,
                              .density_g_cm3 = salinity > 0 ? 1.025 : 0.998,
                              .reserve_g = salinity > 0 ? 14.3 : 13.2});
    }
  }
  table.hovers_in_g_cm3 = 0.687;
  table.floats_in_all = true;
  return table;
}

inline InTank tub() {
  return {.water = {.salinity = 0, .temperature_c = 20, .density_g_cm3 = 0.9982},
          .view = {.density_g_cm3 = 0.9982,
                   .reserve_g = 13.1,
                   .tail_down_deg = 5.6,
                   .list_deg = 0,
                   .share = 1,
                   .pose_count = 1}};
}

inline FloatResult floating() {
  FloatResult result;
  result.input = some_input();
  result.sheet = "needle.toml";
  result.title = "Needle 165";
  result.length_mm = 165.2;
  result.volume_mm3 = 60000;
  result.coated_volume_mm3 = 60000;
  result.wood_name = "western redcedar";
  result.wood_density_g_cm3 = 0.3584;
  result.water = {.salinity = 35, .temperature_c = 15, .density_g_cm3 = 1.0259728};
  result.lure.parts = {
      {.name = "wood", .mass_g = 20, .centre_mm = {80, 0, 1}},
      {.name = "belly", .mass_g = 9, .centre_mm = {70, 0, -9}, .kind = rig::PartKind::ballast}};
  result.budget = rig::mass_budget(result.lure.parts);
  result.lure.dry_mass_g = 29;
  result.lure.dry_balance_mm = 76.9;
  result.lure.blank_balance_mm = 80;
  result.lure.mass_g = 29;
  result.lure.centre_of_mass_mm = {76.9, 0, -2.1};
  result.lure.ratio_g_per_100g_wood = 41.5;
  result.lure.ratio_without_hooks_g_per_100g_wood = 41.5;
  result.balance.mass_g = 29;
  result.balance.displacement_full_g = 43.3;
  result.balance.reserve_g = 14.3;
  result.balance.poses = {back_up(5.4, 0, 1)};
  result.balance.poses[0].barrier =
      water::Barrier{.barrier_g_mm = 95.5, .to = 0, .up = {0, 0, -1}, .hardest_push_g_mm = 44.6};
  result.righting = {rights_itself()};
  result.sensitivity = what_little_does();
  result.list_per_1g_2mm_deg = 1.7;
  result.casting = {.mass_centre_percent = 46.5,
                    .side_centre_percent = 50.2,
                    .centres_apart_mm = 6.6,
                    .leads = water::Leads::nose,
                    .radius_of_gyration_mm = 35.7};
  result.waters = floats_everywhere();
  result.to_hover = {{.metal = "lead",
                      .grams = {.add = true, .net_g = 14.3, .in_wood_g = 14.8, .outside_g = 15.7}},
                     {.metal = "bismuth",
                      .grams = {.add = true, .net_g = 14.3, .in_wood_g = 14.9, .outside_g = 16}}};
  result.tank = tub();
  return result;
}

/// 4.1 g too heavy, level while it hangs, on a line from its nose.
inline FloatResult sinking() {
  FloatResult result = floating();
  result.balance.state = water::State::sinks;
  result.balance.reserve_g = -4.1;
  result.balance.poses[0].waterline_offset_mm.reset();
  result.sink = water::SinkEstimate{.rate_m_s = {0.34, 0.615},
                                    .tail_down_deg = {10.2, 39.7},
                                    .reynolds = {4000, 9000},
                                    .weight_in_water_g = 4.1};
  result.tight_line = OnLine{.eye = "nose eye",
                             .eye_mm = {-5, 0, 0},
                             .line = {.up = {-0.9, 0, 0.4358898943540674},
                                      .tail_down_deg = 64.2,
                                      .list_deg = 0,
                                      .tension_g = 4.1,
                                      .stiffness_g_mm_per_deg = 6.2}};
  for (water::InWater& one : result.waters.waters) {
    one.reserve_g = -4;
    one.state = water::State::sinks;
  }
  result.waters.floats_in_all = false;
  result.waters.sinks_in_all = true;
  for (MetalToHover& one : result.to_hover) one.grams.add = false;
  result.tank.view.reserve_g = -5.2;
  result.tank.view.state = water::State::sinks;
  return result;
}

}  // namespace trueblank::report
