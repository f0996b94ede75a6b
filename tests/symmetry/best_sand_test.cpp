// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/best_sand.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;
using test_bodies::closed;
using test_bodies::random_turn;

// Both halves over the ellipse πac of the middle plane: at the share f = √(1 − x²/a² − z²/c²) of
// the height the widths differ by D·f, and by |D·f − 2s| for a plane moved by s to the right. f has
// the density 2f over the ellipse, so the mean of |D·f − 2s| is least where 2s = D/√2, its median.
// There it is D·(2/3)(1 − 1/√2); at s = 0 it is D·2/3. So the least loss is 1 − 1/√2 = 0.2929 of
// what the middle plane loses, which is ⅔πac·D = 1209.51 mm³.
TEST(BestSand, OfTwoHalfEllipsoidsLosesThreeTenthsOfWhatTheMiddlePlaneLoses) {
  const geometry::Mat3 turn = random_turn(3);
  const Vec3 shift(40, -3, 8);
  const geometry::ClosedMesh body =
      closed(test_bodies::moved(test_bodies::two_halves(82.5, 11, 11.5, 14, 60, 80), turn, shift));
  const Vec3 normal = turn * Vec3::UnitY();
  const BestSand best = best_sand_plane(body, {normal, normal.dot(shift)}, {});
  const double whole = 2.0 / 3 * std::numbers::pi * 82.5 * 14 * 0.5;
  // The facets take a hundredth off what the smooth body has, and the rim's deviations, measured
  // square to the skin, are of second order.
  EXPECT_NEAR(best.at_start_mm3, whole, 0.01 * whole);
  EXPECT_NEAR(best.remove_mm3, (1 - 1 / std::numbers::sqrt2) * whole, 0.01 * whole);
  EXPECT_NEAR(best.plane.height_mm(shift), -0.5 / (2 * std::numbers::sqrt2), 0.01);
  EXPECT_NEAR(std::abs(best.plane.normal.dot(normal)), 1, 1e-6);
}

TEST(BestSand, LeavesACleanBodyAloneAndNeverLosesMoreThanItsStart) {
  const geometry::ClosedMesh glider = closed(test_bodies::glider(4000));
  const BestSand clean = best_sand_plane(glider, {Vec3::UnitY(), 0}, {});
  EXPECT_LT(clean.remove_mm3, 1e-6);
  EXPECT_NEAR(clean.plane.offset_mm, 0, 1e-6);
  const BestSand off = best_sand_plane(glider, {Vec3(0.02, 1, 0.03).normalized(), 0.4}, {});
  EXPECT_GT(off.at_start_mm3, 100);
  EXPECT_LT(off.remove_mm3, 1);
  EXPECT_NEAR(off.plane.offset_mm, 0, 0.01);
}

TEST(BestSand, GivesTheNoisyBodyNoWorseAPlaneThanItsOwn) {
  const geometry::TriangleMesh mesh = test_bodies::bumped(
      test_bodies::noisy(test_bodies::pencil(5000), 0.1, 6, 2), 0.8, Vec3(60, 8, 0), 0.1);
  const BestSand best = best_sand_plane(closed(mesh), {Vec3::UnitY(), 0}, {});
  EXPECT_LE(best.remove_mm3, best.at_start_mm3);
  EXPECT_LT(off_deg(best.plane, planted(mesh, geometry::Mat3::Identity(), Vec3::Zero())), 3);
}

}  // namespace
}  // namespace trueblank::symmetry
