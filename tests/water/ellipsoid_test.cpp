// SPDX-License-Identifier: GPL-3.0-or-later
// An ellipsoid is a stretched sphere, so that every pose of one with its centre of mass anywhere
// has a closed form. With A = diag(a, b, c), η the depth of the unit sphere's cap of the same part
// of the volume, s = η²(3 − η)/4 and β = 3(2 − η)²/(4(3 − η)) (spherical cap: its centroid lies 3(2
// − η)²/(4(3 − η)) from the middle), the centre of buoyancy is −β·A²up/|A·up| and the water lies at
// up·p = (η − 1)|A·up|; per mass the energy is G·up + β|A·up|, and a pose has G + β·A²up/|A·up|
// along up. Derived; the table's figures by an independent mesh solver too.
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>

#include "geometry/moments.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"
#include "water/sphere_grid.h"

namespace trueblank::water {
namespace {

// What the closed form leaves of G + β·A²up/|A·up| across up: nil at a pose, mm.
double closed_form_residual_mm(const Vec3& G, double s, const Vec3& up) {
  const Vec3 semi_axes(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  const Vec3 stretched = semi_axes.cwiseProduct(up);
  const Vec3 lever = G + ellipsoid_beta(s) * semi_axes.cwiseProduct(stretched) / stretched.norm();
  return (lever - up.dot(lever) * up).norm();
}

// GM of the two principal turns, from the second derivatives of G·up + β|A·up| in closed form.
Eigen::Vector2d closed_form_gm_mm(const Vec3& G, double s, const Vec3& up) {
  const Vec3 semi_axes(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  const Mat3 square = semi_axes.cwiseProduct(semi_axes).asDiagonal();
  const double reach = semi_axes.cwiseProduct(up).norm();
  const Vec3 pull = square * up;
  const Mat3 second =
      ellipsoid_beta(s) * (square / reach - pull * pull.transpose() / (reach * reach * reach));
  const double radial = up.dot(G) + ellipsoid_beta(s) * reach;
  const TangentPair t = tangents(up);
  const Mat3 gm = second - radial * Mat3::Identity();
  const double first = t.first.dot(gm * t.first);
  const double other = t.second.dot(gm * t.second);
  const double spread = std::hypot((first - other) / 2, t.first.dot(gm * t.second));
  return {(first + other) / 2 - spread, (first + other) / 2 + spread};
}

// Tolerance: the table's printed digits; its angles and lengths have four, V/2's list six.
TEST(Ellipsoid, CutByFormulaLiesAsTheTableSays) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  for (const EllipsoidRow& row : ellipsoid_rows()) {
    Floater lure;
    lure.body = body.cut_body();
    lure.mass_g = row.mass_g == ellipsoid_half_g ? body.volume_mm3() * 1e-3 / 2 : row.mass_g;
    lure.centre_of_mass_mm = row.G;
    expect_row(row, balance(lure), 6e-5, 6e-5, 1e-6);
  }
}

// Tolerance: 1e-9 mm of lever, which is 1e-9/GM rad, and 1e-9 of a GM.
TEST(Ellipsoid, CutByFormulaMeetsTheClosedFormToRounding) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  for (const EllipsoidRow& row : ellipsoid_rows()) {
    Floater lure;
    lure.body = body.cut_body();
    lure.mass_g = row.mass_g;
    lure.centre_of_mass_mm = row.G;
    const double s = row.mass_g / (body.volume_mm3() * 1e-3);
    for (const RestPose& pose : balance(lure).poses) {
      EXPECT_LT(closed_form_residual_mm(row.G, s, pose.up), 1e-9);
      const Eigen::Vector2d gm = closed_form_gm_mm(row.G, s, pose.up);
      EXPECT_NEAR(pose.least_stiffness_g_mm_per_deg, gm(0) * row.mass_g * degree, 1e-9);
      EXPECT_NEAR(pose.gm_roll_mm.value() + pose.gm_pitch_mm.value(), gm.sum(), 1e-7);
      EXPECT_NEAR(pose.waterline_offset_mm.value(),
                  (ellipsoid_cap_depth(s) - 1) * pose.up.cwiseProduct(body.semi_axes_mm()).norm(),
                  1e-9);
      EXPECT_NEAR(
          pose.energy_g_mm,
          row.mass_g * (row.G.dot(pose.up) +
                        ellipsoid_beta(s) * pose.up.cwiseProduct(body.semi_axes_mm()).norm()),
          1e-8);
    }
  }
}

// The same at every row on facets is a long test: here one row, 80×80 facets made equal in volume.
// Tolerance: facets fall short of the smooth shape by some 4e-4 of its second moments.
TEST(Ellipsoid, OfFacetsLiesAsTheTableSays) {
  const geometry::ClosedMesh mesh = ellipsoid_mesh(80);
  const EllipsoidRow row = ellipsoid_rows()[2];
  expect_row(row, balance(floating(mesh, row.mass_g, row.G).lure), 0.004, 0.003, 1e-3);
}

// Source: ball or round log with G a distance e off its middle: stiffness M·e, here 30 g at 2 mm =
// 1.047198 g·mm/°; and G hangs straight below: y 1, z −4 → list 14.0362°. By formula, so to 1e-9.
TEST(Ball, HangsWithItsCentreOfMassBelowItsMiddle) {
  const FormulaEllipsoid ball(22, 22, 22);
  Floater lure;
  lure.body = ball.cut_body();
  lure.mass_g = 30;
  lure.centre_of_mass_mm = {0, 0, -2};
  const Balance upright = balance(lure);
  ASSERT_EQ(upright.poses.size(), 1U);
  EXPECT_NEAR(upright.poses[0].least_stiffness_g_mm_per_deg, 1.0471975512, 1e-9);
  lure.centre_of_mass_mm = {0, 1, -4};
  const Balance leaning = balance(lure);
  ASSERT_EQ(leaning.poses.size(), 1U);
  EXPECT_NEAR(leaning.poses[0].list_deg.value(), 14.036243468, 1e-7);
}

// Closed form: half immersed, with the long axis along z and G at -g on it, the energy of a tilt θ
// of that axis is -g·cos θ + 3/8·h, h² = a²·cos²θ + b²·sin²θ; it is level where g·h = 3/8·(a² -
// b²)·cos θ. All tilts by 60° are one ring, which goes round z: so that it has a list, which a ring
// about the long axis x has not. What stands for it is the one with the back up most, and no list.
TEST(Spindle, OnItsEndLiesTiltedAllRoundAndHasAList) {
  constexpr double a_mm = 60;
  constexpr double b_mm = 11;
  constexpr double tilt_deg = 60;
  const double cosine = std::cos(tilt_deg * degree);
  const double h_mm = std::hypot(a_mm * cosine, b_mm * std::sin(tilt_deg * degree));
  const FormulaEllipsoid body(b_mm, b_mm, a_mm);
  Floater lure;
  lure.body = body.cut_body();
  lure.mass_g = lure.displacement_full_g() / 2;
  lure.centre_of_mass_mm = {0, 0, -3.0 / 8 * (a_mm * a_mm - b_mm * b_mm) * cosine / h_mm};
  const Balance found = balance(lure);
  ASSERT_EQ(found.poses.size(), 1U) << described(found);
  const RestPose& pose = found.poses[0];
  EXPECT_TRUE(pose.indifferent);
  EXPECT_NEAR(pose.up.z(), cosine, 1e-6);
  EXPECT_NEAR(pose.tail_down_deg, -tilt_deg, 0.02);
  ASSERT_TRUE(pose.list_deg);
  EXPECT_NEAR(*pose.list_deg, 0, 1);
}

// With its centre of mass at its middle no turn is resisted and none helped.
TEST(Ball, WithItsCentreOfMassAtItsMiddleIsIndifferentAllRound) {
  const OwnedFloater made =
      uniform(test_bodies::closed(test_bodies::ellipsoid(15, 15, 15, 180, 180)), 0.4);
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 1U) << described(found);
  EXPECT_TRUE(found.poses[0].indifferent);
  EXPECT_EQ(found.poses[0].share, 1);
  EXPECT_FALSE(found.poses[0].list_deg.has_value());
}

// Source: near level, at k g·mm/°, 1 g moved d mm sideways lists the lure by d/k °; and the list of
// the table's third row against its second: G moved by 0.2 mm, 30 g, is 6 g·mm.
TEST(SidewaysMove, ListsAsTheClosedFormDoes) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  Floater lure;
  lure.body = body.cut_body();
  lure.mass_g = 30;
  lure.centre_of_mass_mm = {0, 0, -3};
  const RestPose level = balance(lure).poses.at(0);
  EXPECT_NEAR(list_for_sideways_move_deg(level, 1, 2).value(), 2 / 1.194150, 1e-5);
  // A small move truly made, in a tilted pose: the prediction is its slope.
  lure.centre_of_mass_mm = {5, 0.2, -3};
  const RestPose tilted = balance(lure).poses.at(0);
  lure.centre_of_mass_mm = {5, 0.2 + 0.001 / 30, -3};
  const RestPose moved = balance(lure).poses.at(0);
  EXPECT_NEAR((moved.list_deg.value() - tilted.list_deg.value()) / 0.001,
              list_for_sideways_move_deg(tilted, 1, 1).value(), 1e-4);
}

}  // namespace
}  // namespace trueblank::water
