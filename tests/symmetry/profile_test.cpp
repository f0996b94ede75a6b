// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/profile.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "symmetry/copied_bodies.h"
#include "symmetry/lopsided.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::bumped;
using test_bodies::glider;
using test_bodies::noisy;

// Source: ISO 1101's zone is bounded by the surfaces that spheres roll out about the true one; of
// concentric spheres 0.5 mm apart all is within ± 0.51 and all beyond ± 0.48 (facets: 0.008 mm).
TEST(ConcentricSpheres, PassOrFailByTheDifferenceOfTheirRadii) {
  const Pair pair(test_bodies::ellipsoid(20, 20, 20, 160, 160),
                  test_bodies::ellipsoid(20.5, 20.5, 20.5, 160, 160));
  const Profile wide = pair.held_to(0.51);
  EXPECT_TRUE(wide.passed);
  EXPECT_TRUE(wide.places.empty());
  EXPECT_NEAR(wide.largest_mm, 0.5, 0.008);
  const Profile narrow = pair.held_to(0.48);
  EXPECT_FALSE(narrow.passed);
  ASSERT_EQ(narrow.places.size(), 1U);
  EXPECT_NEAR(narrow.places[0].area_mm2, 4 * std::numbers::pi * 20.5 * 20.5, 10);
  EXPECT_NEAR(narrow.places[0].greatest_mm, 0.5, 0.008);
}

TEST(Profile, OfABodyAgainstItselfIsNil) {
  const TriangleMesh mesh = glider(4000);
  const Profile profile = Pair(mesh, mesh).held_to(1e-6);
  EXPECT_TRUE(profile.passed);
  EXPECT_EQ(profile.largest_mm, 0);
  EXPECT_EQ(profile.p95_mm, 0);
}

TEST(LostTail, FailsThoughTheCopyIsNowhereTooLarge) {
  const TriangleMesh whole = plain_ellipsoid(120, 80);
  const Profile profile = Pair(whole, cut_off(whole, 155)).held_to(1);
  EXPECT_FALSE(profile.passed);
  ASSERT_EQ(profile.places.size(), 1U);
  EXPECT_EQ(profile.places[0].seen_on, SeenOn::master);
  EXPECT_EQ(profile.places[0].place, Place::tail);
  EXPECT_NEAR(profile.places[0].greatest_mm, -10, 1e-9);
  EXPECT_NEAR(profile.largest_mm, -10, 1e-9);
  EXPECT_EQ(profile.largest_on, SeenOn::master);
  // The 95th percentile is far within: it is the single place that fails.
  EXPECT_LT(profile.p95_mm, 1);
}

TEST(FailingPlaces, ComeLargestFirstWithTheirSigns) {
  const TriangleMesh plain = glider(9000);
  TriangleMesh marred = bumped(plain, 0.8, Vec3(35, 9.5, 0), 0.03);
  marred = bumped(marred, -1.2, Vec3(80, -7.2, 0), 0.03);
  const Profile profile = Pair(plain, marred).held_to(0.5);
  EXPECT_FALSE(profile.passed);
  ASSERT_EQ(profile.places.size(), 2U);
  EXPECT_NEAR(profile.places[0].greatest_mm, -1.2, 0.1);
  EXPECT_EQ(profile.places[0].side, Side::left);
  EXPECT_NEAR(profile.places[1].greatest_mm, 0.8, 0.05);
  EXPECT_EQ(profile.places[1].side, Side::right);
  EXPECT_LT(profile.places[1].from_station_mm, 35);
  EXPECT_GT(profile.places[1].to_station_mm, 35);
}

// Noise of 0.06 mm on both, 0.085 in the deviation: among thousands of vertices some lie beyond
// 0.25 mm, and none of it is the copy's.
TEST(ScanNoiseAlone, NeverFails) {
  for (unsigned i = 0; i < 5; ++i) {
    const Pair pair(noisy(glider(5000), 0.06, 2, 10 + i), noisy(glider(6000), 0.06, 2, 20 + i));
    const Profile profile = pair.held_to(0.25);
    EXPECT_GT(std::abs(profile.largest_mm), 0.25) << i;
    EXPECT_TRUE(profile.passed) << i;
    EXPECT_NEAR(profile.noise_p95_mm, 1.96 * 0.085, 0.03);
    EXPECT_NEAR(profile.p95_mm, profile.noise_p95_mm, 0.03);
  }
}

// A place within the zone stays within it however noisy: 0.3 mm and the noise's peaks.
TEST(BumpWithinTheZone, PassesUnderNoiseAndBeyondItFails) {
  const TriangleMesh master = noisy(glider(12000), 0.06, 2, 3);
  const TriangleMesh marred = bumped(glider(9000), 0.8, Vec3(45, 9.5, 0), 0.05);
  const TriangleMesh slight = bumped(glider(9000), 0.3, Vec3(45, 9.5, 0), 0.05);
  EXPECT_TRUE(Pair(master, noisy(slight, 0.06, 2, 4)).held_to(0.32).passed);
  const Profile failed = Pair(master, noisy(marred, 0.06, 2, 4)).held_to(0.32);
  EXPECT_FALSE(failed.passed);
  ASSERT_GE(failed.places.size(), 1U);
  EXPECT_NEAR(failed.places[0].greatest_mm, 0.8, 0.3);
}

}  // namespace
}  // namespace trueblank::symmetry
