// SPDX-License-Identifier: GPL-3.0-or-later
// Righting curves, held against the closed form of the ellipsoid (ellipsoid_test.cpp), the
// wall-sided formula (box_test.cpp), sections of bars, and the least energy over trims itself.
#include "water/righting.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "geometry/moments.h"
#include "water/bars.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

Vec3 up_at(double list_deg, double tail_down_deg) {
  return std::cos(tail_down_deg * degree) * up_at_list(list_deg) -
         std::sin(tail_down_deg * degree) * Vec3::UnitX();
}

struct Ellipsoid {
  FormulaEllipsoid body = FormulaEllipsoid(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  Floater lure;

  Ellipsoid(double mass_g, const Vec3& G) {
    lure.body = body.cut_body();
    lure.mass_g = mass_g;
    lure.centre_of_mass_mm = G;
  }

  Ellipsoid(const Ellipsoid&) = delete;
  Ellipsoid& operator=(const Ellipsoid&) = delete;

  // The slope of G·up + β|A·up|, the energy per mass, over all directions of up.
  [[nodiscard]] Vec3 slope_mm(const Vec3& up) const {
    const double beta = ellipsoid_beta(lure.mass_g / (body.volume_mm3() * 1e-3));
    const Vec3 pull = body.semi_axes_mm().cwiseProduct(body.semi_axes_mm()).cwiseProduct(up);
    return lure.centre_of_mass_mm + beta / body.semi_axes_mm().cwiseProduct(up).norm() * pull;
  }

  // dE/dlist per mass.
  [[nodiscard]] double arm_mm(double list_deg, double tail_down_deg) const {
    const Vec3 up = up_at(list_deg, tail_down_deg);
    return slope_mm(up).dot(Vec3(0, -up.z(), up.y()));
  }

  // dE/dtrim per mass: nil on the valley's floor.
  [[nodiscard]] double trimming_mm(double list_deg, double tail_down_deg) const {
    return slope_mm(up_at(list_deg, tail_down_deg)).dot(up_at(list_deg, tail_down_deg + 90));
  }
};

const RightingPoint& at_list(const Righting& curve, double list_deg) {
  return *std::min_element(curve.points.begin(), curve.points.end(),
                           [&](const RightingPoint& a, const RightingPoint& b) {
                             return std::abs(a.list_deg - list_deg) <
                                    std::abs(b.list_deg - list_deg);
                           });
}

// Source: 30 g, G 3 mm low: arms at 10, 30, 60, 90, 120, 150°: 0.397359, 1.175891, 2.243299,
// 3.000000, 2.952854, 1.824109 mm; keel up it is level again, 2·e of work per mass away.
// Tolerance: the digits given; to the closed form 1e-9.
TEST(RightingOfAnEllipsoid, HasTheArmsOfTheClosedForm) {
  const Ellipsoid made(30, {0, 0, -3});
  const RestPose pose = balance(made.lure).poses.at(0);
  const Righting curve = righting(made.lure, pose).value();
  ASSERT_EQ(curve.points.size(), 73U);
  for (std::size_t i = 0; i < 73; ++i) {
    const RightingPoint& point = curve.points[i];
    EXPECT_EQ(point.list_deg, -180 + 5.0 * static_cast<double>(i));
    EXPECT_NEAR(point.tail_down_deg, 0, 1e-8);
    EXPECT_NEAR(point.arm_mm, made.arm_mm(point.list_deg, 0), 1e-9);
    EXPECT_NEAR(point.moment_g_mm, 30 * point.arm_mm, 1e-12);
  }
  for (const auto& [list, arm] :
       {std::pair{10.0, 0.397359}, std::pair{30.0, 1.175891}, std::pair{60.0, 2.243299},
        std::pair{90.0, 3.0}, std::pair{120.0, 2.952854}, std::pair{150.0, 1.824109}}) {
    EXPECT_NEAR(at_list(curve, list).arm_mm, arm, 5e-7);
    EXPECT_NEAR(at_list(curve, -list).arm_mm, -arm, 5e-7);
  }
  EXPECT_EQ(curve.right.vanishing_deg, 180);
  EXPECT_EQ(curve.left.vanishing_deg, -180);
  EXPECT_EQ(curve.vanishing_deg, 180);
  EXPECT_NEAR(curve.right.area_mm_rad.value(), 6, 1e-9);
  EXPECT_NEAR(curve.left.area_mm_rad.value(), 6, 1e-9);
}

// With G off the middle in all directions the trim follows: at each list the closed form's own
// least over trims. Tolerance: 1e-9 mm of lever in the trim, of an energy that is 100 mm stiff.
TEST(RightingOfAnEllipsoid, FollowsTheTrim) {
  for (const Vec3& G : {Vec3(5, 0.2, -3), Vec3(-9, -0.5, -2)}) {
    const Ellipsoid made(30, G);
    const RestPose pose = balance(made.lure).poses.at(0);
    const Righting curve = righting(made.lure, pose).value();
    ASSERT_EQ(curve.points.size(), 73U);
    for (const RightingPoint& point : curve.points) {
      EXPECT_NEAR(made.trimming_mm(point.list_deg, point.tail_down_deg), 0, 1e-9);
      EXPECT_NEAR(point.arm_mm, made.arm_mm(point.list_deg, point.tail_down_deg), 1e-9);
    }
    // The sole pass is found by turning either way; only one way is it within half a turn.
    EXPECT_NE(curve.right.vanishing_deg.has_value(), curve.left.vanishing_deg.has_value());
    const double list_of_pass =
        std::atan2(-pose.barrier.value().up.y(), pose.barrier->up.z()) / degree;
    EXPECT_NEAR(curve.vanishing_deg.value(), list_of_pass, 1e-6);
    const RightingSide& side = curve.right.vanishing_deg ? curve.right : curve.left;
    EXPECT_NEAR(side.area_mm_rad.value() * 30, pose.barrier->barrier_g_mm, 1e-8);
  }
}

// Source: V/2, G 1 mm low: barriers 1.334572 over the upright and 41.546958 over keel up, here as
// the work over the mass; the moment changes sign at both.
TEST(RightingOfAnEllipsoid, OfALeaningPoseVanishesUprightAndKeelUp) {
  const Ellipsoid made(ellipsoid_half_g, {0, 0, -1});
  const Balance found = balance(made.lure);
  const Righting curve = righting(made.lure, found.poses.at(0)).value();
  EXPECT_NEAR(curve.left.vanishing_deg.value(), 0, 1e-6);
  EXPECT_EQ(curve.right.vanishing_deg, 180);
  EXPECT_NEAR(curve.vanishing_deg.value(), 0, 1e-6);
  EXPECT_NEAR(curve.left.area_mm_rad.value() * found.mass_g, 1.334572, 5e-7);
  EXPECT_NEAR(curve.right.area_mm_rad.value() * found.mass_g, 41.546958, 5e-7);
  EXPECT_LT(at_list(curve, 25).arm_mm, 0);
  EXPECT_GT(at_list(curve, -25).arm_mm, 0);
  EXPECT_GT(at_list(curve, 90).arm_mm, 0);
}

// The same body turned about its long axis: all lists go on by so much, past half a turn too, and
// of its two ends the nearer one is still the list that was upright.
TEST(RightingOfAnEllipsoid, ThatIsTurnedVanishesAtTheNearerEndOverHalfATurnToo) {
  for (const double turn_deg : {100.0, -100.0, 150.0, -150.0}) {
    const auto [made, upright_deg] = leaning_ellipsoid_turned(turn_deg);
    const Balance found = balance(made.lure);
    ASSERT_EQ(found.poses.size(), 2U);
    for (const RestPose& pose : found.poses) {
      const Righting curve = righting(made.lure, pose).value();
      ASSERT_TRUE(curve.left.vanishing_deg && curve.right.vanishing_deg);
      EXPECT_NEAR(std::remainder(curve.vanishing_deg.value() - upright_deg, 360), 0, 1e-5);
      EXPECT_NEAR(std::remainder(*curve.left.vanishing_deg + *curve.right.vanishing_deg, 360),
                  std::remainder(2 * upright_deg + 180, 360), 1e-5);
    }
  }
}

// The area is the energy at the end less that at the pose; here the arms are summed instead
// (Simpson's rule over degrees), and the greatest arm is sought among them. Tolerance: Simpson's
// own, h⁴/180 of a fourth derivative of some tens of mm; a parabola's top between degrees.
TEST(RightingOfAnEllipsoid, AreaIsTheSumOfItsArms) {
  const Ellipsoid made(30, {0, 0, -3});
  const Righting curve = righting(made.lure, balance(made.lure).poses.at(0), 1).value();
  ASSERT_EQ(curve.points.size(), 361U);
  double sum = 0;
  double greatest = 0;
  for (int i = 0; i <= 180; ++i) {
    const double arm = curve.points[180U + static_cast<std::size_t>(i)].arm_mm;
    sum += (i == 0 || i == 180 ? 1 : (i % 2 == 1 ? 4 : 2)) * arm;
    greatest = std::max(greatest, arm);
  }
  EXPECT_NEAR(curve.right.area_mm_rad.value(), sum * degree / 3, 1e-7);
  EXPECT_GE(curve.right.greatest_arm_mm, greatest);
  EXPECT_NEAR(curve.right.greatest_arm_mm, greatest, 3e-4);
  EXPECT_NEAR(made.arm_mm(curve.right.greatest_arm_list_deg, 0), curve.right.greatest_arm_mm, 1e-9);
  EXPECT_NEAR(curve.left.greatest_arm_mm, -curve.right.greatest_arm_mm, 1e-9);
}

// Source: Derrett, rev. Barrass, Ship Stability for Masters and Mates, 5th ed., 1999, p. 130 and a
// solution page: GZ = sin φ·(GM + ½·BM·tan²φ) while neither lid nor floor meets the water; example
// 2, box 65×12×8, draught 4, GM 1, BM 3; exercise 15.5, box 55×7.5×6, draught 4, GM 0.471875, BM
// 1.171875, GZ 0.239171 at 24°. Tolerance: 1e-9 of exact formulas on an exact body.
TEST(RightingOfABoxBarge, IsTheWallSidedFormulaUntilItsLidOrFloorMeetsTheWater) {
  const auto curve_of = [](double length, double breadth, double depth, double draught,
                           double keel_to_g) {
    const OwnedFloater made =
        floating(test_bodies::closed(test_bodies::box(length, breadth, depth)),
                 length * breadth * draught * 1e-3, {0, 0, keel_to_g - depth / 2});
    const Balance found = balance(made.lure);
    for (const RestPose& pose : found.poses) {
      if (std::abs(pose.list_deg.value_or(1)) < 1e-9) return righting(made.lure, pose, 1).value();
    }
    return Righting{};
  };
  const auto wall_sided = [](double gm, double bm, double list_deg) {
    const double tangent = std::tan(list_deg * degree);
    return std::sin(list_deg * degree) * (gm + bm * tangent * tangent / 2);
  };
  const Righting example = curve_of(65, 12, 8, 4, 4);
  ASSERT_EQ(example.points.size(), 361U);
  for (int list = -33; list <= 33; ++list) {  // tan 33.69° = 4/6
    EXPECT_NEAR(at_list(example, list).arm_mm, wall_sided(1, 3, list), 1e-9) << list;
  }
  EXPECT_LT(at_list(example, 40).arm_mm, wall_sided(1, 3, 40) - 0.01);
  const Righting exercise = curve_of(55, 7.5, 6, 4, 2.7);
  EXPECT_NEAR(at_list(exercise, 24).arm_mm, 0.239171, 5e-7);
  EXPECT_NEAR(at_list(exercise, 24).arm_mm, wall_sided(0.471875, 1.171875, 24), 1e-9);
}

// A square bar that lies flat lets go at its edge, 45° on, keel up as well as upright; the energies
// per mass and side are those of bars (barriers_test.cpp).
TEST(RightingOfASquareBar, VanishesAtItsEdge) {
  const OwnedFloater made = square_bar(0.2);
  const double area = bar_side_mm * (std::sqrt(0.5) - 2 * std::sqrt(0.2) / 3 - 0.4);
  for (const RestPose& pose : balance(made.lure).poses) {
    const Righting curve = righting(made.lure, pose).value();
    EXPECT_NEAR(std::remainder(curve.right.vanishing_deg.value() - *pose.list_deg - 45, 360), 0,
                1e-6);
    EXPECT_NEAR(std::remainder(curve.left.vanishing_deg.value() - *pose.list_deg + 45, 360), 0,
                1e-6);
    EXPECT_EQ(curve.vanishing_deg, curve.right.vanishing_deg);
    EXPECT_NEAR(curve.right.area_mm_rad.value(), area, 1e-9);
    EXPECT_NEAR(curve.left.area_mm_rad.value(), area, 1e-9);
    ASSERT_EQ(curve.points.size(), 73U);
    EXPECT_EQ(curve.points.front().list_deg, -180);
    EXPECT_EQ(curve.points.back().list_deg, 180);
    EXPECT_NEAR(curve.points.front().arm_mm, curve.points.back().arm_mm, 1e-9);
  }
}

OwnedFloater hooked_glider(double side = 1) {
  const geometry::ClosedMesh body = test_bodies::closed(test_bodies::glider(600));
  const geometry::Moments whole = geometry::moments(body);
  geometry::ClosedMesh mesh =
      side > 0 ? body : test_bodies::closed(test_bodies::mirrored_y(body.mesh()));
  OwnedFloater made = floating(std::move(mesh), 0.6e-3 * whole.volume_mm3,
                               whole.centroid_mm + Vec3(4, side * 0.3, -2));
  made.lure.outside = {{"belly treble", {40, side * 0.5, -16}, 1200, 40, 0},
                       {"tail treble", {120, 0, 0}, 600, 30, 0}};
  return made;
}

// Central differences of the least energy over trims, by golden section in the valley and by the
// plain loop over the facets. Step 0.1°: its square times a third derivative of some hundred g·mm.
TEST(Righting, IsTheSlopeOfTheLeastEnergyOverTrims) {
  const OwnedFloater made = hooked_glider();
  Floater by_loop = made.lure;
  by_loop.body = CutBody(made.mesh.get());
  const auto least = [&](double list_deg, double near_deg) {
    const auto energy = [&](double tail_deg) {
      return waterline_at(by_loop, up_at(list_deg, tail_deg)).energy_g_mm;
    };
    double low = near_deg - 2;
    double high = near_deg + 2;
    constexpr double golden = 1 / std::numbers::phi;
    for (int i = 0; i < 40; ++i) {
      const double a = high - golden * (high - low);
      const double b = low + golden * (high - low);
      (energy(a) < energy(b) ? high : low) = energy(a) < energy(b) ? b : a;
    }
    return energy((low + high) / 2);
  };
  const Righting curve = righting(made.lure, balance(made.lure).poses.at(0), 15).value();
  ASSERT_EQ(curve.points.size(), 25U);
  constexpr double step_deg = 0.1;
  for (const RightingPoint& point : curve.points) {
    const double slope = (least(point.list_deg + step_deg, point.tail_down_deg) -
                          least(point.list_deg - step_deg, point.tail_down_deg)) /
                         (2 * step_deg * degree);
    EXPECT_NEAR(point.moment_g_mm, slope, 0.01) << point.list_deg;
  }
}

// list_stiffness is the slope of that curve at the pose, trim and list turning each other.
// Tolerance: the curve's own bend over 0.05°.
TEST(ListStiffness, IsTheSlopeOfTheRightingCurve) {
  const OwnedFloater glider = hooked_glider();
  const Ellipsoid tilted(30, {14, 0.4, -1.5});
  for (const Floater* lure : {&glider.lure, &tilted.lure}) {
    for (const RestPose& pose : balance(*lure).poses) {
      const Righting curve = righting(*lure, pose, 0.05).value();
      const auto after =
          std::find_if(curve.points.begin() + 1, curve.points.end(),
                       [&](const RightingPoint& point) { return point.list_deg > *pose.list_deg; });
      ASSERT_NE(after, curve.points.end());
      const RightingPoint& before = *(after - 1);
      const double slope =
          (after->moment_g_mm - before.moment_g_mm) / (after->list_deg - before.list_deg);
      EXPECT_NEAR(pose.list_stiffness_g_mm_per_deg.value(), slope, 2e-3 * slope);
      // Held still, the trim stiffens; and turning the list turns up by less than itself.
      EXPECT_LT(*pose.list_stiffness_g_mm_per_deg, *pose.roll_stiffness_g_mm_per_deg);
    }
  }
}

// Level fore and aft by symmetry, list and trim do not mix.
TEST(ListStiffness, IsTheRollStiffnessWhereTheLureLiesLevel) {
  const Ellipsoid made(30, {0, 0, -3});
  const RestPose pose = balance(made.lure).poses.at(0);
  EXPECT_NEAR(pose.list_stiffness_g_mm_per_deg.value(), pose.roll_stiffness_g_mm_per_deg.value(),
              1e-9);
}

TEST(RightingLaws, MirroredBodyRightsToTheOtherSide) {
  const OwnedFloater made = hooked_glider();
  const OwnedFloater image = hooked_glider(-1);
  const Righting one = righting(made.lure, balance(made.lure).poses.at(0)).value();
  const Balance mirrored = balance(image.lure);
  const double list = balance(made.lure).poses.at(0).list_deg.value();
  const auto same = std::find_if(
      mirrored.poses.begin(), mirrored.poses.end(),
      [&](const RestPose& pose) { return std::abs(pose.list_deg.value_or(1000) + list) < 1e-6; });
  ASSERT_NE(same, mirrored.poses.end());
  const Righting other = righting(image.lure, *same).value();
  ASSERT_EQ(one.points.size(), other.points.size());
  for (std::size_t i = 0; i < one.points.size(); ++i) {
    const RightingPoint& a = one.points[i];
    const RightingPoint& b = other.points[other.points.size() - 1 - i];
    EXPECT_EQ(a.list_deg, -b.list_deg);
    EXPECT_NEAR(a.moment_g_mm, -b.moment_g_mm, 1e-7);
    EXPECT_NEAR(a.tail_down_deg, b.tail_down_deg, 1e-7);
  }
  ASSERT_EQ(one.right.vanishing_deg.has_value(), other.left.vanishing_deg.has_value());
  if (one.right.vanishing_deg) {
    EXPECT_NEAR(*one.right.vanishing_deg, -other.left.vanishing_deg.value(), 1e-6);
    EXPECT_NEAR(one.right.area_mm_rad.value(), other.left.area_mm_rad.value(), 1e-8);
  }
}

// Source: under water E = D·(G − B)·up. With B − G = (0, 0, h) the moment is D·h·sin(list), level
// fore and aft, and at 90° the trim is held by nothing: there the valley ends.
TEST(RightingUnderWater, IsASineAsFarAsTheTrimIsHeld) {
  const OwnedFloater made =
      floating(test_bodies::closed(test_bodies::box(100, 20, 20)), 45, {0, 0, -2.5});
  const Righting curve = righting(made.lure, balance(made.lure).poses.at(0)).value();
  ASSERT_EQ(curve.points.size(), 35U);  // −85 to 85
  for (const RightingPoint& point : curve.points) {
    EXPECT_NEAR(point.moment_g_mm, 40 * 2.5 * std::sin(point.list_deg * degree), 1e-9);
    EXPECT_NEAR(point.arm_mm, point.moment_g_mm / 45, 1e-12);
    EXPECT_NEAR(point.tail_down_deg, 0, 1e-9);
  }
  EXPECT_FALSE(curve.right.vanishing_deg.has_value());
  EXPECT_FALSE(curve.vanishing_deg.has_value());
  EXPECT_FALSE(curve.right.area_mm_rad.has_value());
}

// Lists mean nothing for a lure that hangs upright, nor round a log.
TEST(Righting, IsUndefinedWhereThereIsNoList) {
  const OwnedFloater hangs =
      floating(test_bodies::closed(test_bodies::box(100, 20, 20)), 45, {5, 0, 0});
  EXPECT_FALSE(righting(hangs.lure, balance(hangs.lure).poses.at(0)).has_value());
  const Ellipsoid upright(30, {40, 0, 0});
  EXPECT_FALSE(righting(upright.lure, balance(upright.lure).poses.at(0)).has_value());
  const OwnedFloater log = uniform(along_x(test_bodies::turned({{10, 0}, {10, 60}}, 90)), 0.5);
  const Balance found = balance(log.lure);
  ASSERT_TRUE(found.poses.at(0).indifferent) << described(found);
  EXPECT_FALSE(righting(log.lure, found.poses.at(0)).has_value());
}

// A steep pose, tail down or nose down, keeps its curve until the valley comes to 85°.
TEST(Righting, EndsWhereItsValleyDoes) {
  for (const double sign : {1.0, -1.0}) {
    const Ellipsoid made(30, {sign * 20, 0, -1});
    const Balance found = balance(made.lure);
    const Righting curve = righting(made.lure, found.poses.at(0)).value();
    ASSERT_FALSE(curve.points.empty());
    EXPECT_LT(curve.points.size(), 73U);
    for (const RightingPoint& point : curve.points) {
      EXPECT_LE(sign * point.tail_down_deg, 85);
      EXPECT_NEAR(made.trimming_mm(point.list_deg, point.tail_down_deg), 0, 1e-9);
    }
    EXPECT_GT(sign * curve.points.back().tail_down_deg, 84);
    EXPECT_FALSE(curve.vanishing_deg.has_value());
  }
}

}  // namespace
}  // namespace trueblank::water
