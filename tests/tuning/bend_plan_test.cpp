// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/bend_plan.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

namespace trueblank::tuning {
namespace {

using std::numbers::pi;

rig::Wire wire(std::vector<Vec3> path) {
  return {.name = "line", .density_g_cm3 = 7.9, .diameter_mm = 1.2, .path_mm = std::move(path)};
}

TEST(BendPlan, OfAStraightWireHasNoBends) {
  const BendPlan plan = bend_plan(wire({{-8, 0, -1}, {4, 0, 4}, {4, 0, 4}, {16, 0, 9}}));
  EXPECT_TRUE(plan.bends.empty());
  ASSERT_EQ(plan.lengths_mm.size(), 1U);
  EXPECT_DOUBLE_EQ(plan.lengths_mm[0], 26);
  EXPECT_DOUBLE_EQ(plan.straight_mm, 26);
  EXPECT_EQ(plan.name, "line");
  EXPECT_EQ(plan.diameter_mm, 1.2);
}

TEST(BendPlan, TellsAnglesAndLengthsInOnePlane) {
  // Up by 45°, then level again: to one side and back to the other.
  const BendPlan plan = bend_plan(wire({{0, 0, 0}, {10, 0, 0}, {13, 0, 3}, {20, 0, 3}}));
  ASSERT_EQ(plan.bends.size(), 2U);
  EXPECT_NEAR(plan.bends[0].angle_deg, 45, 1e-12);
  EXPECT_NEAR(plan.bends[1].angle_deg, 45, 1e-12);
  EXPECT_EQ(plan.bends[0].twist_deg, 0);
  EXPECT_NEAR(plan.bends[1].twist_deg, 180, 1e-12);
  EXPECT_NEAR(plan.bends[0].from_start_mm, 10, 1e-12);
  EXPECT_NEAR(plan.bends[1].from_start_mm, 10 + std::sqrt(18), 1e-12);
  EXPECT_EQ(plan.bends[1].at_mm, Vec3(13, 0, 3));
  ASSERT_EQ(plan.lengths_mm.size(), 3U);
  EXPECT_NEAR(plan.lengths_mm[1], std::sqrt(18), 1e-12);
  EXPECT_NEAR(plan.lengths_mm[2], 7, 1e-12);
}

TEST(BendPlan, GoesOnToTheSameSideInAHoop) {
  const BendPlan plan = bend_plan(wire({{0, 0, 0}, {10, 0, 0}, {10, 0, 5}, {0, 0, 5}}));
  ASSERT_EQ(plan.bends.size(), 2U);
  EXPECT_NEAR(plan.bends[0].angle_deg, 90, 1e-12);
  EXPECT_NEAR(plan.bends[1].twist_deg, 0, 1e-12);
}

// Along x, y, z in turn: the planes' normals are z and then x, and y × z = x: a quarter turn,
// right-handed about y. In the mirror it is left-handed.
TEST(BendPlan, TwistsRightHandedAboutTheWire) {
  const BendPlan plan = bend_plan(wire({{0, 0, 0}, {10, 0, 0}, {10, 10, 0}, {10, 10, 10}}));
  ASSERT_EQ(plan.bends.size(), 2U);
  EXPECT_NEAR(plan.bends[1].twist_deg, 90, 1e-12);
  const BendPlan mirrored = bend_plan(wire({{0, 0, 0}, {10, 0, 0}, {10, -10, 0}, {10, -10, 10}}));
  EXPECT_NEAR(mirrored.bends[1].twist_deg, -90, 1e-12);
}

// The plan alone makes the path again: straight on, turned by the angle in a plane that is turned
// by the twist.
TEST(BendPlan, MakesThePathAgain) {
  const std::vector<Vec3> path = {{-9, 1, 0}, {4, 0, 2},   {20, -3, 1},
                                  {33, 2, 6}, {60, 1, -2}, {71, 0, 0}};
  const BendPlan plan = bend_plan(wire(path));
  ASSERT_EQ(plan.bends.size(), 4U);
  Vec3 run = (path[1] - path[0]).normalized();
  Vec3 normal = run.cross(path[2] - path[1]).normalized();
  Vec3 at = path[0];
  for (std::size_t i = 0; i <= plan.bends.size(); ++i) {
    at += plan.lengths_mm[i] * run;
    EXPECT_NEAR((at - path[i + 1]).norm(), 0, 1e-10) << i;
    if (i == plan.bends.size()) break;
    const double twist = plan.bends[i].twist_deg * pi / 180;
    normal = std::cos(twist) * normal + std::sin(twist) * run.cross(normal);
    const double angle = plan.bends[i].angle_deg * pi / 180;
    run = std::cos(angle) * run + std::sin(angle) * normal.cross(run);
  }
}

// A second way: the loop and the wraps as polylines of many points.
TEST(BendPlan, CountsTheLoopAndTheWrapsOfBothEyes) {
  const double d = 1.2;
  const int steps = 100000;
  double length = 0;
  const auto add = [&](const auto& point) {
    Vec3 before = point(0.0);
    for (int k = 1; k <= steps; ++k) {
      const Vec3 next = point(static_cast<double>(k) / steps);
      length += (next - before).norm();
      before = next;
    }
  };
  // The wire's middle runs half a diameter outside the eye's inside, and one diameter from the
  // middle of the wire that it is wound on, a diameter further a turn.
  const double loop = 2.5 * d / 2 + d / 2;
  add([&](double t) -> Vec3 { return loop * Vec3(std::cos(2 * pi * t), std::sin(2 * pi * t), 0); });
  add([&](double t) -> Vec3 {
    return Vec3(d * std::cos(6 * pi * t), d * std::sin(6 * pi * t), 3 * d * t);
  });
  const BendPlan plan = bend_plan(wire({{0, 0, 0}, {10, 0, 0}}));
  EXPECT_NEAR(plan.eye_mm, length, 1e-6);
  EXPECT_EQ(plan.eyes, 2);
  EXPECT_DOUBLE_EQ(plan.cut_mm, 10 + 2 * plan.eye_mm);
  EXPECT_DOUBLE_EQ(plan.eye_mm, eye_length_mm(d, 3, 3));
}

// Source: a cylinder's volume times the density.
TEST(BendPlan, WeighsTheEyesThatAPathLeavesOut) {
  rig::Wire bent = wire({{0, 0, 0}, {10, 0, 0}});
  const BendPlan plan = bend_plan(bent);
  const double volume_mm3 = pi * 0.6 * 0.6 * (plan.cut_mm - 10);
  EXPECT_NEAR(plan.eyes_uncounted_g, 7.9e-3 * volume_mm3, 1e-12);
  bent.weighed_g = 2;
  EXPECT_EQ(bend_plan(bent).eyes_uncounted_g, 0);
}

}  // namespace
}  // namespace trueblank::tuning
