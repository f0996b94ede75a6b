// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "water/floating_bodies.h"

// Long bars of square, triangular and many-sided section.
namespace trueblank::water {

inline constexpr double bar_side_mm = 10;

// Twelve times as long as wide, so that it lies level fore and aft.
inline OwnedFloater square_bar(double gravity) {
  return uniform(test_bodies::closed(test_bodies::box(12 * bar_side_mm, bar_side_mm, bar_side_mm)),
                 gravity);
}

// The tilt from lying flat, 0 to 45, of every pose; all must be level fore and aft.
inline std::vector<double> tilts_from_flat(const Balance& found) {
  std::vector<double> tilts;
  for (const RestPose& pose : found.poses) {
    EXPECT_NEAR(pose.tail_down_deg, 0, 1e-6);
    const double turn = std::abs(std::remainder(pose.list_deg.value(), 90.0));
    tilts.push_back(turn);
  }
  std::sort(tilts.begin(), tilts.end());
  return tilts;
}

// Derived: see bar_test.cpp.
inline double expected_tilt_deg(double s) {
  s = std::min(s, 1 - s);
  if (s <= (3 - std::sqrt(3.0)) / 6) return 0;
  if (s <= 0.25) return std::atan(std::sqrt(12 * s * (1 - s) - 2)) / degree;
  if (s < 9.0 / 32) {
    const double r = std::sqrt(2.25 - 8 * s);
    return std::atan((1.5 - r) / (1.5 + r)) / degree;
  }
  return 45;
}

// An equilateral triangular bar with a corner down when list is 0.
inline OwnedFloater triangular_bar(double gravity) {
  const double r = bar_side_mm / std::sqrt(3.0);
  const std::vector<Eigen::Vector2d> section = {
      {r * std::cos(30 * degree), r * std::sin(30 * degree)},
      {-r * std::cos(30 * degree), r * std::sin(30 * degree)},
      {0, -r}};
  return uniform(test_bodies::closed(test_bodies::prism(section, 12 * bar_side_mm)), gravity);
}

// The tilt from having a corner straight down, 0 to 60.
inline std::vector<double> tilts_from_corner_down(const Balance& found) {
  std::vector<double> tilts;
  for (const RestPose& pose : found.poses) {
    tilts.push_back(std::abs(std::remainder(pose.list_deg.value(), 120.0)));
  }
  std::sort(tilts.begin(), tilts.end());
  return tilts;
}

// Along x over a regular polygon, with one side down where `sides` is twice an odd number.
inline geometry::ClosedMesh many_sided_bar(int sides, double length_mm) {
  constexpr double radius_mm = 40;
  std::vector<Eigen::Vector2d> section;
  for (int i = 0; i < sides; ++i) {
    const double round = i * 2 * std::numbers::pi / sides;
    section.emplace_back(radius_mm * std::cos(round), radius_mm * std::sin(round));
  }
  return test_bodies::closed(test_bodies::prism(section, length_mm));
}

}  // namespace trueblank::water
