// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>

#include "water/shares.h"

// Derivation. Where the energy is g·x + x·Kx/2, with K the diagonal of (k, l), steepest descent
// x' = −(g + Kx) from the origin comes after the time t to x = −g₁(1 − exp(−kt))/k, and so for y
// and l. So −t = ln(1 + k·x/g₁)/k = ln(1 + l·y/g₂)/l.
namespace trueblank::water {
namespace {

/// At up = z, x and y are the tangents.
Vec3 step_of(double g1, double g2, double k, double l, double length_rad) {
  Mat3 hessian = Mat3::Zero();
  hessian(0, 0) = k;
  hessian(1, 1) = l;
  return descent_step(Vec3::UnitZ(), {g1, g2, 0}, hessian, length_rad);
}

TEST(DescentStep, EndsAtTheRestThatIsWithinItsLength) {
  for (const double length : {0.0224, 0.03, 1.0}) {  // it is 0.02236 away
    EXPECT_LT((step_of(0.04, 0.08, 2, 8, length) - Vec3(-0.02, -0.01, 0)).norm(), 1e-15) << length;
    EXPECT_LT((step_of(0.08, 0.04, 8, 2, length) - Vec3(-0.01, -0.02, 0)).norm(), 1e-15) << length;
  }
}

TEST(DescentStep, FollowsTheWayOfSteepestDescentForItsLength) {
  for (const double length : {0.1, 0.02, 0.001}) {
    for (const double k : {2.0, 0.5, -2.0}) {
      const double g1 = 2;
      const double g2 = 4;
      const double l = 8;
      const Vec3 step = step_of(g1, g2, k, l, length);
      EXPECT_LE(step.norm(), length * (1 + 1e-15)) << k;
      EXPECT_GT(step.norm(), 0.7 * length) << k;
      EXPECT_NEAR(step.z(), 0, 1e-15);
      EXPECT_LT(step.x(), 0);
      // Minus the time, by either.
      const double by_x = std::log1p(k * step.x() / g1) / k;
      const double by_y = std::log1p(l * step.y() / g2) / l;
      EXPECT_NEAR(by_x, by_y, 1e-12) << k << ", " << length;
    }
  }
}

TEST(DescentStep, GoesStraightWhereNothingBends) {
  EXPECT_LT((step_of(3, -4, 0, 0, 0.05) - Vec3(-0.03, 0.04, 0)).norm(), 1e-15);
}

// A ridge's slope grows to e³ of itself, some twentyfold, in a step and no further.
TEST(DescentStep, IsShortWhereItFallsOffARidge) {
  const Vec3 step = step_of(2e-4, 0, -2, 8, 0.1);
  EXPECT_NEAR(step.x(), -1e-4 * std::expm1(3), 1e-15);
  EXPECT_NEAR(step.y(), 0, 1e-15);
}

TEST(DescentStep, StaysWhereItIsLevel) { EXPECT_EQ(step_of(0, 0, -2, 8, 0.1), Vec3::Zero()); }

}  // namespace
}  // namespace trueblank::water
