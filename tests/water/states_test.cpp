// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>

#include "geometry/moments.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

// 40 cm³ about (70, 0, 0).
geometry::ClosedMesh forty_cm3() {
  return test_bodies::closed(
      test_bodies::moved(test_bodies::box(100, 20, 20), Mat3::Identity(), {70, 0, 0}));
}

// Source: a submerged body hangs with B straight above G, up = (B−G)/|B−G|, stiffness = displaced
// mass × BG. B (70,0,0), G (73,0.2,−2.5), 40 g displaced: tail_down 50.1045°, list 4.5739°,
// 40·√(3² + 0.2² + 2.5²)·π/180 = 2.729865 g·mm/°. Derived. Tolerance: the digits given.
TEST(Sinker, HangsWithItsCentreOfBuoyancyAboveItsCentreOfMass) {
  const OwnedFloater made = floating(forty_cm3(), 45, {73, 0.2, -2.5});
  const Balance found = balance(made.lure);
  EXPECT_EQ(found.state, State::sinks);
  EXPECT_NEAR(found.reserve_g, -5, 1e-9);
  ASSERT_EQ(found.poses.size(), 1U);
  const RestPose& pose = found.poses[0];
  EXPECT_NEAR(pose.tail_down_deg, 50.1045, 5e-5);
  EXPECT_NEAR(pose.list_deg.value(), 4.5739, 5e-5);
  EXPECT_NEAR(pose.least_stiffness_g_mm_per_deg, 2.729865, 5e-7);
  EXPECT_EQ(pose.roll_stiffness_g_mm_per_deg.value(), pose.least_stiffness_g_mm_per_deg);
  EXPECT_EQ(pose.pitch_stiffness_g_mm_per_deg.value(), pose.least_stiffness_g_mm_per_deg);
  EXPECT_NEAR(pose.gm_roll_mm.value(), 2.729865 / degree / 45, 1e-6);
  EXPECT_FALSE(pose.waterline_offset_mm.has_value());
  EXPECT_EQ(pose.waterplane_mm2, 0);
  EXPECT_NEAR(pose.submerged_mm3, 40000, 1e-7);
  EXPECT_NEAR((pose.centre_of_buoyancy_mm - Vec3(70, 0, 0)).norm(), 0, 1e-9);
  EXPECT_EQ(pose.share, 1);
}

// The buoyancy of all parts counts: 4 cm³ of treble at the tail move B aft by hand to
// (40·70 + 4·118)/44.
TEST(Sinker, CountsTheBuoyancyOfItsHooks) {
  OwnedFloater made = floating(forty_cm3(), 60, {80, 0, -2});
  made.lure.outside = {{"tail treble", {118, 0, 0}, 4000, 40, 0}};
  const Balance found = balance(made.lure);
  EXPECT_NEAR(found.displacement_full_g, 44, 1e-9);
  const Vec3 B((40 * 70 + 4 * 118.0) / 44, 0, 0);
  const Vec3 up = (B - Vec3(80, 0, -2)).normalized();
  EXPECT_LT(angle_deg(found.poses.at(0).up, up), 1e-9);
  EXPECT_NEAR(found.poses.at(0).submerged_mm3, 40000, 1e-7);
}

TEST(Sinker, HangingEndOnHasNoListRollOrPitch) {
  const Balance found = balance(floating(forty_cm3(), 45, {75, 0, 0}).lure);
  const RestPose& pose = found.poses.at(0);
  EXPECT_NEAR(pose.tail_down_deg, 90, 1e-6);
  EXPECT_FALSE(pose.list_deg.has_value());
  EXPECT_FALSE(pose.roll_stiffness_g_mm_per_deg.has_value());
  EXPECT_FALSE(pose.gm_pitch_mm.has_value());
  EXPECT_NEAR(pose.least_stiffness_g_mm_per_deg, 40 * 5 * degree, 1e-9);
}

TEST(Sinker, WithCentresInOnePlaceIsIndifferent) {
  const Balance found = balance(floating(forty_cm3(), 45, {70, 0, 0}).lure);
  ASSERT_EQ(found.poses.size(), 1U);
  EXPECT_TRUE(found.poses[0].indifferent);
  EXPECT_EQ(found.poses[0].share, 1);
  EXPECT_FALSE(found.poses[0].list_deg.has_value());
  EXPECT_EQ(found.poses[0].up, Vec3::UnitZ());  // back up stands for all
  EXPECT_EQ(found.poses[0].tail_down_deg, 0);
}

// Within 1 % of its mass a lure suspends; how it lies follows the sign of the reserve.
TEST(Suspender, LiesByTheSignOfItsReserve) {
  const auto at = [](double mass_g) {
    return balance(floating(forty_cm3(), mass_g, {71, 0, -2}).lure);
  };
  EXPECT_EQ(at(39.5).state, State::floats);
  EXPECT_EQ(at(39.7).state, State::suspends);
  EXPECT_TRUE(at(39.7).poses.at(0).waterline_offset_mm.has_value());
  EXPECT_EQ(at(40).state, State::suspends);
  EXPECT_EQ(at(40.3).state, State::suspends);
  EXPECT_FALSE(at(40.3).poses.at(0).waterline_offset_mm.has_value());
  EXPECT_EQ(at(40.5).state, State::sinks);
}

// With next to nothing above water a floater lies as it would hang: the waterplane's help is gone.
// Source: both solvers' limit. Tolerance: 1 mg of 40 g leaves a sliver of corner out of water.
TEST(Suspender, BarelyAfloatLiesAsItHangs) {
  const Vec3 G(71, 0.3, -2);
  const Vec3 hanging = balance(floating(forty_cm3(), 40.0001, G).lure).poses.at(0).up;
  const Balance barely = balance(floating(forty_cm3(), 40 - 1e-7, G).lure);
  ASSERT_FALSE(barely.poses.empty());
  EXPECT_LT(angle_deg(barely.poses[0].up, hanging), 0.5);
  EXPECT_NEAR(barely.poses[0].share, 1, 0.01) << described(barely);
}

// A body that is all under water, held up by a part that is partly out of it.
TEST(Floater, MayHangFromAPartThatIsAllThatSwims) {
  OwnedFloater made = floating(forty_cm3(), 41, {70, 0, -3});
  made.lure.outside = {{"float", {70, 0, 30}, 4000, 8, 8}};
  const Balance found = balance(made.lure);
  EXPECT_EQ(found.state, State::floats);
  ASSERT_FALSE(found.poses.empty());
  const RestPose& pose = found.poses[0];
  EXPECT_NEAR(pose.submerged_mm3, 40000, 1e-6);
  EXPECT_EQ(pose.waterplane_mm2, 0);
  // By hand: a gram of the float's four carries, so a quarter of its 16 mm is wet.
  EXPECT_NEAR(pose.waterline_offset_mm.value(), 30 - 8 + 4, 1e-6);
  EXPECT_NEAR(pose.list_deg.value(), 0, 1e-6);
}

}  // namespace
}  // namespace trueblank::water
