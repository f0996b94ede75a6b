// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/half_sections.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/section.h"
#include "support/bodies.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;

ClosedMesh two_halves(double a, double left_b, double right_b, double c) {
  return closed(test_bodies::two_halves(a, left_b, right_b, c, 240, 240));
}

/// The half width of an outline at a height, between its points.
double width_at(const HalfSection& half, double z) {
  for (std::size_t i = 0; i + 1 < half.outline_mm.size(); ++i) {
    const Point2& p = half.outline_mm[i];
    const Point2& q = half.outline_mm[i + 1];
    if (p.y() <= z && z <= q.y() && q.y() > p.y()) {
      return p.x() + (z - p.y()) / (q.y() - p.y()) * (q.x() - p.x());
    }
  }
  return -1;
}

// Source: the ellipse's half width at x and z is b·√(1 − x²/a² − z²/c²). The tolerance holds the
// thinning (0.005) and the facets' chords: b/2·(π/240)² = 0.001.
TEST(HalfSections, OfTwoHalfEllipsoidsAreTheNarrowerOne) {
  const ClosedMesh body = two_halves(82.5, 11, 11.5, 14);
  const std::vector<double> stations = {-60, 0, 33.3};
  const std::vector<HalfSection> lesser = half_sections(body, stations);
  const std::vector<HalfSection> mean = half_sections(body, stations, Flanks::mean);
  ASSERT_EQ(lesser.size(), 3U);
  for (std::size_t i = 0; i < stations.size(); ++i) {
    const double x = stations[i];
    EXPECT_EQ(lesser[i].x_mm, x);
    const double scale2 = 1 - x * x / (82.5 * 82.5);
    for (const double share : {-0.9, -0.5, 0.0, 0.3, 0.8}) {
      const double z = share * 14 * std::sqrt(scale2);
      const double unit = std::sqrt(scale2 - z * z / (14 * 14));
      EXPECT_NEAR(width_at(lesser[i], z), 11 * unit, 0.008);
      EXPECT_NEAR(width_at(mean[i], z), 11.25 * unit, 0.008);
    }
    EXPECT_NEAR(lesser[i].highest_z_mm(), 14 * std::sqrt(scale2), 0.003);
    EXPECT_NEAR(lesser[i].lowest_z_mm(), -14 * std::sqrt(scale2), 0.003);
  }
}

TEST(HalfSections, BeginAndEndOnTheMiddleAndRise) {
  const ClosedMesh body = closed(test_bodies::glider(4000));
  for (const HalfSection& half : half_sections(body, std::vector<double>{10, 40, 80})) {
    ASSERT_GT(half.outline_mm.size(), 5U);
    EXPECT_EQ(half.outline_mm.front().x(), 0);
    EXPECT_EQ(half.outline_mm.back().x(), 0);
    EXPECT_TRUE(std::is_sorted(half.outline_mm.begin(), half.outline_mm.end(),
                               [](const Point2& p, const Point2& q) { return p.y() < q.y(); }));
  }
}

// A second way: the greatest widths and heights of the section itself, on true bodies.
TEST(HalfSections, OfATrueBodyAreAsWideAndHighAsItsSections) {
  for (const TriangleMesh& mesh :
       {test_bodies::pencil(4000), test_bodies::glider(4000), test_bodies::needle(4000)}) {
    const ClosedMesh body = closed(mesh);
    for (const double x : {7.3, 30.0, 71.7, 110.0}) {
      const HalfSection half = half_sections(body, std::vector{x}).front();
      const geometry::Section whole = geometry::section_at(body, x);
      EXPECT_NEAR(half.half_width_mm(), whole.right_half_width_mm, outline_within_mm);
      EXPECT_NEAR(half.half_width_mm(), whole.left_half_width_mm, outline_within_mm);
      EXPECT_NEAR(half.lowest_z_mm(), whole.lowest_z_mm, 1e-9);
      EXPECT_NEAR(half.highest_z_mm(), whole.highest_z_mm, 1e-9);
    }
  }
}

TEST(HalfSections, OfABoxHaveSquareCornersAndNoOtherPoints) {
  const ClosedMesh box = closed(test_bodies::box(100, 20, 30));
  const HalfSection half = half_sections(box, std::vector{12.5}).front();
  ASSERT_EQ(half.outline_mm.size(), 4U);
  EXPECT_LT((half.outline_mm[0] - Point2(0, -15)).norm(), 1e-9);
  EXPECT_LT((half.outline_mm[1] - Point2(10, -15)).norm(), 1e-5);
  EXPECT_LT((half.outline_mm[2] - Point2(10, 15)).norm(), 1e-5);
  EXPECT_LT((half.outline_mm[3] - Point2(0, 15)).norm(), 1e-9);
}

TEST(HalfSections, AreEmptyBeyondTheBodyAndOffTheMirrorPlane) {
  const ClosedMesh box = closed(test_bodies::box(100, 20, 30));
  const HalfSection beyond = half_sections(box, std::vector{50.1}).front();
  EXPECT_TRUE(beyond.outline_mm.empty());
  EXPECT_EQ(beyond.half_width_mm(), 0);
  const ClosedMesh aside = box.moved(geometry::Mat3::Identity(), Vec3(0, 11, 0));
  EXPECT_TRUE(half_sections(aside, std::vector{0.0}).front().outline_mm.empty());
}

TEST(HalfSections, AreTheSameOfTheMirrorImage) {
  const TriangleMesh mesh = two_halves(60, 9, 10, 12).mesh();
  const std::vector<double> stations = {40, -20};
  const auto one = half_sections(closed(mesh), stations);
  const auto other = half_sections(closed(test_bodies::mirrored_y(mesh)), stations);
  for (std::size_t i = 0; i < 2; ++i) {
    ASSERT_EQ(one[i].outline_mm.size(), other[i].outline_mm.size());
    for (std::size_t k = 0; k < one[i].outline_mm.size(); ++k) {
      EXPECT_LT((one[i].outline_mm[k] - other[i].outline_mm[k]).norm(), 1e-12);
    }
  }
}

// Source: the ellipsoid's outlines are the ellipses with a, c and a, b; area πac, πab/2.
TEST(Profiles, OfAnEllipsoidAreItsEllipses) {
  const Profiles both = profiles(two_halves(82.5, 11, 11.5, 14));
  double side_mm2 = 0;
  double least = 0;
  double greatest = 0;
  for (std::size_t i = 0; i < both.side_mm.size(); ++i) {
    const Point2& p = both.side_mm[i];
    const Point2& q = both.side_mm[(i + 1) % both.side_mm.size()];
    side_mm2 += (p.x() * q.y() - p.y() * q.x()) / 2;
    least = std::min(least, p.x());
    greatest = std::max(greatest, p.x());
  }
  // Chords: 5e-5 of the area from thinning (⅔·0.005 mm along some 350 mm), the mesh's 1e-4.
  EXPECT_NEAR(side_mm2, std::numbers::pi * 82.5 * 14, 2);
  EXPECT_NEAR(greatest - least, 165, 0.001);
  double width_mm2 = 0;
  for (std::size_t i = 0; i + 1 < both.top_mm.size(); ++i) {
    width_mm2 += (both.top_mm[i].y() + both.top_mm[i + 1].y()) / 2 *
                 (both.top_mm[i + 1].x() - both.top_mm[i].x());
  }
  EXPECT_NEAR(width_mm2, std::numbers::pi * 82.5 * 11 / 2, 1);
}

TEST(Profiles, OfABoxHaveItsCorners) {
  const Profiles both = profiles(closed(test_bodies::box(100, 20, 30)));
  ASSERT_EQ(both.side_mm.size(), 4U);
  EXPECT_LT((both.side_mm[1] - Point2(50, -15)).norm(), 1e-4);
  EXPECT_LT((both.side_mm[3] - Point2(-50, 15)).norm(), 1e-4);
  ASSERT_EQ(both.top_mm.size(), 2U);
  EXPECT_LT((both.top_mm[0] - Point2(-50, 10)).norm(), 1e-4);
}

}  // namespace
}  // namespace trueblank::symmetry
