// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include "support/bodies.h"
#include "tuning/hole.h"
#include "tuning/slugs.h"

namespace trueblank::tuning {
namespace {

using std::numbers::pi;

constexpr double apart_mm = 1e-6;    // what wall_between() promises of slugs that are apart
constexpr double overlap_mm = 1e-3;  // and of those that overlap

double gap(const Slug& one, const Slug& other) { return wall_between(one, other).one.mm; }

TEST(WallBetween, OfParallelCylindersIsTheirAxesDistanceLessTheirRadii) {
  const Slug one = drilled(Vec3::Zero(), Vec3::UnitZ(), 8, 12);
  EXPECT_NEAR(gap(one, drilled({9, 6, 3}, Vec3::UnitZ(), 6, 10)), std::hypot(9, 6) - 7, apart_mm);
  // Over one another: between their ends.
  EXPECT_NEAR(gap(one, drilled({2, 1, 15}, Vec3::UnitZ(), 6, 10)), 15 - 6 - 5, apart_mm);
  // Past both: from rim to rim.
  EXPECT_NEAR(gap(one, drilled({10, 0, 15}, Vec3::UnitZ(), 6, 10)), std::hypot(3, 4), apart_mm);
}

TEST(WallBetween, OfSkewCylindersIsTheDistanceOfTheirAxesLessTheirRadii) {
  const Slug one = drilled(Vec3::Zero(), Vec3::UnitX(), 8, 100);
  for (const double angle : {0.05, 0.7, pi / 2, 2.9}) {
    const Vec3 axis(std::cos(angle), std::sin(angle), 0);
    const Slug other = drilled(Vec3(3, -2, 11), axis, 6, 120);
    EXPECT_NEAR(gap(one, other), 11 - 7, apart_mm) << angle;
  }
}

TEST(WallBetween, OfBallsIsTheirMiddlesDistanceLessTheirRadii) {
  EXPECT_NEAR(gap(ball({1, 2, 3}, 4), ball({4, 6, 15}, 5)), 13 - 9, apart_mm);
  EXPECT_NEAR(gap(ball({1, 2, 3}, 4), ball({4, 6, 3}, 5)), 5 - 9, apart_mm);
}

TEST(WallBetween, OfABallAndACylinderGoesToFlankEndOrRim) {
  const Slug slug = drilled(Vec3::Zero(), Vec3::UnitZ(), 8, 12);
  EXPECT_NEAR(gap(slug, ball({10, 0, 2}, 3)), 10 - 4 - 3, apart_mm);
  EXPECT_NEAR(gap(ball({1, 1, 14}, 3), slug), 14 - 6 - 3, apart_mm);
  EXPECT_NEAR(gap(slug, ball({0, 7, 10}, 2)), 5 - 2, apart_mm);
}

// The distance of a point from a cylinder: closed form.
double off_cylinder_mm(const Slug& slug, const Vec3& p) {
  const double along = (p - slug.at_mm).dot(slug.axis);
  const double out = (p - slug.at_mm - along * slug.axis).norm();
  return std::hypot(std::max(0.0, std::abs(along) - slug.length_mm() / 2),
                    std::max(0.0, out - slug.radius_mm()));
}

// How far a cylinder reaches from its middle along n.
double reach_mm(const Slug& slug, const Vec3& n) {
  const double along = std::abs(n.dot(slug.axis));
  return slug.length_mm() / 2 * along +
         slug.radius_mm() * std::sqrt(std::max(0.0, 1 - along * along));
}

struct Pair {
  Slug one;
  Slug other;
};

std::vector<Pair> random_pairs(int count, double apart) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> share(-1, 1);
  const auto vector = [&]() {
    const double x = share(random);
    const double y = share(random);
    return Vec3(x, y, share(random));
  };
  const auto size = [&]() { return 7 + 5 * share(random); };
  std::vector<Pair> pairs;
  for (int i = 0; i < count; ++i) {
    const Vec3 axis = vector().normalized();
    // Every third is parallel, every third square, as drilled holes are.
    const Vec3 other = i % 3 == 0   ? axis
                       : i % 3 == 1 ? axis.unitOrthogonal()
                                    : vector().normalized();
    const Vec3 off = apart * vector();
    const double d = size();
    const double l = size();
    const double e = size();
    pairs.push_back({drilled(vector(), axis, d, l), drilled(off, other, e, size())});
  }
  return pairs;
}

// Two points of the two cylinders prove that they are no farther apart, and a direction along which
// they clear each other that they are no nearer.
TEST(WallBetween, IsProvenByTwoPointsAndBySeparatingPlanes) {
  int apart = 0;
  for (const auto& [one, other] : random_pairs(3000, 25)) {
    const WallBetween wall = wall_between(one, other);
    if (wall.one.mm <= 0) continue;
    apart += 1;
    const Vec3 n = wall.one.per_mm;
    EXPECT_NEAR((wall.one.thinnest_mm - wall.other.thinnest_mm).norm(), wall.one.mm, apart_mm);
    EXPECT_LT(off_cylinder_mm(one, wall.one.thinnest_mm), 1e-9);
    EXPECT_LT(off_cylinder_mm(other, wall.other.thinnest_mm), 1e-9);
    EXPECT_NEAR(n.norm(), 1, 1e-12);
    EXPECT_GT(n.dot(one.at_mm - other.at_mm) - reach_mm(one, n) - reach_mm(other, n),
              wall.one.mm - apart_mm);
  }
  EXPECT_GT(apart, 1500);
}

TEST(WallBetween, OfOverlappingParallelCylindersIsTheShortestWayOut) {
  const Slug one = drilled(Vec3::Zero(), Vec3::UnitX(), 8, 12);
  // Sideways 7 − 2, along 11 − 3.
  EXPECT_NEAR(gap(one, drilled({3, 2, 0}, Vec3::UnitX(), 6, 10)), -5, overlap_mm);
  // Along 11 − 9.
  EXPECT_NEAR(gap(one, drilled({9, 1, 0}, Vec3::UnitX(), 6, 10)), -2, overlap_mm);
  // One in the other, in the middle.
  EXPECT_NEAR(gap(one, drilled(Vec3::Zero(), Vec3::UnitX(), 2, 3)), -5, overlap_mm);
}

// Moved so far along its slope the one comes just clear; and no direction of many offers less.
TEST(WallBetween, OfOverlappingCylindersComesClearByWhatItSays) {
  int overlapping = 0;
  for (const auto& [one, other] : random_pairs(300, 4)) {
    const WallBetween wall = wall_between(one, other);
    if (wall.one.mm > -1e-3) continue;
    overlapping += 1;
    Slug moved = one;
    moved.at_mm -= (wall.one.mm - overlap_mm) * wall.one.per_mm;
    EXPECT_NEAR(gap(moved, other), overlap_mm, 1e-5);
    for (int i = 0; i < 500; ++i) {
      const double z = 1 - (2 * i + 1.0) / 500;
      const double turn = pi * (3 - std::sqrt(5.0)) * i;
      const Vec3 n(std::sqrt(1 - z * z) * std::cos(turn), std::sqrt(1 - z * z) * std::sin(turn), z);
      ASSERT_LT(n.dot(one.at_mm - other.at_mm) - reach_mm(one, n) - reach_mm(other, n),
                wall.one.mm + overlap_mm);
    }
  }
  EXPECT_GT(overlapping, 150);
}

TEST(WallBetween, IsTheSameFromEitherSide) {
  for (const auto& [one, other] : random_pairs(300, 20)) {
    const WallBetween there = wall_between(one, other);
    const WallBetween back = wall_between(other, one);
    const double right_to = there.one.mm > 0 ? apart_mm : overlap_mm;
    EXPECT_NEAR(there.one.mm, back.one.mm, right_to);
    EXPECT_EQ(there.one.mm, there.other.mm);
    EXPECT_NEAR((there.one.per_mm + there.other.per_mm).norm(), 0, 1e-12);
  }
}

// Central differences, where the one-sided ones agree (elsewhere the nearest place jumps).
void expect_slopes(const std::function<double(const Slug&)>& mm_of, const Wall& wall,
                   const Slug& slug, int& compared, int& jumps) {
  for (int k = 0; k < 4; ++k) {
    const double h = k < 3 ? 1e-4 : 1e-2;
    const double scale = k < 3 ? 1 : 1 / (2 * pi * slug.radius_mm() * slug.radius_mm());
    Slug more = slug;
    Slug less = slug;
    (k < 3 ? more.at_mm[k] : more.volume_mm3) += h;
    (k < 3 ? less.at_mm[k] : less.volume_mm3) -= h;
    const double ahead = (mm_of(more) - mm_of(slug)) / h;
    const double behind = (mm_of(slug) - mm_of(less)) / h;
    if (std::abs(ahead - behind) > 0.01 * scale) {
      jumps += 1;
      continue;
    }
    EXPECT_NEAR(k < 3 ? wall.per_mm[k] : wall.per_mm3, (ahead + behind) / 2, 0.01 * scale) << k;
    compared += 1;
  }
}

TEST(WallBetween, HasTheSlopesThatDifferencesShow) {
  int compared = 0;
  int jumps = 0;
  for (const Pair& pair : random_pairs(200, 25)) {
    const Slug& one = pair.one;
    const Slug& other = pair.other;
    const WallBetween wall = wall_between(one, other);
    if (wall.one.mm < 0.01) continue;  // known to 1e-3 mm only: no differences of 1e-4 mm
    expect_slopes([&](const Slug& s) { return gap(s, other); }, wall.one, one, compared, jumps);
    expect_slopes([&](const Slug& s) { return gap(one, s); }, wall.other, other, compared, jumps);
  }
  const Slug small = ball({9, 2, 3}, 2);
  const Slug slug = drilled(Vec3::Zero(), Vec3::UnitZ(), 6, 4);
  expect_slopes([&](const Slug& s) { return gap(s, slug); }, wall_between(small, slug).one, small,
                compared, jumps);
  EXPECT_GT(compared, 500);
  EXPECT_GT(compared, 50 * jumps);
}

rig::Wire wire(std::vector<Vec3> path, double diameter) {
  return {
      .name = "line", .density_g_cm3 = 7.9, .diameter_mm = diameter, .path_mm = std::move(path)};
}

TEST(WallToWire, IsTheDistanceOfTheNearestStretchLessBothRadii) {
  const rig::Wire bent = wire({{-20, 0, 8}, {0, 0, 8}, {30, 0, -4}}, 1.6);
  // A slug under the straight first stretch.
  EXPECT_NEAR(wall_to_wire(drilled({-12, 0, 0}, Vec3::UnitZ(), 6, 4), bent).mm, 8 - 2 - 0.8,
              apart_mm);
  // Beside it: 5 across, no height between.
  EXPECT_NEAR(wall_to_wire(drilled({-12, 7, 8}, Vec3::UnitZ(), 6, 4), bent).mm, 7 - 3 - 0.8,
              apart_mm);
  // A ball under the bent stretch: off the line through (0, 8) and (30, −4).
  const double off = std::abs(12 * 15.0 + 30 * (-6.0 - 8)) / std::hypot(12, 30);
  EXPECT_NEAR(wall_to_wire(ball({15, 0, -6}, 2), bent).mm, off - 2 - 0.8, apart_mm);
  // Past the wire's end: from its point.
  EXPECT_NEAR(wall_to_wire(ball({-23, 4, 8}, 2), bent).mm, 5 - 2 - 0.8, apart_mm);
}

TEST(WallToWire, IsNegativeWhereTheWireRunsThroughTheSlug) {
  // Through the middle of an upright slug: out sideways by 3 + 0.8, upward by 2 + 0.8.
  const Wall through = wall_to_wire(drilled(Vec3::Zero(), Vec3::UnitZ(), 6, 4),
                                    wire({{-20, 0, 0}, {20, 0, 0}}, 1.6));
  EXPECT_NEAR(through.mm, -2.8, overlap_mm);
  EXPECT_NEAR(std::abs(through.per_mm.z()), 1, 1e-3);
}

}  // namespace
}  // namespace trueblank::tuning
