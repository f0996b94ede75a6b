// SPDX-License-Identifier: GPL-3.0-or-later
// Logs, discs, cones and paraboloids, of many flat sides each.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

using Outline = std::vector<Eigen::Vector2d>;

constexpr double diameter_mm = 20;

// Axis along z, volume that of the round one.
OwnedFloater disc(double length_over_diameter, double gravity) {
  const double length = length_over_diameter * diameter_mm;
  const Outline outline = {{diameter_mm / 2, -length / 2}, {diameter_mm / 2, length / 2}};
  return uniform(test_bodies::closed(test_bodies::turned(outline, 360)), gravity);
}

double least_curvature_axis_upright(const Floater& lure) {
  const Mat3 second = waterline_at(lure, Vec3::UnitZ()).hessian_g_mm;
  return std::min(second(0, 0), second(1, 1));
}

// Source: axis upright is stable for L/D < 1/√(8·s(1−s)): 0.707107 at ½, 0.741249 at 0.65, 0.771517
// at 0.3 and 0.7 (also the textbook exercise R/L = √(2S(1−S))). Tolerance: 360 sides move the limit
// by 1e-4.
TEST(Disc, StandsOnEndWhileShortEnough) {
  for (const auto& [s, limit] : {std::pair{0.5, 0.707107}, std::pair{0.65, 0.741249},
                                 std::pair{0.3, 0.771517}, std::pair{0.7, 0.771517}}) {
    EXPECT_GT(least_curvature_axis_upright(disc(limit - 3e-4, s).lure), 0) << s;
    EXPECT_LT(least_curvature_axis_upright(disc(limit + 3e-4, s).lure), 0) << s;
  }
}

// Source: between, at s = ½, it leans by tan²φ = 4(L/D)² − 2 while L/D ≤ √(2/3): 26.5651° at 0.75;
// beyond that by mesh 51.58° at 0.90. To whichever side: two rings, one with each end up, that are
// indifferent. Tolerance: 0.02°.
TEST(Disc, LeansToNoSideInParticularBetweenStandingAndLying) {
  for (const auto& [ratio, lean] : {std::pair{0.75, 26.5651}, std::pair{0.90, 51.58}}) {
    const Balance found = balance(disc(ratio, 0.5).lure);
    ASSERT_EQ(found.poses.size(), 2U) << "L/D " << ratio << "\n" << described(found);
    for (const RestPose& pose : found.poses) {
      EXPECT_TRUE(pose.indifferent);
      EXPECT_NEAR(std::acos(std::abs(pose.up.z())) / degree, lean, 0.02);
      EXPECT_NEAR(pose.share, 0.5, 1e-3);
    }
  }
}

// Source: a lying log at s = ½ is stable for L > D; its roll GM is nil, its pitch GM
// 2(L²−D²)/(3πD). One pose, and no list to tell. Tolerance: 1e-4 for 360 sides.
TEST(Log, LiesIndifferentInRoll) {
  const double length = 60;
  const Outline outline = {{diameter_mm / 2, 0}, {diameter_mm / 2, length}};
  const OwnedFloater made = uniform(along_x(test_bodies::turned(outline, 360)), 0.5);
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 1U) << described(found);
  const RestPose& pose = found.poses[0];
  EXPECT_TRUE(pose.indifferent);
  EXPECT_FALSE(pose.list_deg.has_value());
  EXPECT_NEAR(pose.tail_down_deg, 0, 1e-6);
  EXPECT_NEAR(pose.share, 1, 1e-9);
  EXPECT_NEAR(pose.up.z(), 1, 1e-5);  // told with the back up
  const double gm_pitch =
      2 * (length * length - diameter_mm * diameter_mm) / (3 * std::numbers::pi * diameter_mm);
  EXPECT_NEAR(pose.gm_pitch_mm.value(), gm_pitch, 1e-4 * gm_pitch);
  EXPECT_NEAR(pose.gm_roll_mm.value(), 0, 1e-3);
  EXPECT_FALSE(list_for_sideways_move_deg(pose, 1, 2).has_value());
}

// A log off whose middle the centre of mass lies is not indifferent: it hangs.
TEST(Log, WithAWeightInItRollsTheWeightDown) {
  const Outline outline = {{diameter_mm / 2, 0}, {diameter_mm / 2, 60}};
  OwnedFloater made = uniform(along_x(test_bodies::turned(outline, 360)), 0.5);
  made.lure.centre_of_mass_mm += Vec3(0, 1, -4);
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 1U) << described(found);
  EXPECT_FALSE(found.poses[0].indifferent);
  // Source: G straight below: atan(1/4). Tolerance: 360 sides.
  EXPECT_NEAR(found.poses[0].list_deg.value(), 14.0362, 1e-2);
}

// Source: cone, vertex down, half angle α: GM = ¾h(s^⅓/cos²α − 1), so stable for s^⅓ > cos²α; for
// s 0.7 the least apex angle is 39.12° (solution page). Vertex up: s replaced by 1 − s.
// Tolerance: 720 sides, 1e-4 of a height.
TEST(Cone, StandsOnItsVertexWhenBluntEnough) {
  const double h = 40;
  for (const double s : {0.3, 0.5, 0.7}) {
    for (const double half_angle : {15.0, 19.0, 21.0, 30.0}) {
      const double r = h * std::tan(half_angle * degree);
      const OwnedFloater down =
          uniform(test_bodies::closed(test_bodies::turned({{0, 0}, {r, h}}, 720)), s);
      const OwnedFloater up =
          uniform(test_bodies::closed(test_bodies::turned({{r, 0}, {0, h}}, 720)), 1 - s);
      const double cosine = std::cos(half_angle * degree);
      const double gm = 0.75 * h * (std::cbrt(s) / (cosine * cosine) - 1);
      const auto found = [&](const OwnedFloater& cone) {
        return waterline_at(cone.lure, Vec3::UnitZ()).hessian_g_mm(0, 0) / cone.lure.mass_g;
      };
      EXPECT_NEAR(found(down), gm, 1e-4 * h) << s << " " << half_angle;
      // What is under water and what is over it change places, moments and all.
      EXPECT_NEAR(found(up) * (1 - s), gm * s, 1e-4 * h) << s << " " << half_angle;
    }
  }
  const double cosine2 = std::cbrt(0.7);
  EXPECT_NEAR(2 * std::acos(std::sqrt(cosine2)) / degree, 39.12, 5e-3);
}

// Source: paraboloid r² = p·z of height h, vertex down, base dry: GM = ⅔h√s + p/2 − ⅔h; upright is
// stable for √s ≥ 1 − 3p/(4h): at h = 1.5p from s = 0.25, at 2p from 0.390625, always if h ≤ 3p/4
// (Archimedes, On Floating Bodies II, props 2, 4 and 10, as told in Heath, A History of Greek
// Mathematics II, 1921). Tolerance: 4e-5 of a GM's terms for the mesh.
TEST(Paraboloid, StandsAsArchimedesSays) {
  const double p = 20;
  for (const double h_over_p : {0.7, 1.5, 2.0}) {
    const double h = h_over_p * p;
    Outline outline;
    for (int i = 0; i <= 200; ++i) {
      const double z = h * i * i / (200.0 * 200.0);
      outline.emplace_back(std::sqrt(p * z), z);
    }
    const geometry::ClosedMesh mesh = test_bodies::closed(test_bodies::turned(outline, 400));
    const double limit = std::pow(std::max(0.0, 1 - 0.75 / h_over_p), 2);
    for (const double s : {limit - 0.01, limit + 0.01, 0.5, 0.8}) {
      if (s <= 0.005) continue;
      const OwnedFloater made = uniform(mesh, s);
      const Waterline line = waterline_at(made.lure, Vec3::UnitZ());
      const double gm = 2.0 / 3 * h * std::sqrt(s) + p / 2 - 2.0 / 3 * h;
      const double found = line.hessian_g_mm(0, 0) / made.lure.mass_g;
      EXPECT_NEAR(found, gm, 2e-4 * h) << h_over_p << " " << s;
      EXPECT_EQ(found > 0, s > limit) << h_over_p << " " << s;
    }
  }
}

}  // namespace
}  // namespace trueblank::water
