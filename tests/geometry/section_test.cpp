// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/section.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "geometry/cut.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;
using std::numbers::pi;

void expect_section(const Section& found, const Section& expected, double tolerance) {
  EXPECT_EQ(found.x_mm, expected.x_mm);
  EXPECT_NEAR(found.left_half_width_mm, expected.left_half_width_mm, tolerance);
  EXPECT_NEAR(found.right_half_width_mm, expected.right_half_width_mm, tolerance);
  EXPECT_NEAR(found.lowest_z_mm, expected.lowest_z_mm, tolerance);
  EXPECT_NEAR(found.highest_z_mm, expected.highest_z_mm, tolerance);
  EXPECT_NEAR(found.left_area_mm2, expected.left_area_mm2, 100 * tolerance);
  EXPECT_NEAR(found.right_area_mm2, expected.right_area_mm2, 100 * tolerance);
}

TEST(SectionOfABox, IsARectangleWithItsSidesToldApart) {
  const ClosedMesh body = closed(moved(box(20, 6, 4), Mat3::Identity(), {10, 1, 5}));
  for (const double x : {1e-9, 7.0, 19.999}) {
    expect_section(section_at(body, x), {x, 2, 4, 3, 7, 8, 16}, 1e-13);
  }
}

TEST(SectionInAFacet, IsTheOneJustAftOfIt) {
  const ClosedMesh body = closed(moved(box(20, 6, 4), Mat3::Identity(), {10, 1, 5}));
  expect_section(section_at(body, 0), {0, 2, 4, 3, 7, 8, 16}, 1e-13);
  expect_section(section_at(body, 20), {20, 0, 0, 0, 0, 0, 0}, 0);
}

TEST(SectionPastTheBody, IsEmpty) {
  const ClosedMesh body = closed(needle(2000));
  for (const double x : {-1.0, 166.0}) expect_section(section_at(body, x), {.x_mm = x}, 0);
}

TEST(SectionOfABodyOnOneSide, LeavesTheOtherAtNil) {
  const ClosedMesh body = closed(moved(box(20, 6, 4), Mat3::Identity(), {0, 10, 0}));
  expect_section(section_at(body, 0), {0, 0, 13, -2, 2, 0, 24}, 1e-13);
  expect_section(section_at(closed(mirrored_y(body.mesh())), 0), {0, 13, 0, -2, 2, 24, 0}, 1e-13);
}

// The ellipsoid's section at x is an ellipse of semi-axes b, c times √(1 − x²/a²); the facets'
// rings have `around` vertices on it at a station that is one, so the polygon's area is that of the
// ellipse times sin(2π/n)/(2π/n).
TEST(SectionOfAnEllipsoid, IsAPolygonInAnEllipse) {
  const int around = 48;
  const int rings = 30;
  const ClosedMesh body = closed(ellipsoid(80, 10, 12, rings, around));
  const double angle = pi * 8 / rings;
  const double x = -80 * std::cos(angle);
  const double shrunk = std::sin(angle);
  const double half =
      pi * 10 * 12 * shrunk * shrunk * std::sin(2 * pi / around) / (2 * pi / around) / 2;
  const Section found = section_at(body, x + 1e-9);
  EXPECT_NEAR(found.left_area_mm2, half, 1e-6);
  EXPECT_NEAR(found.right_area_mm2, half, 1e-6);
  EXPECT_NEAR(found.right_half_width_mm, 10 * shrunk, 1e-7);
  EXPECT_NEAR(found.left_half_width_mm, 10 * shrunk, 1e-7);
  EXPECT_NEAR(found.height_mm(), 24 * shrunk, 1e-7);
}

// A torus about z, cut off its middle: two loops, one on each side of y = 0.
TEST(SectionWithTwoLoops, CountsBothAreas) {
  const ClosedMesh body = closed(torus(30, 8, 64, 16));
  const Section found = section_at(body, 0);
  const double disc = 16 * 64 * std::sin(2 * pi / 16) / 2;
  EXPECT_NEAR(found.left_area_mm2, disc, 1e-11);
  EXPECT_NEAR(found.right_area_mm2, disc, 1e-11);
  EXPECT_NEAR(found.right_half_width_mm, 38, 1e-12);
  EXPECT_NEAR(found.left_half_width_mm, 38, 1e-12);
  EXPECT_NEAR(found.height_mm(), 16, 1e-12);
}

TEST(SectionOfAHollowBody, LeavesTheCavityOut) {
  const ClosedMesh body = closed(joined(box(20, 10, 10), inside_out(box(10, 4, 6))));
  expect_section(section_at(body, 2), {2, 5, 5, -5, 5, 38, 38}, 1e-13);
  expect_section(section_at(body, 7), {7, 5, 5, -5, 5, 50, 50}, 1e-13);
}

TEST(Section, HasTheAreaOfThePlaneCut) {
  for (const NamedMesh& named : closed_bodies()) {
    SCOPED_TRACE(named.name);
    const ClosedMesh body = closed(moved(named.mesh, random_turn(41), {3, 2, 1}));
    const double low = body.positions_mm().row(0).minCoeff();
    const double high = body.positions_mm().row(0).maxCoeff();
    for (const double share : {0.01, 0.37, 0.5, 0.93}) {
      const double x = low + share * (high - low);
      const Section found = section_at(body, x);
      const double area = moments_below(body, {Vec3::UnitX(), x}).waterplane_mm2;
      EXPECT_NEAR(found.left_area_mm2 + found.right_area_mm2, area, 1e-11 * (1 + area));
      EXPECT_GE(found.left_area_mm2, -1e-11);
      EXPECT_GE(found.right_area_mm2, -1e-11);
    }
  }
}

TEST(SectionOfAMirroredBody, IsMirrored) {
  const TriangleMesh mesh = moved(glider(3000), random_turn(42), {0, 3, 0});
  const Section found = section_at(closed(mesh), 4);
  const Section mirrored = section_at(closed(mirrored_y(mesh)), 4);
  expect_section(mirrored,
                 {4, found.right_half_width_mm, found.left_half_width_mm, found.lowest_z_mm,
                  found.highest_z_mm, found.right_area_mm2, found.left_area_mm2},
                 1e-12);
}

}  // namespace
}  // namespace trueblank::geometry
