// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/roundness.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using geometry::Vec3;
using test_bodies::closed;

// A regular polygon with n sides about a circle of radius h: the radius is h/cos φ over ±π/n, whose
// mean is h·(n/π)·asinh(tan(π/n)); the greatest is h/cos(π/n).
TEST(Roundness, OfARegularPrismIsThatOfItsPolygonWhereverItLies) {
  for (const int sides : {3, 8, 41}) {
    std::vector<Eigen::Vector2d> corners;
    const double h = 7;
    const double half = std::numbers::pi / sides;
    for (int i = 0; i < sides; ++i) {
      const double turn = 2 * half * i + 0.1;
      corners.emplace_back(h / std::cos(half) * std::cos(turn) + 3,
                           h / std::cos(half) * std::sin(turn) - 40);
    }
    const std::vector<Roundness> list =
        roundness(closed(test_bodies::prism(corners, 100)), std::vector<double>{30, -20.5, 50.1});
    ASSERT_EQ(list.size(), 2U) << sides;
    EXPECT_EQ(list[0].x_mm, 30);
    EXPECT_EQ(list[1].x_mm, -20.5);
    for (const Roundness& one : list) {
      EXPECT_NEAR(one.radius_mm, h * std::asinh(std::tan(half)) / half, 1e-12) << sides;
      EXPECT_NEAR(one.out_of_round_mm, h * (1 / std::cos(half) - 1) / 2, 1e-12) << sides;
    }
  }
}

// An ellipse with half axes b, c is (c − b)/2 out of round.
TEST(Roundness, OfAnOvalBodyIsHalfTheDifferenceOfItsHalfAxes) {
  const auto half_axes_at = [](double x, double b) { return b * std::sqrt(1 - x * x / 6400); };
  const std::vector<double> x_mm = {-50, 0, 30};
  const std::vector<Roundness> list =
      roundness(closed(test_bodies::ellipsoid(80, 10, 10.4, 400, 400)), x_mm);
  ASSERT_EQ(list.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    const double b = half_axes_at(x_mm[i], 10);
    const double c = half_axes_at(x_mm[i], 10.4);
    // Between b and c; for so small a difference the mean radius is √(bc) to (c−b)²/16b.
    EXPECT_NEAR(list[i].radius_mm, std::sqrt(b * c), 0.003);
    // The chords of 400 facets lie b·(π/400)²/2 = 0.0003 mm deep.
    EXPECT_NEAR(list[i].out_of_round_mm, (c - b) / 2, 0.001);
  }
}

}  // namespace
}  // namespace trueblank::symmetry
