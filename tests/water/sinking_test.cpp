// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sinking.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/section.h"
#include "support/bodies.h"
#include "water/rest_poses.h"

namespace trueblank::water {
namespace {

using test_bodies::closed;

constexpr double pi = std::numbers::pi;
constexpr double gravity_m_s2 = 9.80665;

Floater lure_of(const geometry::MomentTree& tree, double mass_g, const Vec3& centre_mm) {
  Floater lure;
  lure.body = &tree;
  lure.mass_g = mass_g;
  lure.centre_of_mass_mm = centre_mm;
  return lure;
}

double displaced_g(const geometry::MomentTree& tree) { return tree.volume_mm3() / 1000; }

// 25 mm round, whatever its length.
DragShape round_stick(double length_mm) {
  return {.frontal_mm2 = pi / 4 * 25 * 25, .broad_mm2 = 25 * length_mm};
}

// Source: U = √(2W'/(ρ·C·A)) for 10 g in water of 1 g/cm³ and a frontal area 25 mm round, by hand:
// 0.71 m/s at 0.8, 1.41 at 0.2, 2.00 at 0.1 (two decimals).
TEST(LureThatFallsEndOn, SinksAsItsFrontalDragHasIt) {
  const geometry::ClosedMesh body = closed(test_bodies::box(100, 20, 20));
  const geometry::MomentTree tree(body);
  // All its weight ahead of all its volume: it falls nose first.
  const Floater lure = lure_of(tree, displaced_g(tree) + 10, {-40, 0, 0});
  for (const auto& [coefficient, rate_m_s] :
       {std::pair{0.8, 0.71}, std::pair{0.2, 1.41}, std::pair{0.1, 2.00}}) {
    const Fall fall = steady_fall(lure, round_stick(100), {.end_on = coefficient, .broadside = 1});
    EXPECT_NEAR(fall.tail_down_deg, -90, 1e-9);
    EXPECT_NEAR(fall.rate_m_s, rate_m_s, 0.005);
    EXPECT_NEAR(fall.straight_rate_m_s, rate_m_s, 0.005);
  }
}

// The same formula on the side: 10 g on 25 × 100 mm.
TEST(LureThatFallsBroadside, SinksAsItsSidesDragHasIt) {
  const geometry::ClosedMesh body = closed(test_bodies::box(100, 20, 20));
  const geometry::MomentTree tree(body);
  const Floater lure = lure_of(tree, displaced_g(tree) + 10, {0, 0, -5});
  for (const double coefficient : {0.6, 1.2}) {
    const double rate_m_s = std::sqrt(2 * 0.010 * gravity_m_s2 / (1000 * coefficient * 25e-4));
    const Fall fall =
        steady_fall(lure, round_stick(100), {.end_on = 0.3, .broadside = coefficient, .moment = 1});
    EXPECT_NEAR(fall.tail_down_deg, 0, 1e-9);
    EXPECT_NEAR(fall.rate_m_s, rate_m_s, 1e-12);
    EXPECT_NEAR(fall.straight_rate_m_s, rate_m_s, 1e-12);
  }
}

// Source: Lamb, Hydrodynamics, arts 114-115, as reckoned there for these slendernesses to four
// digits (checked against the defining integrals); and the k1 printed in Lamb, ARC R&M 623, 1918,
// whose rounded ratios leave it up to 0.002 off.
TEST(AddedMassOfASpheroid, MeetsLambsFormulasAndHisTable) {
  struct Row {
    double n;
    double k1;
    double k2;
    double printed_k1;
  };

  for (const Row& row :
       {Row{1.5, .3037, .6221, .305}, Row{2, .2100, .7042, .209}, Row{2.51, .1554, .7629, .156},
        Row{2.99, .1225, .8032, .122}, Row{3.99, .0818, .8593, .082}, Row{4.99, .0593, .8940, .059},
        Row{6.01, .0451, .9173, .045}, Row{6.97, .0361, .9327, .036}, Row{8.01, .0292, .9448, .029},
        Row{9.97, .0208, .9601, .021}}) {
    const AddedMass added = spheroid_added_mass(row.n);
    EXPECT_NEAR(added.end_on, row.k1, 5.1e-5) << row.n;
    EXPECT_NEAR(added.broadside, row.k2, 5.1e-5) << row.n;
    EXPECT_NEAR(added.end_on, row.printed_k1, 0.0025) << row.n;
  }
  // A sphere's is one half each way, and there is no jump to it.
  EXPECT_NEAR(spheroid_added_mass(1).end_on, 0.5, 1e-15);
  EXPECT_NEAR(spheroid_added_mass(1 + 2e-6).end_on, 0.5, 1e-5);
  EXPECT_NEAR(spheroid_added_mass(1 + 2e-6).broadside, 0.5, 1e-5);
}

/// The shape again a slower way: slice by slice through the body.
struct Slices {
  double broad_mm2 = 0;
  double broad_x_mm = 0;
};

Slices sliced(const geometry::ClosedMesh& body, int count) {
  Slices slices;
  const double from = body.positions_mm().row(0).minCoeff();
  const double to = body.positions_mm().row(0).maxCoeff();
  double moment = 0;
  for (int i = 0; i < count; ++i) {
    const geometry::Section section =
        geometry::section_at(body, from + (to - from) * (i + 0.5) / count);
    const double area =
        (section.left_half_width_mm + section.right_half_width_mm) * (to - from) / count;
    slices.broad_mm2 += area;
    moment += area * section.x_mm;
  }
  slices.broad_x_mm = moment / slices.broad_mm2;
  return slices;
}

// 2000 slices of a smooth outline are right to about 1e-5.
TEST(DragShapeOfALure, IsThatOfItsSlices) {
  for (const geometry::TriangleMesh& mesh :
       {test_bodies::pencil(4000), test_bodies::glider(4000), test_bodies::needle(4000)}) {
    const geometry::ClosedMesh body = closed(mesh);
    const DragShape shape = drag_shape(body, Vec3::UnitZ());
    const Slices slices = sliced(body, 2000);
    EXPECT_NEAR(shape.broad_mm2, slices.broad_mm2, 1e-4 * slices.broad_mm2);
    EXPECT_NEAR(shape.broad_x_mm, slices.broad_x_mm, 0.01);
    EXPECT_GT(shape.added_mass_gap, 0.5);
    EXPECT_LT(shape.added_mass_gap, 1);
  }
}

// The shadows of an ellipsoid are ellipses about its middle: pi*b*c seen from ahead, pi*a*b from
// above, pi*a*c from the side. Its facets lie inside it: of 120 around, 5e-4 of an ellipse.
TEST(DragShapeOfALure, HasTheShadowsOfAnEllipsoid) {
  const Vec3 middle(65, 2, -3);
  const geometry::ClosedMesh body =
      closed(test_bodies::ellipsoid(60, 10, 12, 120, 120)).moved(Mat3::Identity(), middle, 1);
  const auto expect = [&](const Vec3& across, double broad_mm2) {
    const DragShape shape = drag_shape(body, across);
    EXPECT_NEAR(shape.frontal_mm2, pi * 10 * 12, 1e-3 * pi * 10 * 12);
    EXPECT_NEAR(shape.frontal_across_mm, middle.dot(across), 1e-3);
    EXPECT_NEAR(shape.broad_mm2, broad_mm2, 1e-3 * broad_mm2);
    EXPECT_NEAR(shape.broad_x_mm, middle.x(), 1e-3);
    EXPECT_NEAR(shape.volume_mm3, 4 * pi / 3 * 60 * 10 * 12, 1e-3 * 4 * pi / 3 * 60 * 10 * 12);
  };
  expect(Vec3::UnitZ(), pi * 60 * 10);
  expect(Vec3::UnitY(), pi * 60 * 12);
}

// Source: Lamb as above, k2 - k1 at a slenderness of 6.01: a spheroid is taken for itself.
TEST(DragShapeOfALure, HasTheAddedMassOfASpheroid) {
  const geometry::ClosedMesh spheroid = closed(test_bodies::ellipsoid(6.01 * 11, 11, 11, 120, 120));
  EXPECT_NEAR(drag_shape(spheroid, Vec3::UnitZ()).added_mass_gap, .9173 - .0451, 1e-3);
}

/// What a steady fall must satisfy, reckoned from the speeds and each force by itself.
struct Forces {
  double rate_m_s = 0;  ///< downwards
  Vec3 left_over_n = Vec3::Zero();
  Vec3 moment_n_m = Vec3::Zero();  ///< about G
};

Forces forces_in(const Floater& lure, const DragShape& shape, const DragSet& drag, const Vec3& up) {
  const double density_kg_m3 = 1000 * lure.water_density_g_cm3;
  const double weight_n = lure.mass_g / 1000 * gravity_m_s2;
  const double buoyancy_n = lure.displacement_full_g() / 1000 * gravity_m_s2;
  const Vec3 x = Vec3::UnitX();
  const Vec3 t = shape.across;
  // The speeds along x and t at which ½·ρ·C·A·v² carries each part of the weight in water.
  const auto speed = [&](double up_part, double coefficient, double area_mm2) {
    const double v2 = 2 * (weight_n - buoyancy_n) * std::abs(up_part) /
                      (density_kg_m3 * coefficient * area_mm2 * 1e-6);
    return up_part > 0 ? -std::sqrt(v2) : std::sqrt(v2);
  };
  const double u = speed(up.dot(x), drag.end_on, shape.frontal_mm2);
  const double w = speed(up.dot(t), drag.broadside, shape.broad_mm2);
  const Vec3 axial_n =
      -0.5 * density_kg_m3 * drag.end_on * shape.frontal_mm2 * 1e-6 * u * std::abs(u) * x;
  const Vec3 broad_n =
      -0.5 * density_kg_m3 * drag.broadside * shape.broad_mm2 * 1e-6 * w * std::abs(w) * t;
  const auto arm_m = [&](const Vec3& at_mm) {
    return Vec3((at_mm - lure.centre_of_mass_mm) / 1000);
  };
  // Kirchhoff: impulse of the flow P = ρV(k1·u, k2·w), its moment on the body -v × P.
  const Vec3 velocity = u * x + w * t;
  const Vec3 impulse =
      density_kg_m3 * shape.volume_mm3 * 1e-9 * (shape.added_mass_gap * w * t);  // less k1·v
  Forces forces;
  forces.rate_m_s = -velocity.dot(up);
  forces.left_over_n = axial_n + broad_n - (weight_n - buoyancy_n) * up;
  forces.moment_n_m = arm_m(lure.centre_of_full_buoyancy_mm()).cross(buoyancy_n * up) +
                      arm_m(shape.frontal_across_mm * t).cross(axial_n) +
                      arm_m(shape.broad_x_mm * x).cross(broad_n) -
                      drag.moment * velocity.cross(impulse);
  return forces;
}

// A second way: at the angle found, all forces and moments by themselves add up to nothing, and a
// small turn either way is turned back. Over lures with their weight fore, aft, low and high; of
// those that are set free all but nose or tail down, the place where nothing turns them lies right
// behind, and does not hold them.
TEST(SteadyFall, BalancesAllForcesAndMomentsAndIsStable) {
  const geometry::ClosedMesh body = closed(test_bodies::glider(2000));
  const geometry::MomentTree tree(body);
  const Vec3 B = tree.first_moment_mm4() / tree.volume_mm3();
  const DragShape shape = drag_shape(body, Vec3::UnitZ());
  for (const double aft_mm : {-25.0, -6.0, 0.5, 9.0, 30.0}) {
    for (const double low_mm : {0.02, 0.5, 4.0}) {
      for (const double excess_g : {0.5, 8.0, 40.0}) {
        for (const double moment : {0.0, 0.4, 1.0}) {
          const Floater lure =
              lure_of(tree, displaced_g(tree) + excess_g, B + Vec3(aft_mm, 0, -low_mm));
          const DragSet drag = {.end_on = 0.3, .broadside = 0.9, .moment = moment};
          const Fall fall = steady_fall(lure, shape, drag);
          const Forces forces = forces_in(lure, shape, drag, fall.up);
          const double weight_n = lure.mass_g / 1000 * gravity_m_s2;
          EXPECT_LT(forces.left_over_n.norm(), 1e-12 * weight_n);
          // The moment grows as a square root near nose down, where a rounding of the angle is
          // worth most.
          EXPECT_LT(forces.moment_n_m.norm(), 1e-8 * weight_n);
          EXPECT_NEAR(fall.rate_m_s, forces.rate_m_s, 1e-12);
          for (const double turn : {-1e-3, 1e-3}) {
            const Vec3 turned = Eigen::AngleAxisd(turn, Vec3::UnitY()).toRotationMatrix() * fall.up;
            // up turned about +y in the body frame is the body turned about -y.
            EXPECT_GT(turn * forces_in(lure, shape, drag, turned).moment_n_m.y(), 0)
                << aft_mm << " " << low_mm << " " << excess_g << " " << moment << " " << turn;
          }
        }
      }
    }
  }
}

// Without the moment of frictionless flow the fall is a closed form: the drag acts as a float of
// W' at the shadows' centres, and up runs from G to the middle of both lifts.
TEST(SteadyFall, WithoutFrictionlessMomentLiesAsAHangingBodyWithItsDragAsAFloat) {
  const geometry::ClosedMesh body = closed(test_bodies::pencil(2000));
  const geometry::MomentTree tree(body);
  const Vec3 B = tree.first_moment_mm4() / tree.volume_mm3();
  const DragShape shape = drag_shape(body, Vec3::UnitZ());
  const double D = displaced_g(tree);
  const Floater lure = lure_of(tree, D + 12, B + Vec3(5, 0, -3));
  const Vec3 drag_at(shape.broad_x_mm, 0, shape.frontal_across_mm);
  const Vec3 up = ((D * B + 12 * drag_at) / (D + 12) - lure.centre_of_mass_mm).normalized();
  const Fall fall = steady_fall(lure, shape, {.end_on = 0.2, .broadside = 1});
  EXPECT_NEAR((fall.up - up).norm(), 0, 1e-12);
}

// As the weight in water goes to nothing so does the drag, and the lure falls as it lies set free.
TEST(SteadyFall, OfALureThatHardlySinksIsItsPoseSetFree) {
  const geometry::ClosedMesh body = closed(test_bodies::pencil(2000));
  const geometry::MomentTree tree(body);
  const Vec3 B = tree.first_moment_mm4() / tree.volume_mm3();
  const Floater lure = lure_of(tree, displaced_g(tree) + 1e-9, B + Vec3(4, 0, -3));
  const Balance at_rest = balance(lure);
  const Fall fall = steady_fall(lure, drag_shape(body, falls_across(lure)), most_drag);
  EXPECT_NEAR(fall.tail_down_deg, at_rest.poses.front().tail_down_deg, 1e-4);
}

// Frictionless flow turns a body across its path, never along it.
TEST(SteadyFall, LiesNearerLevelTheMoreOfTheFrictionlessMomentIsLeft) {
  const geometry::ClosedMesh body = closed(test_bodies::pencil(2000));
  const geometry::MomentTree tree(body);
  const Vec3 B = tree.first_moment_mm4() / tree.volume_mm3();
  const DragShape shape = drag_shape(body, Vec3::UnitZ());
  const Floater lure = lure_of(tree, displaced_g(tree) + 10, B + Vec3(12, 0, -2));
  double last_deg = 90;
  for (const double moment : {0.0, 0.25, 0.5, 0.75, 1.0}) {
    const Fall fall = steady_fall(lure, shape, {.end_on = 0.3, .broadside = 0.9, .moment = moment});
    EXPECT_GT(fall.tail_down_deg, 0);
    EXPECT_LT(fall.tail_down_deg, last_deg);
    last_deg = fall.tail_down_deg;
  }
}

// Weight in the tail turns the tail down while falling too; end for end it is the mirror image.
TEST(SinkEstimate, OfALureTurnedEndForEndIsItsMirrorImage) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(80, 10, 12, 48, 48));
  const geometry::MomentTree tree(body);
  const auto aft = sink_estimate(lure_of(tree, displaced_g(tree) + 10, {8, 0, -3}), body);
  const auto fore = sink_estimate(lure_of(tree, displaced_g(tree) + 10, {-8, 0, -3}), body);
  ASSERT_TRUE(aft && fore);
  EXPECT_GT(aft->tail_down_deg.low, 0);
  EXPECT_LT(aft->tail_down_deg.low, aft->tail_down_deg.high);
  EXPECT_NEAR(aft->tail_down_deg.low, -fore->tail_down_deg.high, 1e-6);
  EXPECT_NEAR(aft->tail_down_deg.high, -fore->tail_down_deg.low, 1e-6);
  EXPECT_NEAR(aft->rate_m_s.low, fore->rate_m_s.low, 1e-6);
  EXPECT_NEAR(aft->rate_m_s.high, fore->rate_m_s.high, 1e-6);
}

// A law: twice the size in all lengths with eight times the mass falls √2 as fast, as it lay.
TEST(SinkEstimate, GrowsAsTheRootOfTheSize) {
  const geometry::ClosedMesh body = closed(test_bodies::glider(2000));
  const geometry::ClosedMesh large = body.moved(Mat3::Identity(), Vec3::Zero(), 2);
  const geometry::MomentTree tree(body);
  const geometry::MomentTree large_tree(large);
  const Vec3 G = tree.first_moment_mm4() / tree.volume_mm3() + Vec3(3, 0, -4);
  const double mass_g = displaced_g(tree) + 9;
  const auto one = sink_estimate(lure_of(tree, mass_g, G), body);
  const auto two = sink_estimate(lure_of(large_tree, 8 * mass_g, 2 * G), large);
  ASSERT_TRUE(one && two);
  EXPECT_NEAR(two->rate_m_s.low, std::numbers::sqrt2 * one->rate_m_s.low, 1e-9);
  EXPECT_NEAR(two->rate_m_s.high, std::numbers::sqrt2 * one->rate_m_s.high, 1e-9);
  EXPECT_NEAR(two->tail_down_deg.low, one->tail_down_deg.low, 1e-7);
  EXPECT_NEAR(two->tail_down_deg.high, one->tail_down_deg.high, 1e-7);
}

// The band of a lure that falls level is that of its side's drag alone: 0.6 to 1.2 of 160 × 20.
TEST(SinkEstimate, OfALevelLureIsTheBandOfItsSide) {
  const geometry::ClosedMesh body = closed(test_bodies::box(160, 20, 24));
  const geometry::MomentTree tree(body);
  const auto estimate = sink_estimate(lure_of(tree, displaced_g(tree) + 10, {0, 0, -4}), body);
  ASSERT_TRUE(estimate.has_value());
  const auto rate = [](double coefficient) {
    return std::sqrt(2 * 0.010 * gravity_m_s2 / (1000 * coefficient * 160e-3 * 20e-3));
  };
  EXPECT_NEAR(estimate->rate_m_s.low, rate(1.2), 1e-9);
  EXPECT_NEAR(estimate->rate_m_s.high, rate(0.6), 1e-9);
  EXPECT_NEAR(estimate->tail_down_deg.low, 0, 1e-9);
  EXPECT_NEAR(estimate->tail_down_deg.high, 0, 1e-9);
  EXPECT_NEAR(estimate->weight_in_water_g, 10, 1e-9);
  EXPECT_FALSE(estimate->slow);
}

// A fall that passes through nose down counts as nose down at most.
TEST(SinkEstimate, NeverTellsMoreThanARightAngle) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(80, 10, 12, 48, 48));
  const geometry::MomentTree tree(body);
  for (const double forward_mm : {5.0, 30.0, 70.0}) {
    for (const double low_mm : {0.0, 1e-12, 0.3, -0.3}) {
      const auto estimate =
          sink_estimate(lure_of(tree, displaced_g(tree) + 20, {-forward_mm, 0, -low_mm}), body);
      ASSERT_TRUE(estimate.has_value());
      EXPECT_GE(estimate->tail_down_deg.low, -90);
      EXPECT_LE(estimate->tail_down_deg.high, 90);
      EXPECT_LE(estimate->tail_down_deg.low, estimate->tail_down_deg.high);
      EXPECT_LT(estimate->tail_down_deg.low, -30);
    }
  }
}

// A lure that lies on its flank falls in the plane of that flank.
TEST(SinkEstimate, FollowsTheSideThatIsUp) {
  const geometry::ClosedMesh body = closed(test_bodies::box(160, 20, 24));
  const geometry::MomentTree tree(body);
  const Floater lure = lure_of(tree, displaced_g(tree) + 10, {0, -4, 0});
  EXPECT_NEAR((falls_across(lure) - Vec3::UnitY()).norm(), 0, 1e-12);
  const auto estimate = sink_estimate(lure, body);
  ASSERT_TRUE(estimate.has_value());
  EXPECT_NEAR(estimate->rate_m_s.high,
              std::sqrt(2 * 0.010 * gravity_m_s2 / (1000 * 0.6 * 160e-3 * 24e-3)), 1e-9);
}

TEST(SinkEstimate, IsNotGivenForALureThatFloats) {
  const geometry::ClosedMesh body = closed(test_bodies::box(160, 20, 24));
  const geometry::MomentTree tree(body);
  EXPECT_FALSE(sink_estimate(lure_of(tree, displaced_g(tree) - 1, {0, 0, -4}), body).has_value());
  EXPECT_FALSE(sink_estimate(lure_of(tree, displaced_g(tree), {0, 0, -4}), body).has_value());
}

// A milligram too heavy, it falls at a centimetre a second or less, where coefficients rise.
TEST(SinkEstimate, SaysWhereTheCoefficientsDoNotReach) {
  const geometry::ClosedMesh body = closed(test_bodies::box(160, 20, 24));
  const geometry::MomentTree tree(body);
  const auto estimate = sink_estimate(lure_of(tree, displaced_g(tree) + 1e-3, {0, 0, -4}), body);
  ASSERT_TRUE(estimate.has_value());
  EXPECT_LT(estimate->rate_m_s.high, 0.011);
  EXPECT_TRUE(estimate->slow);
}

}  // namespace
}  // namespace trueblank::water
