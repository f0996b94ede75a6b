// SPDX-License-Identifier: GPL-3.0-or-later
// The cube, a body with many ways to lie. Gilbert, "How things float", Amer. Math. Monthly 98(3),
// 201-216, 1991: a cube can float tilted, and can have a family of indifferent poses. Limits and
// heights derived (and checked by an independent mesh solver, 40 starts at 20 densities).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

constexpr double side_mm = 40;

OwnedFloater cube(double gravity) {
  return uniform(test_bodies::closed(test_bodies::box(side_mm, side_mm, side_mm)), gravity);
}

// How far `up` is from the nearest of the cube's face, edge and corner directions.
double from_face_deg(const Vec3& up) { return std::acos(up.cwiseAbs().maxCoeff()) / degree; }

double from_corner_deg(const Vec3& up) {
  const Vec3 corner = up.cwiseSign() / std::sqrt(3.0);
  return angle_deg(up, corner);
}

struct Count {
  int flat = 0;
  int corner_up = 0;
  int rings = 0;
  int other = 0;
};

Count counted(const Balance& found) {
  Count count;
  for (const RestPose& pose : found.poses) {
    if (pose.indifferent) {
      ++count.rings;
    } else if (from_face_deg(pose.up) < 1e-5) {
      ++count.flat;
    } else if (from_corner_deg(pose.up) < 1e-5) {
      ++count.corner_up;
    } else {
      ++count.other;
    }
  }
  return count;
}

double corner_gm(const Balance& found) {
  for (const RestPose& pose : found.poses) {
    if (!pose.indifferent && from_corner_deg(pose.up) < 1e-5) {
      return pose.least_stiffness_g_mm_per_deg / degree / found.mass_g / side_mm;
    }
  }
  return 0;
}

// Source: flat is stable below (3−√3)/6 = 0.211325, corner up from 1/6 to 5/6, so that between them
// there are 6 + 8 poses; corner up has GM 0.03751 of the side at 0.2.
TEST(Cube, HasFourteenPosesBetweenASixthAndTheFlatLimit) {
  for (const double s : {0.17, 0.2110, 0.8}) {
    const Balance found = balance(cube(s).lure);
    const Count count = counted(found);
    EXPECT_EQ(count.flat, 6) << "s = " << s << "\n" << described(found);
    EXPECT_EQ(count.corner_up, 8) << "s = " << s << "\n" << described(found);
    EXPECT_EQ(count.rings + count.other, 0) << "s = " << s << "\n" << described(found);
  }
  EXPECT_NEAR(corner_gm(balance(cube(0.2).lure)), 0.03751, 5e-6);
}

TEST(Cube, LiesFlatAloneBelowASixth) {
  const Balance found = balance(cube(0.16).lure);
  const Count count = counted(found);
  EXPECT_EQ(count.flat, 6) << described(found);
  EXPECT_EQ(found.poses.size(), 6U) << described(found);
  for (const RestPose& pose : found.poses) EXPECT_NEAR(pose.share, 1.0 / 6, 1e-3);
}

// Source: between 0.211325 and (6−2√2)/14 = 0.226541 a whole ring about each face direction, tilted
// by tan²φ = 12·s(1−s) − 2, is neutral: one stiffness exactly nil. Tolerance: 0.001° for a ring's
// tilt (it is followed in steps, each taken back to its floor).
TEST(Cube, IsIndifferentRoundARingOfTiltsAboveTheFlatLimit) {
  for (const double s : {0.2122, 0.22, 0.226}) {
    const Balance found = balance(cube(s).lure);
    const Count count = counted(found);
    EXPECT_EQ(count.rings, 6) << "s = " << s << "\n" << described(found);
    EXPECT_EQ(count.corner_up, 8) << "s = " << s << "\n" << described(found);
    EXPECT_EQ(count.flat + count.other, 0) << "s = " << s << "\n" << described(found);
    const double tilt = std::atan(std::sqrt(12 * s * (1 - s) - 2)) / degree;
    for (const RestPose& pose : found.poses) {
      if (!pose.indifferent) continue;
      EXPECT_NEAR(from_face_deg(pose.up), tilt, 1e-3);
      EXPECT_NEAR(pose.least_stiffness_g_mm_per_deg, 0, 1e-5);
    }
  }
}

// Source: GM corner up 0.05427 at ¼ and 0.03608 at ½; at ½ it is the only way to lie, its B lies
// 13√3/96 of the side below G.
TEST(Cube, LiesCornerUpAloneAtHalfTheWatersDensity) {
  EXPECT_NEAR(corner_gm(balance(cube(0.25).lure)), 0.05427, 5e-6);
  const Balance found = balance(cube(0.5).lure);
  EXPECT_EQ(counted(found).corner_up, 8) << described(found);
  EXPECT_EQ(found.poses.size(), 8U) << described(found);
  EXPECT_NEAR(corner_gm(found), 0.03608, 5e-6);
  for (const RestPose& pose : found.poses) {
    EXPECT_NEAR(pose.up.dot(pose.centre_of_buoyancy_mm), -13 * std::sqrt(3.0) / 96 * side_mm, 1e-9);
    EXPECT_NEAR(pose.share, 0.125, 1e-3);
  }
}

// Its eight corner poses are as likely and list by 45 or by 135 to either side, tail down or nose
// down: told by how much they list, then to the right first, then tail down first, however they
// differ by a hair.
TEST(Cube, TellsItsCornersInOrder) {
  for (const Vec3& aside : {Vec3(0, 0, 0), Vec3(1, 2, 3), Vec3(-1, 2, -3), Vec3(2, -1, 3),
                            Vec3(-2, -3, 1), Vec3(3, 1, -2)}) {
    OwnedFloater made = uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.5);
    made.lure.centre_of_mass_mm += 1e-7 * aside;
    const Balance found = balance(made.lure);
    ASSERT_EQ(found.poses.size(), 8U) << described(found);
    std::size_t i = 0;
    for (const double list_deg : {45.0, -45.0, 135.0, -135.0}) {
      for (const double tail_sign : {1.0, -1.0}) {
        const RestPose& pose = found.poses[i++];
        EXPECT_NEAR(pose.list_deg.value(), list_deg, 1e-4) << aside.transpose();
        EXPECT_NEAR(pose.tail_down_deg, tail_sign * std::asin(1 / std::sqrt(3.0)) / degree, 1e-4)
            << aside.transpose();
      }
    }
  }
}

}  // namespace
}  // namespace trueblank::water
