// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/drill_plan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "tuning/slugs.h"

namespace trueblank::tuning {
namespace {

using rig::HoleAxis;
using rig::Mouth;
using std::numbers::pi;
using test_bodies::closed;

class Drilled {
 public:
  explicit Drilled(const geometry::TriangleMesh& mesh) : body_(closed(mesh)), skin_(mesh) {}

  [[nodiscard]] std::optional<DrillPlan> plan(const rig::Ballast& ballast,
                                              std::optional<Mouth> mouth = {}) const {
    rig::Rig rig;
    rig.ballasts = {ballast};
    return drill_plans(body_, skin_, rig, {mouth}).front();
  }

  [[nodiscard]] std::vector<std::optional<DrillPlan>> plans(const rig::Rig& rig) const {
    return drill_plans(body_, skin_, rig, {});
  }

  [[nodiscard]] Fit fit(const Slug& slug, double wall_min_mm = 0) const {
    return fits(body_, skin_, slug, wall_min_mm);
  }

  [[nodiscard]] const geometry::ClosedMesh& body() const { return body_; }

 private:
  geometry::ClosedMesh body_;
  symmetry::NearestSurface skin_;
};

// 60 along, 20 wide, 30 high about the origin; sections of 600 mm² with 20·30³/12 = 45000 mm⁴.
Drilled box() { return Drilled(test_bodies::box(60, 20, 30)); }

// What a rectangle from `low` to `high` leaves of the box's second moment, about the middle line of
// what is left (the parallel axes' theorem).
double second_left(double width, double low, double high) {
  const double area = width * (high - low);
  const double first = width * (high * high - low * low) / 2;
  const double second = width * (std::pow(high, 3) - std::pow(low, 3)) / 3;
  return (45000 - second - first * first / (600 - area)) / 45000;
}

TEST(DrillPlan, GoesInFromTheNearerEnd) {
  const auto plan = box().plan(in_hole("belly", {5, 2, -3}, HoleAxis::upright, 8, 10));
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->name, "belly");
  EXPECT_EQ(plan->from, Mouth::belly);
  EXPECT_NEAR((plan->start_mm - Vec3(5, 2, -15)).norm(), 0, 1e-9);
  EXPECT_EQ(plan->direction, Vec3(0, 0, 1));
  EXPECT_NEAR(plan->depth_mm, 17, 1e-9);
  EXPECT_EQ(plan->diameter_mm, 8);
  EXPECT_NEAR(plan->length_mm, 10, 1e-9);
  EXPECT_NEAR(plan->plug_mm, 7, 1e-9);
  EXPECT_NEAR(plan->rim_mm, 0, 1e-9);
  EXPECT_FALSE(plan->breaks_out);
  // To the right flank: 10 − 2 − 4.
  EXPECT_NEAR(plan->wall_mm, 4, 1e-6);
  EXPECT_EQ(plan->wall_to, "the skin");
  EXPECT_NEAR(plan->wall_at_mm.y(), 6, 1e-6);
  EXPECT_FALSE(plan->channel_wall_mm);
}

TEST(DrillPlan, GoesInFromTheSideAskedFor) {
  const auto plan = box().plan(in_hole("belly", {5, 2, -3}, HoleAxis::upright, 8, 10), Mouth::back);
  ASSERT_TRUE(plan);
  EXPECT_EQ(plan->from, Mouth::back);
  EXPECT_NEAR((plan->start_mm - Vec3(5, 2, 15)).norm(), 0, 1e-9);
  EXPECT_EQ(plan->direction, Vec3(0, 0, -1));
  EXPECT_NEAR(plan->depth_mm, 23, 1e-9);
  EXPECT_NEAR(plan->plug_mm, 13, 1e-9);
  // A side that is not on its axis asks for nothing.
  const auto nearer = box().plan(in_hole("b", {5, 2, -3}, HoleAxis::upright, 8, 10), Mouth::tail);
  EXPECT_EQ(nearer->from, Mouth::belly);
}

TEST(DrillPlan, KnowsAllSixSides) {
  const Drilled drilled = box();
  const auto from = [&](HoleAxis axis, const Vec3& at, std::optional<Mouth> asked) {
    return drilled.plan(in_hole("w", at, axis, 4, 3), asked)->from;
  };
  EXPECT_EQ(from(HoleAxis::along, {-20, 0, 0}, {}), Mouth::nose);
  EXPECT_EQ(from(HoleAxis::along, {20, 0, 0}, {}), Mouth::tail);
  EXPECT_EQ(from(HoleAxis::along, {20, 0, 0}, Mouth::nose), Mouth::nose);
  EXPECT_EQ(from(HoleAxis::across, {0, -2, 0}, {}), Mouth::left);
  EXPECT_EQ(from(HoleAxis::across, {0, 2, 0}, {}), Mouth::right);
  EXPECT_EQ(from(HoleAxis::upright, {0, 0, 3}, {}), Mouth::back);
  // As near to one as to the other.
  EXPECT_EQ(from(HoleAxis::upright, {0, 0, 0}, {}), Mouth::belly);
  EXPECT_EQ(from(HoleAxis::across, {0, 0, 0}, {}), Mouth::left);
  EXPECT_EQ(from(HoleAxis::along, {0, 0, 0}, {}), Mouth::tail);
}

TEST(DrillPlan, IsNothingForAWeightWithoutAHoleOrOutside) {
  rig::Ballast loose = in_hole("w", {0, 0, 0}, HoleAxis::upright, 4, 3);
  loose.diameter_mm.reset();
  EXPECT_FALSE(box().plan(loose));
  EXPECT_FALSE(box().plan(in_hole("w", {0, 0, 16}, HoleAxis::upright, 4, 3)));
}

TEST(DrillPlan, OfAnUprightHoleTakesARectangleOfTheSection) {
  const auto plan = box().plan(in_hole("belly", {5, 2, -3}, HoleAxis::upright, 8, 10));
  EXPECT_NEAR(plan->area_left, 1 - 8 * 17 / 600.0, 1e-8);
  EXPECT_NEAR(plan->second_moment_left, second_left(8, -15, 2), 1e-8);
  EXPECT_NEAR(plan->weakest_station_mm, 5, 1e-9);
}

TEST(DrillPlan, OfAHoleAcrossTakesARectangleOfTheSection) {
  // From the right: its end at y = 3 − 2, so 9 deep, from z = −1 to 5.
  const auto plan = box().plan(in_hole("side", {5, 3, 2}, HoleAxis::across, 6, 4));
  EXPECT_EQ(plan->from, Mouth::right);
  EXPECT_NEAR(plan->depth_mm, 9, 1e-9);
  EXPECT_NEAR(plan->area_left, 1 - 6 * 9 / 600.0, 1e-8);
  EXPECT_NEAR(plan->second_moment_left, second_left(9, -1, 5), 1e-8);
}

TEST(DrillPlan, OfAHoleAlongTakesACircleOfTheSection) {
  const auto plan = box().plan(in_hole("tail", {15, 1, -4}, HoleAxis::along, 6, 12));
  EXPECT_EQ(plan->from, Mouth::tail);
  EXPECT_NEAR(plan->depth_mm, 21, 1e-9);
  EXPECT_NEAR(plan->rim_mm, 0, 1e-9);
  const double area = pi * 9;
  const double second = pi / 4 * 81 + area * 16;
  EXPECT_NEAR(plan->area_left, 1 - area / 600, 1e-8);
  EXPECT_NEAR(plan->second_moment_left,
              (45000 - second - std::pow(4 * area, 2) / (600 - area)) / 45000, 1e-8);
}

// A regular prism of n sides has n/2·sin(2π/n)·R² and, about any line through its middle,
// n/24·sin(2π/n)·(2 + cos(2π/n))·R⁴; with n = 720 that is the circle's to 4e-5.
TEST(DrillPlan, OfACircleInACircleLeavesOneMinusTheSquareAndTheFourthPower) {
  std::vector<Eigen::Vector2d> circle;
  for (int k = 0; k < 720; ++k) {
    circle.emplace_back(10 * std::cos(pi / 360 * k), 10 * std::sin(pi / 360 * k));
  }
  const Drilled rod(test_bodies::prism(circle, 60));
  const auto plan = rod.plan(in_hole("tail", {15, 0, 0}, HoleAxis::along, 8, 12));
  EXPECT_NEAR(plan->area_left, 1 - 0.4 * 0.4, 1e-4);
  EXPECT_NEAR(plan->second_moment_left, 1 - std::pow(0.4, 4), 1e-4);
  EXPECT_NEAR(plan->wall_mm, 6, 1e-3);
  // From below, to z = 2: ∫ (2 + √(R² − y²)) dy over |y| ≤ 4.
  const auto upright = rod.plan(in_hole("belly", {5, 0, -1}, HoleAxis::upright, 8, 6));
  EXPECT_EQ(upright->from, Mouth::belly);
  EXPECT_NEAR(upright->depth_mm, 12, 1e-3);
  EXPECT_NEAR(upright->rim_mm, 10 - std::sqrt(84), 1e-3);
  EXPECT_FALSE(upright->breaks_out);
  const double taken = 8 * 2 + 4 * std::sqrt(84) + 100 * std::asin(0.4);
  EXPECT_NEAR(upright->area_left, 1 - taken / (100 * pi), 1e-4);
}

// A hole at the tail of a body that is pointed there: the mouth's rim lies where the body is as
// wide as the hole, and the first diameter in from it is left out.
TEST(DrillPlan, OfAHoleInATaperIsWeakestTowardsItsMouth) {
  const double a = 60;
  const double b = 15;
  const Drilled egg(test_bodies::ellipsoid(a, b, b, 400, 400));
  const auto plan = egg.plan(in_hole("tail", {25, 0, 0}, HoleAxis::along, 6, 12));
  ASSERT_TRUE(plan);
  const auto radius = [&](double x) { return b * std::sqrt(1 - x * x / (a * a)); };
  const double rim_x = a * std::sqrt(1 - 9 / (b * b));
  EXPECT_NEAR(plan->depth_mm, a - 19, 1e-9);
  EXPECT_NEAR(plan->rim_mm, a - rim_x, 0.02);  // the skin is steep there: facets of 0.05 mm
  EXPECT_NEAR(plan->weakest_station_mm, rim_x - 6, 0.02);
  const double x = plan->weakest_station_mm;
  EXPECT_NEAR(plan->area_left, 1 - std::pow(3 / radius(x), 2), 1e-3);
  EXPECT_NEAR(plan->second_moment_left, 1 - std::pow(3 / radius(x), 4), 1e-3);
  EXPECT_FALSE(plan->breaks_out);
}

TEST(DrillPlan, SaysWhereTheHoleIsDrilledThrough) {
  const Drilled drilled = box();
  // Its end at 11 + 5 over the back, from the belly.
  EXPECT_TRUE(
      drilled.plan(in_hole("w", {5, 2, 11}, HoleAxis::upright, 8, 10), Mouth::belly)->breaks_out);
  // Through the right flank: 8 + 4 of 10.
  EXPECT_TRUE(drilled.plan(in_hole("w", {5, 8, -3}, HoleAxis::upright, 8, 10))->breaks_out);
  EXPECT_FALSE(drilled.plan(in_hole("w", {5, 5, -3}, HoleAxis::upright, 8, 10))->breaks_out);
}

// A hollow body: the hole from the back meets the cavity on its way.
TEST(DrillPlan, SaysWhereTheHoleMeetsACavity) {
  const geometry::TriangleMesh hole = test_bodies::inside_out(
      test_bodies::moved(test_bodies::box(6, 6, 4), geometry::Mat3::Identity(), {5, 5.5, 4}));
  const Drilled hollow(test_bodies::joined(test_bodies::box(60, 20, 30), hole));
  // The cavity lies from y = 2.5 on: inside the flank at 4, not on the axis.
  EXPECT_TRUE(
      hollow.plan(in_hole("w", {5, 0, -7}, HoleAxis::upright, 8, 4), Mouth::back)->breaks_out);
  EXPECT_FALSE(hollow.plan(in_hole("w", {5, 0, -7}, HoleAxis::upright, 8, 4))->breaks_out);
}

TEST(DrillPlan, TellsTheWoodToNeighboursAlongTheWeightAndAlongTheHole) {
  rig::Rig rig;
  // The first from below; the second beside it, higher up, from the back.
  rig.ballasts = {in_hole("low", {0, 0, -8}, HoleAxis::upright, 6, 6),
                  in_hole("high", {9, 0, 9}, HoleAxis::upright, 6, 6)};
  rig.wires = {{.name = "line",
                .density_g_cm3 = 7.9,
                .diameter_mm = 1,
                .path_mm = {{-30, 0, 2}, {30, 0, 2}}}};
  const auto plans = box().plans(rig);
  ASSERT_EQ(plans.size(), 2U);
  // To the skin at the belly 15 − 8 − 3 = 4 and the flanks 10 − 3 = 7; to the line 2 + 5 − 0.5.
  EXPECT_NEAR(plans[0]->wall_mm, 4, 1e-6);
  EXPECT_EQ(plans[0]->wall_to, "the skin");
  // "high" ends at z = 6: to the line 3.5, to its own mouth's skin 15 − 12 = 3.
  EXPECT_NEAR(plans[1]->wall_mm, 3, 1e-6);
  // The holes end at z = −5 and 6, 3 apart sideways and 11 in height; the line lies between.
  EXPECT_NEAR(*plans[0]->channel_wall_mm, 6.5, 1e-5);
  EXPECT_EQ(plans[0]->channel_wall_to, "line");
  EXPECT_NEAR(*plans[1]->channel_wall_mm, 3.5, 1e-5);
  // Without it, from rim to rim; with both from the same side, from flank to flank.
  rig.wires.clear();
  EXPECT_NEAR(*box().plans(rig)[0]->channel_wall_mm, std::hypot(3, 11), 1e-5);
  rig.ballasts[1].at_mm.z() = -3;
  EXPECT_NEAR(*box().plans(rig)[0]->channel_wall_mm, 3, 1e-5);
  EXPECT_EQ(box().plans(rig)[0]->channel_wall_to, "high");
  rig.pockets = {{.name = "rattle",
                  .at_mm = {0, 0, -2},
                  .diameter_mm = 4,
                  .depth_mm = 4,
                  .axis = HoleAxis::across}};
  EXPECT_EQ(box().plans(rig)[0]->wall_to, "rattle");
  EXPECT_NEAR(box().plans(rig)[0]->wall_mm, 1, 1e-6);
}

TEST(Mouths, LieWhereTheAxisLeavesTheBody) {
  const auto ends = mouths_of(box().body(), drilled({5, 2, -3}, Vec3::UnitZ(), 8, 10));
  ASSERT_TRUE(ends);
  EXPECT_NEAR((ends->first - Vec3(5, 2, -15)).norm(), 0, 1e-9);
  EXPECT_NEAR((ends->second - Vec3(5, 2, 15)).norm(), 0, 1e-9);
  EXPECT_FALSE(mouths_of(box().body(), drilled({5, 11, -3}, Vec3::UnitZ(), 8, 10)));
}

TEST(Fits, TellsWhatIsWrongAndByHowMuch) {
  const Drilled drilled_box = box();
  const auto expect = [&](const Slug& slug, double wall_min, Fit::Trouble trouble, double by,
                          double room) {
    const Fit fit = drilled_box.fit(slug, wall_min);
    EXPECT_EQ(fit.trouble, trouble);
    EXPECT_NEAR(fit.by_mm, by, 1e-3);
    EXPECT_NEAR(fit.room_mm, room, 1e-3);
    EXPECT_EQ(fit.fits(), trouble == Fit::Trouble::none);
  };
  expect(drilled({5, 13, 0}, Vec3::UnitZ(), 8, 10), 0, Fit::Trouble::centre_outside, 3, -3);
  // The body is 20 wide.
  expect(drilled({5, 2, 0}, Vec3::UnitZ(), 23, 5), 0, Fit::Trouble::wider_than_body, 3, 20);
  expect(drilled({5, 2, 0}, Vec3::UnitZ(), 8, 32), 0, Fit::Trouble::longer_than_body, 2, 30);
  expect(drilled({5, 8, 0}, Vec3::UnitZ(), 8, 10), 0, Fit::Trouble::pokes_out, 2, -2);
  expect(drilled({5, 2, 0}, Vec3::UnitZ(), 8, 10), 4.5, Fit::Trouble::thin_wall, 0.5, 4);
  expect(drilled({5, 2, 0}, Vec3::UnitZ(), 8, 10), 4, Fit::Trouble::none, 0, 4);
  expect(ball({5, 2, 0}, 3), 4, Fit::Trouble::none, 0, 5);
  expect(ball({5, 0, 0}, 11), 4, Fit::Trouble::wider_than_body, 2, 20);
}

}  // namespace
}  // namespace trueblank::tuning
