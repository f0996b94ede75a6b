// SPDX-License-Identifier: GPL-3.0-or-later
// Where a lure goes by itself from a given direction: held against the whole search for all poses,
// and against the closed form of the ellipsoid (ellipsoid_table.h).
#include "water/near_pose.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <vector>

#include "water/bars.h"
#include "water/ellipsoid_table.h"
#include "water/rest_places.h"
#include "water/sphere_grid.h"

namespace trueblank::water {
namespace {

const FormulaEllipsoid& smooth() {
  static const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  return body;
}

Floater smooth_lure(double mass_g, const Vec3& G) {
  Floater lure;
  lure.body = smooth().cut_body();
  lure.mass_g = mass_g;
  lure.centre_of_mass_mm = G;
  return lure;
}

Vec3 turned_about(const Vec3& up, const Vec3& axis, double angle_deg) {
  return Eigen::AngleAxisd(angle_deg * degree, axis.normalized()) * up;
}

// A pencil with its weight low, aft and a little to one side, a hook in its belly and one astern.
OwnedFloater hooked_pencil() {
  OwnedFloater made = floating(test_bodies::closed(test_bodies::pencil(3000)), 0, {});
  const Vec3 middle = made.tree->first_moment_mm4() / made.tree->volume_mm3();
  made.lure.mass_g = 0.75 * made.tree->volume_mm3() / 1000;
  made.lure.centre_of_mass_mm = middle + Vec3(1.5, 0.2, -2);
  for (const double x : {0.4, 1.0}) {
    const Vec3 eye(2 * x * middle.x(), 0, -6);
    made.lure.outside.push_back({"hook", eye, 150, 30, 0});
  }
  return made;
}

void expect_same(const RestPose& found, const RestPose& expected) {
  // Which direction stands for a ring is found between points half a degree apart.
  const double turn_deg = expected.indifferent ? 1e-4 : 1e-7;
  EXPECT_LT(angle_deg(found.up, expected.up), turn_deg);
  EXPECT_NEAR(found.tail_down_deg, expected.tail_down_deg, turn_deg);
  ASSERT_EQ(found.list_deg.has_value(), expected.list_deg.has_value());
  const double list_apart_deg = found.list_deg.value_or(0) - expected.list_deg.value_or(0);
  EXPECT_NEAR(std::remainder(list_apart_deg, 360), 0, 1e-6);
  ASSERT_EQ(found.waterline_offset_mm.has_value(), expected.waterline_offset_mm.has_value());
  if (found.waterline_offset_mm) {
    EXPECT_NEAR(*found.waterline_offset_mm, *expected.waterline_offset_mm, 1e-8);
  }
  EXPECT_NEAR(found.submerged_mm3, expected.submerged_mm3, 1e-9 * expected.submerged_mm3);
  EXPECT_NEAR(found.waterplane_mm2, expected.waterplane_mm2, 1e-6 * expected.waterplane_mm2 + 1e-9);
  EXPECT_NEAR(found.least_stiffness_g_mm_per_deg, expected.least_stiffness_g_mm_per_deg,
              1e-6 * expected.least_stiffness_g_mm_per_deg + 1e-9);
  EXPECT_EQ(found.indifferent, expected.indifferent);
  EXPECT_NEAR(found.energy_g_mm, expected.energy_g_mm, 1e-8);
}

// Laws: whoever is let go a little off a pose comes back to it, and is told the same of it as the
// search for all poses tells.
TEST(PoseNear, IsThePoseOfTheWholeSearch) {
  const std::vector<OwnedFloater> lures = {
      hooked_pencil(), uniform(test_bodies::closed(test_bodies::glider(2000)), 0.6),
      uniform(test_bodies::closed(test_bodies::needle(2000)), 0.4)};
  for (const OwnedFloater& made : lures) {
    const Balance all = balance(made.lure);
    ASSERT_FALSE(all.poses.empty());
    for (const RestPose& pose : all.poses) {
      for (const double turn_deg : {0.0, 2.0}) {
        const Vec3 start = turned_about(pose.up, Vec3(0.3, 0.5, 0.8), turn_deg);
        const std::optional<RestPose> found = pose_near(made.lure, start);
        ASSERT_TRUE(found);
        expect_same(*found, pose);
        EXPECT_EQ(found->share, 0);
      }
    }
  }
}

// Source: ellipsoid_table.h.
TEST(PoseNear, LiesAsTheClosedFormOfTheEllipsoidSays) {
  for (const EllipsoidRow& row : ellipsoid_rows()) {
    if (row.poses != 1) continue;
    const std::optional<RestPose> found =
        pose_near(smooth_lure(row.mass_g, row.G), turned_about(Vec3::UnitZ(), {1, 2, 0}, 20));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->tail_down_deg, row.tail_down_deg, 1e-4);
    EXPECT_NEAR(found->list_deg.value(), row.list_deg, 1e-4);
    EXPECT_NEAR(found->waterline_offset_mm.value(), row.waterline_mm, 1e-4);
  }
}

// Closed form (ellipsoid_table.h): with G 1 mm low the half immersed ellipsoid lies at a list of
// ±48.554802; upright is a saddle between the two, keel up is the summit.
TEST(PoseNear, DoesNotStayOnASaddleARidgeOrASummit) {
  const Floater lure = smooth_lure(ellipsoid_half_g, {0, 0, -1});
  for (const Vec3& start :
       {Vec3(0, 0, 1), turned_about(Vec3::UnitZ(), Vec3::UnitY(), 10),
        turned_about(Vec3::UnitZ(), Vec3::UnitY(), -10), Vec3(0, 0, -1), Vec3(1, 0, 0)}) {
    const std::optional<RestPose> found = pose_near(lure, start);
    ASSERT_TRUE(found) << start.transpose();
    EXPECT_NEAR(found->tail_down_deg, 0, 1e-6) << start.transpose();
    // To the right flank, that is.
    EXPECT_NEAR(found->list_deg.value(), 48.554802, 1e-5) << start.transpose();
  }
}

// Closed form: with G at its middle half an ellipsoid lies with its shortest axis up, and with the
// middle one up it is on a saddle between its two ends. From there it is turned towards right flank
// and tail down; where that is hardly anywhere, since it lies so already, tail down.
TEST(PoseNear, LeavesASaddleTowardsTheRightFlankWhereverThatIs) {
  const Vec3 right_and_tail = Vec3(-0.5, -1, 0).normalized();
  const auto across = [](const Vec3& up, const Vec3& to) {
    return Vec3(to - up.dot(to) * up).normalized();
  };
  for (const double from_it_deg : {60.0, 8.0, 3.0}) {
    for (const double round_deg : {20.0, 80.0, 140.0, 260.0}) {
      const Vec3 side = turned_about(right_and_tail.unitOrthogonal(), right_and_tail, round_deg);
      const Vec3 up = turned_about(right_and_tail, side, from_it_deg);
      const Vec3 right = across(up, right_and_tail);
      const Vec3 tail = across(up, -Vec3::UnitX());
      // Between the two ends of this axis the one way and the other part.
      const Vec3 shortest = (from_it_deg > 5 ? right - tail : tail - right).normalized();
      geometry::Mat3 axes;
      axes << up.cross(shortest), up, shortest;
      const OwnedFloater made =
          uniform(test_bodies::closed(test_bodies::moved(test_bodies::ellipsoid(30, 22, 14, 24, 24),
                                                         axes, Vec3::Zero())),
                  0.5);
      const std::optional<RestPose> found = pose_near(made.lure, up);
      ASSERT_TRUE(found);
      EXPECT_LT(angle_deg(found->up, shortest), 1e-5) << from_it_deg << " " << round_deg;
    }
  }
}

// From every node of a grid that is further than `margin_deg` from all mirror planes.
// returns  how many those are
int expect_own_side(const Floater& lure, const std::vector<Vec3>& mirrors, const SphereGrid& grid,
                    double margin_deg) {
  int started = 0;
  for (int i = 0; i < grid.node_count(); ++i) {
    const Vec3 start = (grid.node(i) + Vec3(0.01, 0.017, 0.023)).normalized();
    if (std::ranges::any_of(mirrors, [&](const Vec3& normal) {
          return std::abs(normal.dot(start)) < std::sin(margin_deg * degree);
        })) {
      continue;
    }
    ++started;
    const std::optional<RestPose> found = pose_near(lure, start);
    EXPECT_TRUE(found) << start.transpose();
    if (!found) continue;
    for (const Vec3& normal : mirrors) {
      EXPECT_GT(normal.dot(found->up) * normal.dot(start), -1e-9)
          << "from " << start.transpose() << " to " << found->up.transpose();
    }
  }
  return started;
}

// Law: steepest descent never crosses a mirror plane of the lure, in which the slope lies. A square
// bar of a quarter of the water's density has five, and eight poses between them; it ends in its
// own part of the sphere from wherever it is let go. (Newton's steps by themselves leave it for
// another part from more than a quarter of these.)
TEST(PoseNear, StaysOnItsSideOfEveryMirrorPlane) {
  const OwnedFloater bar = uniform(test_bodies::closed(test_bodies::box(100, 20, 20)), 0.25);
  const std::vector<Vec3> mirrors = {Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ(),
                                     Vec3(0, 1, 1).normalized(), Vec3(0, 1, -1).normalized()};
  EXPECT_GT(expect_own_side(bar.lure, mirrors, SphereGrid(3), 3), 400);
}

// The same law. A regular bar of n sides has n + 1 mirror planes, x = 0 among them, and is as heavy
// here as makes Newton's steps from a few directions lead astray that lie but 10 to 30 degrees off.
TEST(PoseNear, OfARegularBarStaysOnItsSideOfEveryMirrorPlane) {
  for (const auto& [sides, gravity] : {std::pair{7, 0.483}, std::pair{6, 0.678}}) {
    SCOPED_TRACE(sides);
    std::vector<Eigen::Vector2d> section;
    std::vector<Vec3> mirrors = {Vec3::UnitX()};
    for (int k = 0; k < sides; ++k) {
      const double corner = 2 * std::numbers::pi * k / sides;
      section.emplace_back(10 * std::cos(corner), 10 * std::sin(corner));
      // Through corner k and the middle, or through a side's middle.
      mirrors.emplace_back(0, -std::sin(corner / 2), std::cos(corner / 2));
    }
    const OwnedFloater bar =
        uniform(test_bodies::closed(test_bodies::prism(section, 180)), gravity);
    EXPECT_GT(expect_own_side(bar.lure, mirrors, SphereGrid(4), 1), 700);
  }
}

// Law: with the long axis across, fore and aft is the unstable turn, and the tail goes down.
TEST(PoseNear, LeavesASaddleTailDown) {
  const FormulaEllipsoid body(ellipsoid_b_mm, ellipsoid_a_mm, ellipsoid_c_mm);
  Floater lure;
  lure.body = body.cut_body();
  lure.mass_g = ellipsoid_half_g;
  lure.centre_of_mass_mm = {0, 0, -1};
  const std::optional<RestPose> found = pose_near(lure, Vec3::UnitZ());
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->tail_down_deg, 48.554802, 1e-5);
}

// Law: where a lure goes from all over the sphere is one of its poses, and from just beside a pass
// it goes to the side that it is let go on.
TEST(PoseNear, EndsInAKnownPoseFromAllOver) {
  const OwnedFloater made = hooked_pencil();
  const Balance all = balance(made.lure);
  const SphereGrid grid(1);
  for (int i = 0; i < grid.node_count(); ++i) {
    const std::optional<RestPose> found = pose_near(made.lure, grid.node(i));
    ASSERT_TRUE(found);
    double nearest_deg = 180;
    for (const RestPose& pose : all.poses) {
      nearest_deg = std::min(nearest_deg, angle_deg(pose.up, found->up));
    }
    EXPECT_LT(nearest_deg, 1e-6);
  }
  const Floater loll = smooth_lure(ellipsoid_half_g, {0, 0, -1});
  for (const double list_deg : {-178.0, -90.0, -3.0, 3.0, 90.0, 178.0}) {
    const std::optional<RestPose> found = pose_near(loll, up_at_list(list_deg));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->list_deg.value(), std::copysign(48.554802, list_deg), 1e-5) << list_deg;
  }
}

// Closed form: B (0,0,0), G (3,0.2,-2.5): up = (B−G)/|B−G|, stiffness displaced mass × BG.
TEST(PoseNear, HangsUnderWaterWhereNothingIsLeftInReserve) {
  const double displaced_g = smooth().volume_mm3() / 1000;
  const Floater lure = smooth_lure(displaced_g + 1, {3, 0.2, -2.5});
  const Vec3 lever(-3, -0.2, 2.5);
  for (const Vec3& start : {Vec3(0, 0, 1), Vec3(1, 0, 0)}) {
    const std::optional<RestPose> found = pose_near(lure, start);
    ASSERT_TRUE(found);
    EXPECT_LT(angle_deg(found->up, lever), 1e-9);
    EXPECT_FALSE(found->waterline_offset_mm);
    EXPECT_NEAR(found->least_stiffness_g_mm_per_deg, displaced_g * lever.norm() * degree, 1e-9);
    EXPECT_EQ(found->share, 0);
    expect_same(*found, balance(lure).poses.front());
  }
}

// Law: a round log turns freely about its axis, and a ball every way; both searches say so.
TEST(PoseNear, TellsAnIndifferentPoseAsTheWholeSearchDoes) {
  const FormulaEllipsoid log(40, 10, 10);
  const FormulaEllipsoid ball(12, 12, 12);
  for (const FormulaEllipsoid* body : {&log, &ball}) {
    Floater lure;
    lure.body = body->cut_body();
    lure.mass_g = 0.6e-3 * body->volume_mm3();
    const std::optional<RestPose> found = pose_near(lure, Vec3(0.1, 0.7, 0.7).normalized());
    ASSERT_TRUE(found);
    EXPECT_TRUE(found->indifferent);
    EXPECT_FALSE(found->list_deg);
    expect_same(*found, balance(lure).poses.front());
  }
}

// The cost that the header promises.
TEST(PoseNear, CostsAFewDozenCuts) {
  const OwnedFloater made = hooked_pencil();
  const RestPose nominal = balance(made.lure).poses.front();
  const CountedCuts counter{made.lure.body};
  const Floater lure = counted(made.lure, counter);
  const Vec3 start = turned_about(nominal.up, {1, 1, 1}, 3);
  ASSERT_TRUE(pose_near(lure, start, {.look_for_rings = false}));
  EXPECT_LE(counter.cuts, 30);
  EXPECT_GE(counter.cuts, 5);
  counter.cuts = 0;
  ASSERT_TRUE(pose_followed(lure, nominal));
  EXPECT_LE(counter.cuts, 18);
}

// Law: a small change leads to the same pose, followed or let go anew.
TEST(PoseFollowed, IsWhereTheChangedLureLies) {
  const OwnedFloater made = hooked_pencil();
  for (const RestPose& nominal : balance(made.lure).poses) {
    Floater changed = made.lure;
    changed.mass_g += 0.1;
    changed.centre_of_mass_mm += Vec3(0.05, 0.01, -0.02);
    const std::optional<RestPose> followed = pose_followed(changed, nominal);
    const std::optional<RestPose> anew = pose_near(changed, nominal.up);
    ASSERT_TRUE(followed);
    ASSERT_TRUE(anew);
    expect_same(*followed, *anew);
  }
}

// Closed form: half immersed and upright, GM_roll = ⅜(b²−c²)/c + e with G e mm low: it stands for
// e > 1.375 only. Where it doesn't, it is lost and not followed to where it falls.
TEST(PoseFollowed, IsNothingWhereThePoseIsLost) {
  const RestPose upright =
      pose_near(smooth_lure(ellipsoid_half_g, {0, 0, -1.4}), Vec3::UnitZ()).value();
  EXPECT_NEAR(upright.list_deg.value(), 0, 1e-9);
  EXPECT_TRUE(pose_followed(smooth_lure(ellipsoid_half_g, {0, 0, -1.376}), upright));
  EXPECT_FALSE(pose_followed(smooth_lure(ellipsoid_half_g, {0, 0, -1.374}), upright));
  EXPECT_FALSE(pose_followed(smooth_lure(2 * ellipsoid_half_g + 0.01, {0, 0, -1.4}), upright));
  // So far to the side that it rolls by more than can be followed.
  EXPECT_FALSE(pose_followed(smooth_lure(ellipsoid_half_g, {0, 3, -1.4}), upright));
}

// On its sides a bar that hardly weighs anything rolls freely: from one to the next it climbs by
// less than counts, though each side holds it sharply, so long is the bar.
TEST(PoseNear, OfABarOfManySidesIsARingHoweverSharplyASideHoldsIt) {
  constexpr int sides = 38;
  const geometry::ClosedMesh bar = many_sided_bar(sides, 2000);
  const OwnedFloater made = uniform(bar, 0.05 / (geometry::moments(bar).volume_mm3 * 1e-3));
  const Waterline on_a_side = waterline_at(made.lure, Vec3::UnitZ());
  const Waterline on_a_corner =
      waterline_at(made.lure, turned_about(Vec3::UnitZ(), Vec3::UnitX(), 180.0 / sides));
  EXPECT_LT(on_a_corner.energy_g_mm - on_a_side.energy_g_mm, indifferent_within_g_mm);
  const double hold = curvatures(Vec3::UnitZ(), on_a_side.hessian_g_mm).soft_g_mm * degree * degree;
  EXPECT_GT(hold, indifferent_within_g_mm);
  EXPECT_LT(hold / 2, indifferent_within_g_mm);
  const auto found = pose_near(made.lure, turned_about(Vec3::UnitZ(), Vec3::UnitX(), 3));
  ASSERT_TRUE(found.has_value());
  EXPECT_TRUE(found->indifferent);
}

}  // namespace
}  // namespace trueblank::water
