// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <functional>

#include "geometry/moments.h"
#include "rig/mass_model.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

// A lure-like body that leans a little to one side and lies in two ways.
OwnedFloater leaning_glider(double shift_y_mm = 0.3, int facets = 3000) {
  const geometry::ClosedMesh mesh = test_bodies::closed(test_bodies::glider(facets));
  const geometry::Moments whole = geometry::moments(mesh);
  return floating(mesh, 0.6e-3 * whole.volume_mm3, whole.centroid_mm + Vec3(4, shift_y_mm, -0.4));
}

// All poses of one in the other's order of up, after `image`.
void expect_same_poses(const Balance& a, const Balance& b, const std::function<Vec3(Vec3)>& image,
                       double energy_ratio, double angle_tolerance_deg) {
  ASSERT_EQ(a.poses.size(), b.poses.size()) << described(a) << described(b);
  for (const RestPose& one : a.poses) {
    const auto nearest = std::min_element(
        b.poses.begin(), b.poses.end(), [&](const RestPose& left, const RestPose& right) {
          return angle_deg(left.up, image(one.up)) < angle_deg(right.up, image(one.up));
        });
    EXPECT_LT(angle_deg(nearest->up, image(one.up)), angle_tolerance_deg);
    EXPECT_NEAR(nearest->energy_g_mm, one.energy_g_mm * energy_ratio,
                1e-6 * std::abs(one.energy_g_mm * energy_ratio));
    EXPECT_NEAR(nearest->least_stiffness_g_mm_per_deg,
                one.least_stiffness_g_mm_per_deg * energy_ratio,
                1e-5 * one.least_stiffness_g_mm_per_deg * energy_ratio);
    EXPECT_NEAR(nearest->share, one.share, 0.002);
  }
}

TEST(Laws, MirroredBodyListsToTheOtherSide) {
  const OwnedFloater made = leaning_glider();
  OwnedFloater image =
      floating(test_bodies::closed(test_bodies::mirrored_y(made.mesh->mesh())), made.lure.mass_g,
               made.lure.centre_of_mass_mm.cwiseProduct(Vec3(1, -1, 1)));
  expect_same_poses(
      balance(made.lure), balance(image.lure),
      [](const Vec3& up) { return Vec3(up.x(), -up.y(), up.z()); }, 1, 1e-6);
}

TEST(Laws, TwiceAsLargeABodyLiesTheSameAndStandsSixteenTimesAsFirm) {
  const OwnedFloater made = leaning_glider();
  const OwnedFloater large = floating(made.mesh->moved(Mat3::Identity(), Vec3::Zero(), 2),
                                      8 * made.lure.mass_g, 2 * made.lure.centre_of_mass_mm);
  expect_same_poses(
      balance(made.lure), balance(large.lure), [](const Vec3& up) { return up; }, 16, 1e-6);
}

TEST(Laws, OrderOfFacetsDoesNotMatter) {
  const OwnedFloater made = leaning_glider();
  const OwnedFloater shuffled =
      floating(test_bodies::closed(test_bodies::shuffled(made.mesh->mesh(), 7)), made.lure.mass_g,
               made.lure.centre_of_mass_mm);
  expect_same_poses(
      balance(made.lure), balance(shuffled.lure), [](const Vec3& up) { return up; }, 1, 1e-6);
}

// A body in another frame lies the same in space: the pose turns along.
TEST(Laws, TurnedBodyLiesTheSameInSpace) {
  const OwnedFloater made = leaning_glider();
  const Mat3 turn = test_bodies::random_turn(11);
  const OwnedFloater turned_round =
      floating(made.mesh->moved(turn, Vec3(5, -3, 9)), made.lure.mass_g,
               turn * made.lure.centre_of_mass_mm + Vec3(5, -3, 9));
  const Balance one = balance(made.lure);
  const Balance other = balance(turned_round.lure);
  ASSERT_EQ(one.poses.size(), other.poses.size());
  for (const RestPose& pose : one.poses) {
    double least = 180;
    double share = 0;
    for (const RestPose& candidate : other.poses) {
      const double angle = angle_deg(candidate.up, turn * pose.up);
      if (angle < least) share = candidate.share;
      least = std::min(least, angle);
    }
    EXPECT_LT(least, 1e-6);
    EXPECT_NEAR(share, pose.share, 0.01);  // the grid lies elsewhere on the body
  }
}

// Reverse order and several threads: the same bits.
TEST(Laws, NumberOfThreadsDoesNotMatter) {
  const OwnedFloater made = leaning_glider();
  const Balance serial = balance(made.lure);
  for (const int threads : {2, 5}) {
    const Balance found = balance(made.lure, on_threads(threads));
    ASSERT_EQ(found.poses.size(), serial.poses.size());
    for (std::size_t i = 0; i < found.poses.size(); ++i) {
      const RestPose& a = found.poses[i];
      const RestPose& b = serial.poses[i];
      EXPECT_EQ(std::memcmp(a.up.data(), b.up.data(), 3 * sizeof(double)), 0);
      EXPECT_EQ(a.share, b.share);
      EXPECT_EQ(a.waterline_offset_mm, b.waterline_offset_mm);
      EXPECT_EQ(a.least_stiffness_g_mm_per_deg, b.least_stiffness_g_mm_per_deg);
    }
  }
}

// A body that is its own mirror image, centre of mass in its plane: flank poses are as likely, and
// the right flank comes first.
TEST(Laws, FlanksOfASymmetricBodyAreAlike) {
  // Nor does it matter which of them lists less by a hair.
  for (const double aside_mm : {0.0, 1e-7, -1e-7}) {
    const Balance found = balance(leaning_glider(aside_mm).lure);
    ASSERT_EQ(found.poses.size(), 2U) << described(found);
    EXPECT_NEAR(found.poses[0].share, found.poses[1].share, 1e-6);
    EXPECT_NEAR(found.poses[0].list_deg.value(), -found.poses[1].list_deg.value(), 5e-5);
    EXPECT_GT(found.poses[0].list_deg.value(), 0);
  }
}

// The half ellipsoid that lies to either side with 48.6 degrees of list, turned by 5 in its frame:
// of two poses as likely the one that lists less comes first, be it to the left.
TEST(Laws, OfPosesAsLikelyTheOneThatListsLessComesFirst) {
  for (const double turn_deg : {5.0, -5.0}) {
    const auto [made, turned_deg] = leaning_ellipsoid_turned(turn_deg);
    const Balance found = balance(made.lure);
    ASSERT_EQ(found.poses.size(), 2U);
    const double first_deg = found.poses[0].list_deg.value();
    const double second_deg = found.poses[1].list_deg.value();
    EXPECT_NEAR(found.poses[0].share, 0.5, 0.004);
    EXPECT_NEAR(std::abs(turned_deg), 5, 1e-9);
    EXPECT_NEAR(std::abs(second_deg) - std::abs(first_deg), 10, 1e-3);
    EXPECT_LT(first_deg * turned_deg, 0);
  }
}

// The tree and the plain loop find the same poses. Tolerance: the pose's own, 1e-6°.
TEST(Laws, TreeAndPlainLoopFindTheSamePoses) {
  const OwnedFloater made = leaning_glider(0.3, 400);
  Floater by_loop = made.lure;
  by_loop.body = CutBody(made.mesh.get());
  expect_same_poses(
      balance(made.lure), balance(by_loop), [](const Vec3& up) { return up; }, 1, 1e-6);
}

// A pose is where the energy is least: a small turn to any side costs work.
TEST(Laws, EverySmallTurnIsResisted) {
  OwnedFloater made = leaning_glider();
  made.lure.outside = {{"belly treble", {40, 0, -16}, 1200, 40, 0},
                       {"tail treble", {120, 0, 0}, 600, 30, 0}};
  for (const RestPose& pose : balance(made.lure).poses) {
    for (int i = 0; i < 24; ++i) {
      const Vec3 side = pose.up.unitOrthogonal();
      const Vec3 towards =
          std::cos(i * 15 * degree) * side + std::sin(i * 15 * degree) * pose.up.cross(side);
      const Vec3 there = (pose.up + 0.01 * towards).normalized();
      EXPECT_GT(waterline_at(made.lure, there).energy_g_mm, pose.energy_g_mm);
    }
  }
}

// "The belly hook holds it up" (common practice, no published source), on a rig of our own: a body
// taller than wide, of even light wood, lies on a flank; with a 14 g steel treble at its belly eye
// it stands back up, and in one way only.
TEST(BellyHook, HoldsUpABodyThatLiesOnItsFlankWithoutIt) {
  const geometry::ClosedMesh mesh = test_bodies::closed(
      test_bodies::moved(test_bodies::ellipsoid(70, 11, 15, 60, 40), Mat3::Identity(), {70, 0, 0}));
  const geometry::Moments whole = geometry::moments(mesh);
  const geometry::MomentTree tree(mesh);
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.37;
  rig.water = rig::water_at(0, 15);
  const Balance bare = balance(floater(tree, rig::rigged(mesh, whole, rig)));
  ASSERT_EQ(bare.poses.size(), 2U) << described(bare);
  for (const RestPose& pose : bare.poses) {
    EXPECT_NEAR(std::abs(pose.list_deg.value()), 90, 1e-6);
  }

  rig.hooks.push_back({"belly treble", {60, 0, -15.5}, 14, 7.85, 20});
  const Balance hooked = balance(floater(tree, rig::rigged(mesh, whole, rig)));
  EXPECT_EQ(hooked.state, State::floats);
  ASSERT_EQ(hooked.poses.size(), 1U) << described(hooked);
  EXPECT_NEAR(hooked.poses[0].list_deg.value(), 0, 1e-6);
  EXPECT_NEAR(hooked.poses[0].share, 1, 1e-9);
  EXPECT_GT(hooked.poses[0].roll_stiffness_g_mm_per_deg.value(), 1);
}

}  // namespace
}  // namespace trueblank::water
