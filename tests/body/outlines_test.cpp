// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/outlines.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/error.h"
#include "geometry/moments.h"
#include "geometry/section.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using Polygon = Eigen::Matrix2Xd;

constexpr double pi = std::numbers::pi;

ClosedMesh closed(geometry::TriangleMesh mesh) {
  auto body = geometry::closed_mesh(std::move(mesh));
  EXPECT_TRUE(body) << "not closed, or not outward";
  return *std::move(body);
}

// About (0, 0) of the drawing.
Polygon ellipse(double half_length, double half_width) {
  Polygon points(2, 2000);
  for (Eigen::Index i = 0; i < points.cols(); ++i) {
    const double angle = 2 * pi * static_cast<double>(i) / static_cast<double>(points.cols());
    points.col(i) << half_length * std::cos(angle), half_width * std::sin(angle);
  }
  return points;
}

Polygon polygon(const std::vector<Eigen::Vector2d>& corners) {
  Polygon points(2, static_cast<Eigen::Index>(corners.size()));
  Eigen::Index column = 0;
  for (const Eigen::Vector2d& corner : corners) points.col(column++) = corner;
  return points;
}

Polygon box(double length, double width) {
  return polygon({{0, 0}, {length, 0}, {length, width}, {0, width}});
}

Outlines outlines(Polygon side, Polygon top) {
  return {.side = std::move(side),
          .top = std::move(top),
          .side_file = "side.svg",
          .top_file = "top.svg"};
}

std::string refusal(const Outlines& drawn) {
  try {
    (void)body_of_outlines(drawn);
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "accepted";
}

// Source: V = 4/3·π·a·b·c; 128 corners a section lose 0.04 % of it, 160 steps 0.02 %.
TEST(BodyOfOutlines, OfTwoEllipsesIsAnEllipsoid) {
  const OutlinedBody body = body_of_outlines(outlines(ellipse(80, 12), ellipse(80, 10)));
  EXPECT_NEAR(geometry::moments(closed(body.mesh_mm)).volume_mm3 / (4.0 / 3 * pi * 80 * 10 * 12), 1,
              1e-3);
  EXPECT_THAT(body.warnings, testing::IsEmpty());
  EXPECT_LT(body.unequal_mm, 1e-9);
}

TEST(BodyOfOutlines, OfTwoBoxesIsABoxWhereItIsFull) {
  Outlines drawn = outlines(box(120, 20), box(120, 14));
  drawn.fullness_above = drawn.fullness_below = 1;
  const ClosedMesh body = closed(body_of_outlines(drawn).mesh_mm);
  EXPECT_NEAR(geometry::moments(body).volume_mm3, 120 * 20 * 14, 1e-7);
  drawn.fullness_below = 0.5;
  EXPECT_NEAR(geometry::moments(closed(body_of_outlines(drawn).mesh_mm)).volume_mm3,
              120 * 20 * 14 * 0.75, 1e-7);
}

// A wedge: from above a triangle, its point to the left. The nose is the end that is named.
TEST(BodyOfOutlines, HasItsNoseWhereItIsToldToBe) {
  Outlines drawn = outlines(box(60, 10), polygon({{0, 0}, {60, -10}, {60, 10}}));
  const ClosedMesh left = closed(body_of_outlines(drawn).mesh_mm);
  EXPECT_NEAR(geometry::section_at(left, 15).right_half_width_mm, 2.5, 1e-9);
  drawn.nose_right = true;
  const ClosedMesh right = closed(body_of_outlines(drawn).mesh_mm);
  EXPECT_NEAR(geometry::section_at(right, 15).right_half_width_mm, 7.5, 1e-9);
  EXPECT_NEAR(geometry::moments(left).volume_mm3, geometry::moments(right).volume_mm3, 1e-6);
}

// A banana from the side: the middle of its height bends, its height is 8 throughout.
TEST(BodyOfOutlines, FollowsABentSide) {
  const Polygon side = polygon({{0, 0}, {50, 6}, {100, 0}, {100, 8}, {50, 14}, {0, 8}});
  const ClosedMesh body = closed(body_of_outlines(outlines(side, box(100, 6))).mesh_mm);
  for (const double x : {12.5, 25.0, 40.0}) {
    const geometry::Section section = geometry::section_at(body, x);
    EXPECT_NEAR(section.lowest_z_mm, 6 * x / 50, 0.02);
    EXPECT_NEAR(section.highest_z_mm, 8 + 6 * x / 50, 0.02);
  }
}

// A top outline of which one side stands 2 mm further out in the aft half: the mean is 1 mm wider,
// and both sides are alike. The straight middle line that they are told from lies at the mean of
// 0 and 1 by area, 0.5238; so the fore half is off by 2·0.5238, the aft by 2·(1 - 0.5238).
TEST(BodyOfOutlines, GivesBothSidesTheMeanAndSaysHowUnlikeTheyAre) {
  const Polygon top = polygon({{0, -10}, {100, -10}, {100, 12}, {50.001, 12}, {50, 10}, {0, 10}});
  const OutlinedBody body = body_of_outlines(outlines(box(100, 20), top));
  const geometry::Section aft = geometry::section_at(closed(body.mesh_mm), 75);
  EXPECT_NEAR(aft.right_half_width_mm, 11, 1e-9);
  EXPECT_EQ(aft.left_half_width_mm, aft.right_half_width_mm);
  const double middle = 22.0 / (20 + 22);
  EXPECT_NEAR(body.unequal_mm, 2 * middle, 0.01);
  ASSERT_EQ(body.warnings.size(), 1u);
  EXPECT_THAT(body.warnings[0], testing::StartsWith("The two sides of the outline in top.svg "
                                                    "differ by up to 1.0"));
}

TEST(BodyOfOutlines, FitsATopOutlineOfAnotherScale) {
  const OutlinedBody body = body_of_outlines(outlines(ellipse(80, 12), ellipse(40, 5)));
  EXPECT_NEAR(geometry::moments(closed(body.mesh_mm)).volume_mm3 / (4.0 / 3 * pi * 80 * 10 * 12), 1,
              1e-3);
  EXPECT_NEAR(body.top_scale, 2, 1e-12);
  EXPECT_THAT(body.warnings,
              testing::ElementsAre("The outline in side.svg is 160.0 mm long, the one in top.svg "
                                   "80.00 mm: that from above was fitted to that from the side."));
}

TEST(BodyOfOutlines, TakesTheOutermostEdgesWhereOneDoublesBack) {
  // A mouth, 10 deep, cut into the nose.
  const Polygon side = polygon({{0, 0}, {60, 0}, {60, 20}, {0, 20}, {0, 12}, {10, 10}, {0, 8}});
  Outlines drawn = outlines(side, box(60, 10));
  drawn.fullness_above = drawn.fullness_below = 1;
  const OutlinedBody body = body_of_outlines(drawn);
  EXPECT_NEAR(geometry::moments(closed(body.mesh_mm)).volume_mm3, 60 * 20 * 10, 1e-7);
  EXPECT_THAT(body.warnings,
              testing::ElementsAre("The outline in side.svg goes back along the body, by 10.00 mm "
                                   "in all; its outermost edges were taken."));
}

TEST(BodyOfOutlines, RefusesWhatIsNoBody) {
  EXPECT_EQ(refusal(outlines(box(60, 10), polygon({{5, 0}, {5, 10}, {5, 20}}))),
            "top.svg: the outline has no length from left to right; draw the body along the "
            "drawing's x axis");
  const Polygon bow = polygon({{0, 0}, {50, 5}, {100, 0}, {100, 10}, {50, 5}, {0, 10}});
  Outlines drawn = outlines(bow, box(100, 10));
  EXPECT_EQ(refusal(drawn),
            "side.svg: the outline is pinched to nothing at station 50.0 mm; draw one closed "
            "outline that has some width everywhere but at its ends");
}

}  // namespace
}  // namespace trueblank::body
