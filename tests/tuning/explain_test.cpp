// SPDX-License-Identifier: GPL-3.0-or-later
// What explains a lure that lies otherwise than its sheet says: known changes are planted, and what
// they do is told as if it had been seen in the tank.
#include "tuning/explain.h"

#include <gmock/gmock.h>

#include <cmath>
#include <sstream>

#include "rig/in_water.h"
#include "rig/waters.h"
#include "tuning/bench_lure.h"
#include "water/near_pose.h"

namespace trueblank::tests {
namespace {

using tuning::Explained;
using tuning::Seen;

BenchLure rigged_ellipsoid() {
  BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  lure.rig.ballasts.push_back(
      {.name = "belly weight", .at_mm = {75, 0, -8}, .mass_g = 20, .density_g_cm3 = lead_g_cm3});
  lure.rig.hooks.push_back({.name = "belly treble",
                            .eye_mm = {60, 0, -16},
                            .mass_g = 6,
                            .density_g_cm3 = 7.85,
                            .hang_mm = 15});
  return lure;
}

water::RestPose pose_of(const BenchLure& lure, const rig::Rig& rig) {
  const water::Floater floater =
      water::floater(lure.tree, rig::add_up(rig::assemble(lure.body, lure.whole, rig, lure.whole)));
  const auto pose = water::pose_near(floater, geometry::Vec3::UnitZ());
  EXPECT_TRUE(pose);
  return pose.value_or(water::RestPose{});
}

double reserve_of(const BenchLure& lure, const rig::Rig& rig) {
  const water::Floater floater =
      water::floater(lure.tree, rig::add_up(rig::assemble(lure.body, lure.whole, rig, lure.whole)));
  return floater.displacement_full_g() - floater.mass_g;
}

// Lead that is stuck on outside loses what it displaces (Archimedes).
double sank_with(double reserve_g) { return reserve_g / (1 - 1 / lead_g_cm3); }

TEST(Explain, FindsThePlantedDensityWhereAllElseIsSure) {
  const BenchLure lure = rigged_ellipsoid();
  rig::Rig built = lure.rig;
  built.wood_density_g_cm3 *= 1.05;
  const water::RestPose as_built = pose_of(lure, built);
  const rig::Tolerances tolerances{
      .mass_g = 0.001, .place_mm = 0.001, .wood_density_percent = 3, .scale_percent = 0.001};
  const Seen seen{.tail_down_deg = as_built.tail_down_deg,
                  .list_deg = as_built.list_deg,
                  .sank_with_g = sank_with(reserve_of(lure, built))};
  const Explained found =
      tuning::explain(lure.workpiece(), tolerances, pose_of(lure, lure.rig), seen);
  ASSERT_FALSE(found.changes.empty());
  EXPECT_EQ(found.changes[0].what, "the wood's density");
  // The maker's own 3 % pulls it a little towards nil; within its doubt it is what was planted.
  EXPECT_NEAR(found.changes[0].by, 5, 2 * found.changes[0].sd);
  EXPECT_LT(found.changes[0].sd, 1);
  EXPECT_LT(found.misfit, 0.5);
  ASSERT_TRUE(found.now.tail_down_deg);
  EXPECT_NEAR(*found.now.tail_down_deg, as_built.tail_down_deg, 0.5);
}

TEST(Explain, AWeightAsideIsOneThatExplainsAListAlone) {
  const BenchLure lure = rigged_ellipsoid();
  rig::Rig built = lure.rig;
  built.ballasts[0].at_mm.y() += 1.5;
  const water::RestPose as_built = pose_of(lure, built);
  ASSERT_GT(*as_built.list_deg, 2);
  const Seen seen{.list_deg = as_built.list_deg};
  const Explained found =
      tuning::explain(lure.workpiece(), rig::Tolerances{}, pose_of(lure, lure.rig), seen);
  const auto aside = std::ranges::find_if(found.alone, [](const Explained::Alone& one) {
    return one.change.what == "belly weight to the right";
  });
  ASSERT_NE(aside, found.alone.end());
  EXPECT_NEAR(aside->change.by, 1.5, 2 * aside->change.sd);
}

// A degree and a half is within what nobody would ask after, so that all leave it well enough; but
// what lies in the middle can be moved along the mirror plane as one likes without a list.
TEST(Explain, WhatChangesNothingExplainsNothingAlone) {
  const BenchLure lure = rigged_ellipsoid();
  const water::RestPose nominal = pose_of(lure, lure.rig);
  const Seen seen{.list_deg = *nominal.list_deg + 1.4};
  const Explained found = tuning::explain(lure.workpiece(), rig::Tolerances{}, nominal, seen);
  ASSERT_FALSE(found.alone.empty());
  for (const Explained::Alone& one : found.alone) {
    EXPECT_TRUE(one.change.what.ends_with(" to the right")) << one.change.what;
  }
}

TEST(Explain, NothingIsOffWhereItLiesAsForetold) {
  const BenchLure lure = rigged_ellipsoid();
  const water::RestPose nominal = pose_of(lure, lure.rig);
  const Seen seen{.tail_down_deg = nominal.tail_down_deg, .list_deg = nominal.list_deg};
  const Explained found = tuning::explain(lure.workpiece(), rig::Tolerances{}, nominal, seen);
  EXPECT_LT(found.sigmas, 1e-3);
  EXPECT_LT(found.misfit, 1e-3);
}

// Nothing is off: a tub of another water alone makes it lie otherwise. Held against that water,
// what it showed is explained by nothing, and held against the lure's own it is not.
TEST(Explain, WhatAnotherWaterDoesIsNoFaultOfTheLure) {
  BenchLure lure = rigged_ellipsoid();
  lure.rig.pockets.push_back({.name = "slot",
                              .at_mm = {110, 0, -9},
                              .diameter_mm = 8,
                              .depth_mm = 10,
                              .axis = rig::HoleAxis::upright,
                              .filling_density_g_cm3 = lure.rig.water.density_g_cm3,
                              .filled_with_water = true});
  const rig::Water sea = rig::water_at(rig::sea_salinity, 15);
  const rig::Rig in_sea = rig::in_water(lure.rig, sea);
  EXPECT_EQ(in_sea.pockets[0].filling_density_g_cm3, sea.density_g_cm3);
  const water::RestPose in_tank = pose_of(lure, in_sea);
  Seen seen{.tail_down_deg = in_tank.tail_down_deg,
            .sank_with_g = reserve_of(lure, in_sea) / (1 - sea.density_g_cm3 / lead_g_cm3),
            .water = sea};
  const water::RestPose nominal = pose_of(lure, lure.rig);
  const Explained found = tuning::explain(lure.workpiece(), rig::Tolerances{}, nominal, seen);
  EXPECT_LT(found.sigmas, 1e-3);
  EXPECT_NEAR(found.by_sheet.reserve_g, reserve_of(lure, in_sea), 1e-9);
  seen.water.reset();
  EXPECT_GT(tuning::explain(lure.workpiece(), rig::Tolerances{}, nominal, seen).sigmas, 0.2);
}

std::string told(const std::vector<tuning::Remedy>& found) {
  std::ostringstream text;
  for (const tuning::Remedy& one : found) {
    text << static_cast<int>(one.kind) << ' ' << one.part << ' ' << one.grams << " g at "
         << one.at_mm.transpose() << ": reserve " << one.then.reserve_g << ", tail "
         << one.then.tail_down_deg.value_or(NAN) << ", list " << one.then.list_deg.value_or(NAN)
         << ", cost " << one.cost << '\n';
  }
  return text.str();
}

TEST(Remedies, AListIsPutRightByAWeightOrBySanding) {
  const BenchLure lure = rigged_ellipsoid();
  rig::Rig built = lure.rig;
  built.ballasts[0].at_mm.y() += 1;
  const water::RestPose as_built = pose_of(lure, built);
  const Seen seen{.tail_down_deg = as_built.tail_down_deg, .list_deg = as_built.list_deg};
  const std::vector<tuning::Remedy> found =
      tuning::remedies(lure.workpiece(), rig::Tolerances{}, {.tail_down_tolerance_deg = 2},
                       pose_of(lure, lure.rig), seen);
  const auto of = [&](tuning::Remedy::Kind kind) {
    return std::ranges::find_if(
        found, [&](const tuning::Remedy& one) { return one.kind == kind && one.met; });
  };
  const auto hole = of(tuning::Remedy::Kind::new_hole);
  ASSERT_NE(hole, found.end()) << told(found);
  EXPECT_LT(hole->at_mm.y(), 0);  // on the other side of the weight that lies too far right
  // A hook on the mirror plane can't right a list.
  EXPECT_EQ(of(tuning::Remedy::Kind::other_hook), found.end());
}

// A list that shows in a tub of salt water is to go in the lure's own water.
TEST(Remedies, AreForTheLuresOwnWaterWhateverItWasSeenIn) {
  const BenchLure lure = rigged_ellipsoid();
  rig::Rig built = lure.rig;
  built.ballasts[0].at_mm.y() += 1;
  const rig::Water sea = rig::water_at(rig::sea_salinity, 15);
  const water::RestPose in_tank = pose_of(lure, rig::in_water(built, sea));
  const Seen seen{
      .tail_down_deg = in_tank.tail_down_deg, .list_deg = in_tank.list_deg, .water = sea};
  const std::vector<tuning::Remedy> found =
      tuning::remedies(lure.workpiece(), rig::Tolerances{}, {.tail_down_tolerance_deg = 2},
                       pose_of(lure, lure.rig), seen);
  const auto hole = std::ranges::find_if(found, [](const tuning::Remedy& one) {
    return one.kind == tuning::Remedy::Kind::new_hole && one.met;
  });
  ASSERT_NE(hole, found.end()) << told(found);
  // What floats the lure and its new weight: in the sea the reserve would be greater by 2.5 % of
  // some 50 g. What was found to be off besides is worth half a gram at the most.
  EXPECT_NEAR(hole->then.reserve_g,
              reserve_of(lure, lure.rig) - hole->grams * (1 - 0.4 / lead_g_cm3), 0.5)
      << told(found);
}

// As heavy in water: m(1 − ρwater/ρ) = m'(1 − ρwood/ρ) (Archimedes, twice).
TEST(DrilledIn, KeepsTheWeightInWater) {
  BenchLure lure = rigged_ellipsoid();
  lure.rig.outsides.push_back(
      {.name = "trial lead", .at_mm = {90, 0, -15}, .mass_g = 3, .density_g_cm3 = lead_g_cm3});
  const auto found = tuning::drilled_in(lure.workpiece(), pose_of(lure, lure.rig));
  ASSERT_EQ(found.size(), 1U);
  EXPECT_NEAR(found[0].drilled_in_g, 3 * (1 - 1 / lead_g_cm3) / (1 - 0.4 / lead_g_cm3), 1e-12);
  EXPECT_NEAR(found[0].drilled_in.reserve_g, found[0].stuck_on.reserve_g, 1e-9);
}

}  // namespace
}  // namespace trueblank::tests
