// SPDX-License-Identifier: GPL-3.0-or-later
// Long sweeps, and second ways that take their time.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "geometry/moments.h"
#include "water/bars.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"
#include "water/judge.h"
#include "water/shares.h"
#include "water/sphere_grid.h"

namespace trueblank::water {
namespace {

// 160×160 facets made equal in volume fall short of the smooth shape by some 1e-4 of its second
// moments. Tolerance: 0.001°; 0.004° for the steep pose and where roll is as soft as 0.25 g·mm/°;
// waterline 0.002 mm; stiffness 1.5e-3.
TEST(EllipsoidTable, HoldsForFacetsAtEveryRow) {
  const geometry::ClosedMesh mesh = ellipsoid_mesh(160);
  for (const EllipsoidRow& row : ellipsoid_rows()) {
    const OwnedFloater made = floating(mesh, row.mass_g, row.G);
    const bool touchy = row.tail_down_deg > 45 || row.least_stiffness_g_mm_per_deg < 0.5;
    expect_row(row, balance(made.lure), touchy ? 0.004 : 0.001, 0.002, 1.5e-3);
  }
}

// Source and tolerance: as the short test of the square bar, at more densities.
TEST(SquareBarSweep, TiltsAsItsSpecificGravitySays) {
  for (int i = 1; i < 40; ++i) {
    const double s = i / 40.0 + 0.0003;
    const double expected = expected_tilt_deg(s);
    const Balance found = balance(square_bar(s).lure);
    const bool leans = expected > 0 && expected < 45;
    EXPECT_EQ(found.poses.size(), leans ? 8U : 4U) << "s = " << s << "\n" << described(found);
    for (const double tilt : tilts_from_flat(found)) EXPECT_NEAR(tilt, expected, 1e-6) << s;
  }
  for (const double s : {0.215, 0.225, 0.23, 0.24, 0.25, 0.255, 0.26, 0.27, 0.275, 0.28}) {
    for (const double mirrored : {s, 1 - s}) {
      const Balance found = balance(square_bar(mirrored).lure);
      EXPECT_EQ(found.poses.size(), 8U) << mirrored;
      for (const double tilt : tilts_from_flat(found)) {
        EXPECT_NEAR(tilt, expected_tilt_deg(s), 1e-6) << mirrored;
      }
    }
  }
}

// Source: tilt from vertex down at 0.52 and 0.54: 25.4589°, 19.1066° (derived by a polygon solver).
TEST(TriangularBarSweep, TiltsFromItsCornerAsItsSpecificGravitySays) {
  for (const auto& [s, tilt] : {std::pair{0.52, 25.4589}, std::pair{0.54, 19.1066}}) {
    for (const double found : tilts_from_corner_down(balance(triangular_bar(s).lure))) {
      EXPECT_NEAR(found, tilt, 6e-5);
    }
    for (const double found : tilts_from_corner_down(balance(triangular_bar(1 - s).lure))) {
      EXPECT_NEAR(found, 60 - tilt, 6e-5);
    }
  }
}

// Source: at s = ½ a disc leans by tan²φ = 4(L/D)² − 2 at 0.80: 36.8087°; then by mesh 43.80° at
// 0.85, 62.18° at 0.95, 77.28° at 0.99 (±0.02°), 90° from 1.0.
TEST(DiscSweep, LeansFurtherTheLongerItIs) {
  for (const auto& [ratio, lean] :
       {std::pair{0.80, 36.8087}, std::pair{0.85, 43.80}, std::pair{0.95, 62.18},
        std::pair{0.99, 77.28}, std::pair{1.02, 90.0}}) {
    const std::vector<Eigen::Vector2d> outline = {{10, -10 * ratio}, {10, 10 * ratio}};
    const Balance found =
        balance(uniform(test_bodies::closed(test_bodies::turned(outline, 360)), 0.5).lure);
    ASSERT_EQ(found.poses.size(), lean < 90 ? 2U : 1U) << ratio << "\n" << described(found);
    for (const RestPose& pose : found.poses) {
      EXPECT_TRUE(pose.indifferent);
      EXPECT_NEAR(std::acos(std::abs(pose.up.z())) / degree, lean, 0.03) << ratio;
    }
  }
}

// The judge knows no energy and no derivative: bisection on the turning moment in long double, with
// the trim found anew for every list. Tolerance: 1e-8°, that is 2e-10 rad, what rounding in sums
// over facets leaves of a turn against stiffnesses of 10 g·mm and more.
void expect_judged(const geometry::ClosedMesh& mesh, double gravity, const Vec3& shift) {
  const geometry::Moments whole = geometry::moments(mesh);
  const OwnedFloater made =
      floating(mesh, gravity * 1e-3 * whole.volume_mm3, whole.centroid_mm + shift);
  const Vec3& G = made.lure.centre_of_mass_mm;
  const judge::Body body{made.mesh.get(), made.lure.mass_g, {G.x(), G.y(), G.z()}};
  const Balance found = balance(made.lure);
  int judged_poses = 0;
  for (const RestPose& pose : found.poses) {
    if (!pose.list_deg) continue;
    ++judged_poses;
    const double list = *pose.list_deg;
    const double tail = pose.tail_down_deg;
    const judge::Real judged =
        judge::level_list_deg(body, list - 0.03, list + 0.02, tail - 0.04, tail + 0.03);
    const judge::Real judged_tail =
        judge::level_tail_down_deg(body, judged, tail - 0.04, tail + 0.03);
    EXPECT_NEAR(static_cast<double>(judged), list, 1e-8) << described(found);
    EXPECT_NEAR(static_cast<double>(judged_tail), tail, 1e-8) << described(found);
    const judge::Moments at = judge::moments_at(body, judged_tail, judged);
    EXPECT_NEAR(static_cast<double>(at.offset_mm), pose.waterline_offset_mm.value(), 1e-9);
  }
  EXPECT_GT(judged_poses, 0) << described(found);
}

TEST(Judge, FindsTheSameAnglesOnAGlider) {
  const geometry::ClosedMesh mesh = test_bodies::closed(test_bodies::glider(300));
  for (const Vec3& shift : {Vec3(4, 0.3, -0.4), Vec3(-3, -0.5, -6), Vec3(9, 0, -7)}) {
    expect_judged(mesh, 0.6, shift);
  }
}

TEST(Judge, FindsTheSameAnglesOnAFacettedEllipsoid) {
  const geometry::ClosedMesh mesh = ellipsoid_mesh(16);
  expect_judged(mesh, 30 / 40.212385966, {5, 0.2, -3});
  expect_judged(mesh, 36 / 40.212385966, {2, 0.1, -4});
  expect_judged(mesh, 0.5, {0, 0, -1});
}

// A body that goes in and out: its waterplane has several necks, and sections of many kinds.
TEST(Judge, FindsTheSameAnglesOnALumpyBody) {
  const geometry::ClosedMesh mesh = test_bodies::closed(lumpy());
  expect_judged(mesh, 0.45, {3, 0.4, -2});
  expect_judged(mesh, 0.8, {-6, -0.3, -1});
}

// Shares by true descents, step by step on the energy itself, from as many even starts.
std::vector<double> shares_by_descent(const Floater& lure, const Balance& found, int level,
                                      double step_deg) {
  const SphereGrid grid(level);
  std::vector<double> shares(found.poses.size());
  for (int f = 0; f < grid.face_count(); ++f) {
    const std::array<int, 3>& face = grid.face(f);
    const Vec3& a = grid.node(face[0]);
    const Vec3& b = grid.node(face[1]);
    const Vec3& c = grid.node(face[2]);
    // Off the middle, so that no start lies on a symmetric body's ridge.
    const Vec3 start = (0.36 * a + 0.34 * b + 0.30 * c).normalized();
    const Vec3 end = descend_truly(lure, start, step_deg * degree);
    std::size_t nearest = 0;
    for (std::size_t i = 1; i < found.poses.size(); ++i) {
      if (angle_deg(found.poses[i].up, end) < angle_deg(found.poses[nearest].up, end)) nearest = i;
    }
    EXPECT_LT(angle_deg(found.poses[nearest].up, end), 1) << described(found);
    shares[nearest] += solid_angle(a, b, c) / (4 * std::numbers::pi);
  }
  return shares;
}

void expect_shares(const Floater& lure, int level) {
  const Balance found = balance(lure);
  ASSERT_GT(found.poses.size(), 1U);
  const std::vector<double> shares = shares_by_descent(lure, found, level, 0.5);
  for (std::size_t i = 0; i < shares.size(); ++i) {
    EXPECT_NEAR(found.poses[i].share, shares[i], 0.01) << described(found);
  }
}

// Elongated bodies are where it is hard: pitch is some hundred times stiffer than roll, and what
// leaks from the one into the other changes the flank that a drop ends on. Tolerance: 0.01, of
// which 5120 starts take some thousandths.
TEST(Shares, AreThoseOfTrueDescentsOnALeaningGlider) {
  const geometry::ClosedMesh mesh = test_bodies::closed(test_bodies::glider(600));
  const geometry::Moments whole = geometry::moments(mesh);
  expect_shares(
      floating(mesh, 0.6e-3 * whole.volume_mm3, whole.centroid_mm + Vec3(4, 0.3, -0.4)).lure, 4);
}

TEST(Shares, AreThoseOfTrueDescentsOnANeedleWithHooks) {
  const geometry::ClosedMesh mesh = test_bodies::closed(test_bodies::needle(600));
  const geometry::Moments whole = geometry::moments(mesh);
  OwnedFloater made =
      floating(mesh, 0.7e-3 * whole.volume_mm3, whole.centroid_mm + Vec3(6, 0.1, 0.4));
  made.lure.outside = {{"belly treble", {60, 0, -12}, 1200, 40, 0},
                       {"tail treble", {160, 0, 0}, 600, 30, 0}};
  expect_shares(made.lure, 4);
}

// Nearly upright, its centre of mass a little off: two unlike poses on a floor that is almost
// level.
TEST(Shares, AreThoseOfTrueDescentsOnAnEllipsoidThatIsNearlyRight) {
  const FormulaEllipsoid body(80, 10, 12);
  Floater lure;
  lure.body = body.cut_body();
  lure.mass_g = body.volume_mm3() * 1e-3 / 2;
  lure.centre_of_mass_mm = {3, 0.05, -1};
  expect_shares(lure, 4);
}

TEST(Shares, AreThoseOfTrueDescentsOnACubeWithFourteenPoses) {
  expect_shares(uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.2).lure, 5);
}

// Corners that dip in and out at once make kinks in the second derivatives.
TEST(Shares, AreThoseOfTrueDescentsOnABlockOfThreeSides) {
  OwnedFloater made = uniform(test_bodies::closed(test_bodies::box(60, 24, 20)), 0.3);
  made.lure.centre_of_mass_mm += Vec3(2, 1, -0.5);
  expect_shares(made.lure, 4);
}

}  // namespace
}  // namespace trueblank::water
