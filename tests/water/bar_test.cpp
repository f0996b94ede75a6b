// SPDX-License-Identifier: GPL-3.0-or-later
// Long bars of square, triangular and many-sided section. Reid, "Floating of a long square bar",
// Am. J. Phys. 31, 565, 1963: sides parallel to the water at high and low density, 45° between, and
// every angle on the way. The tilts are derived (and checked by an independent polygon solver).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "water/bars.h"
#include "water/energy_field.h"
#include "water/floating_bodies.h"
#include "water/rest_places.h"

namespace trueblank::water {
namespace {

// Source: s ≤ (3−√3)/6: flat; up to 1/4 tan²φ = 12·s(1−s) − 2; up to 9/32
// tan φ = (1.5−r)/(1.5+r), r² = 2.25 − 8s; up to 23/32 45°; mirrored in s → 1−s. In
// numbers: 9.0377° at 0.215, 13.6749° at 0.22, 26.5651° at 0.25, 33.6901° at 0.27. Tolerance: 1e-6°
// away from the limits; a box of twelve facets is the exact body.
TEST(SquareBar, TiltsAsItsSpecificGravitySays) {
  EXPECT_NEAR(expected_tilt_deg(0.215), 9.0377, 5e-5);
  EXPECT_NEAR(expected_tilt_deg(0.27), 33.6901, 5e-5);
  for (const double s : {0.19, 0.22, 0.255, 0.275, 0.5, 0.78}) {
    const Balance found = balance(square_bar(s).lure);
    const double expected = expected_tilt_deg(s);
    const bool leans = expected > 0 && expected < 45;
    EXPECT_EQ(found.poses.size(), leans ? 8U : 4U) << "s = " << s << "\n" << described(found);
    for (const double tilt : tilts_from_flat(found)) EXPECT_NEAR(tilt, expected, 1e-6);
    // Four faces, two leans each: all are reached from equally many directions.
    for (const RestPose& pose : found.poses) {
      EXPECT_NEAR(pose.share, 1.0 / static_cast<double>(found.poses.size()), 0.003) << "s = " << s;
    }
  }
}

// Source: flat only while breadth/depth > √(6·s(1−s)), for a square bar outside 0.2113 to 0.7887.
TEST(SquareBar, LiesFlatOnlyWhenVeryLightOrVeryHeavy) {
  const auto lies_flat = [](double s) {
    return waterline_at(square_bar(s).lure, Vec3::UnitZ()).hessian_g_mm(1, 1) > 0;
  };
  EXPECT_TRUE(lies_flat(0.2113));
  EXPECT_FALSE(lies_flat(0.21135));
  EXPECT_FALSE(lies_flat(0.5));
  EXPECT_FALSE(lies_flat(0.78865));
  EXPECT_TRUE(lies_flat(0.7887));
  for (const double tilt : tilts_from_flat(balance(square_bar(0.2117).lure))) EXPECT_GT(tilt, 2);
}

// Source: the same limit at s = ½ is 1.224745; a bar of 1.22 tilts by 7.116°. Tolerance: the digits
// given.
TEST(RectangularBar, LiesFlatFromBreadthOverDepthOfRootOneAndAHalf) {
  const auto least_tilt = [](double breadth) {
    const Balance found =
        balance(uniform(test_bodies::closed(test_bodies::box(150, 10 * breadth, 10)), 0.5).lure);
    double least = 180;
    for (const RestPose& pose : found.poses) {
      least = std::min(least, std::abs(std::remainder(pose.list_deg.value(), 180.0)));
    }
    return least;
  };
  EXPECT_NEAR(least_tilt(1.22), 7.116, 5e-4);
  EXPECT_NEAR(least_tilt(1.23), 0, 1e-6);
}

// Source: tilt from vertex down at s = 0.51 and 0.56: 27.8856° and 6.5868°; vertex down from 9/16
// on; at 1 − s the same from vertex up, that is 60° from a vertex down. Tolerance: the digits
// given.
TEST(TriangularBar, TiltsFromItsCornerAsItsSpecificGravitySays) {
  for (const auto& [s, tilt] : {std::pair{0.51, 27.8856}, std::pair{0.56, 6.5868}}) {
    const Balance down = balance(triangular_bar(s).lure);
    EXPECT_EQ(down.poses.size(), 6U) << described(down);
    for (const double found : tilts_from_corner_down(down)) EXPECT_NEAR(found, tilt, 6e-5);
    const Balance up = balance(triangular_bar(1 - s).lure);
    EXPECT_EQ(up.poses.size(), 6U) << described(up);
    for (const double found : tilts_from_corner_down(up)) EXPECT_NEAR(found, 60 - tilt, 6e-5);
  }
  const Balance heavy = balance(triangular_bar(0.57).lure);
  EXPECT_EQ(heavy.poses.size(), 3U);
  for (const double found : tilts_from_corner_down(heavy)) EXPECT_NEAR(found, 0, 1e-6);
}

// A bar so light that it lies on the water as on a table rests on every side of its section: bent
// up over a fraction of a degree at each, bent down everywhere else.
TEST(ManySidedBar, VeryLightRestsOnEverySide) {
  constexpr int sides = 18;
  const Balance found = balance(uniform(many_sided_bar(sides, 400), 1e-4).lure);
  int on_a_side = 0;
  for (const RestPose& pose : found.poses) {
    if (std::abs(pose.tail_down_deg) > 45) continue;
    ++on_a_side;
    EXPECT_NEAR(pose.tail_down_deg, 0, 1e-6);
    EXPECT_NEAR(std::remainder(pose.list_deg.value(), 360.0 / sides), 0, 1e-6);
  }
  EXPECT_EQ(on_a_side, sides) << described(found);
}

// From 42 directions, however the bar is turned among them: where the model at each one
// is least lies nearer to a side than it does itself.
TEST(ManySidedBar, ShowsItsTwelveSidesToAFewDirections) {
  const SphereGrid few(1);
  for (unsigned seed = 1; seed <= 12; ++seed) {
    const Mat3 turn = test_bodies::random_turn(seed);
    const OwnedFloater made = uniform(many_sided_bar(12, 120).moved(turn, Vec3::Zero(), 1), 1e-4);
    const EnergyField field(made.lure, few, geometry::serial_for);
    const RestPlaces found = search_rest_places(made.lure, field);
    const auto on_a_side = [&](const RestPlace& place) {
      return std::abs(place.at.up.dot(turn.col(0))) < 0.5;
    };
    EXPECT_EQ(std::count_if(found.places().begin(), found.places().end(), on_a_side), 12) << seed;
  }
}

}  // namespace
}  // namespace trueblank::water
