// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/station_table.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "support/bodies.h"
#include "symmetry/deviation.h"
#include "symmetry/lopsided.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::Vec3;
using test_bodies::closed;

TEST(StationTable, IsExactForABox) {
  const ClosedMesh body =
      closed(test_bodies::moved(test_bodies::box(40, 8, 10), Mat3::Identity(), {20, 1, -2}));
  const std::vector<Station> table = station_table(body, stations(body, 40, {.step_mm = 10}),
                                                   {.z_mm = {2.5, -1, 99}, .step_mm = 4});
  ASSERT_EQ(table.size(), 3U);
  for (const Station& station : table) {
    EXPECT_NEAR(station.area_difference_mm2, 20, 1e-12);  // (5 − 3) by 10
    EXPECT_NEAR(station.centre_offset_mm, 1, 1e-12);
    EXPECT_NEAR(station.belly_below_mm, 7, 1e-12);
    EXPECT_NEAR(station.back_above_mm, 3, 1e-12);
    ASSERT_EQ(station.half_widths.size(), 4U);  // -4, -1, 0, 2.5
    EXPECT_EQ(station.half_widths[0].z_mm, -4);
    EXPECT_EQ(station.half_widths[1].z_mm, -1);
    EXPECT_EQ(station.half_widths[3].z_mm, 2.5);
    for (const HalfWidths& widths : station.half_widths) {
      EXPECT_NEAR(widths.left_mm, 3, 1e-12);
      EXPECT_NEAR(widths.right_mm, 5, 1e-12);
    }
  }
}

// Two half ellipses of widths b_l, b_r and half height h: areas ½πbh, the centroid of each half at
// 4b/3π, so together at 4(b_r − b_l)/3π; half width at height z: b√(1 − z²/h²).
TEST(StationTable, FollowsTheFormulasOfTwoHalfEllipsoids) {
  const ClosedMesh body = closed(test_bodies::moved(test_bodies::two_halves(11, 11.5, 240, 240),
                                                    Mat3::Identity(), {82.5, 0, 0}));
  const std::vector<Station> table =
      station_table(body, stations(body, 165, {.count = 7}), {.step_mm = 3});
  ASSERT_EQ(table.size(), 7U);
  for (const Station& station : table) {
    const double t = station.section.x_mm / 82.5 - 1;
    const double part = std::sqrt(1 - t * t);
    EXPECT_NEAR(station.centre_offset_mm, 4 * 0.5 * part / (3 * std::numbers::pi), 1e-3);
    EXPECT_NEAR(station.area_difference_mm2, std::numbers::pi / 2 * 0.5 * 14 * part * part, 1e-2);
    EXPECT_NEAR(station.belly_below_mm, 14 * part, 5e-3);
    EXPECT_NEAR(station.back_above_mm, 14 * part, 5e-3);
    EXPECT_GE(station.half_widths.size(), 3U);
    for (const HalfWidths& widths : station.half_widths) {
      const double share = std::sqrt(1 - std::pow(widths.z_mm / (14 * part), 2));
      if (share < 0.2) continue;  // where the outline lies nearly level
      EXPECT_NEAR(widths.left_mm, 11 * part * share, 1e-2);
      EXPECT_NEAR(widths.right_mm, 11.5 * part * share, 1e-2);
    }
  }
}

TEST(StationTable, SwapsSidesInTheMirror) {
  const geometry::TriangleMesh mesh =
      test_bodies::moved(test_bodies::two_halves(9, 12, 40, 40), Mat3::Identity(), {82.5, 0, 0});
  const auto table_of = [](const ClosedMesh& body) {
    return station_table(body, stations(body, 165, {.step_mm = 20}), {.step_mm = 2.3});
  };
  const std::vector<Station> one = table_of(closed(mesh));
  const std::vector<Station> other = table_of(closed(test_bodies::mirrored_y(mesh)));
  ASSERT_EQ(one.size(), other.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    EXPECT_NEAR(one[i].centre_offset_mm, -other[i].centre_offset_mm, 1e-12);
    EXPECT_NEAR(one[i].area_difference_mm2, -other[i].area_difference_mm2, 1e-10);
    ASSERT_EQ(one[i].half_widths.size(), other[i].half_widths.size());
    for (std::size_t k = 0; k < one[i].half_widths.size(); ++k) {
      EXPECT_NEAR(one[i].half_widths[k].left_mm, other[i].half_widths[k].right_mm, 1e-12);
    }
  }
}

// The greatest of the half widths is what the section says it is.
TEST(StationTable, HoldsTheSectionsWidthsAndIsEmptyOffTheBody) {
  const ClosedMesh body = closed(test_bodies::glider(4000));
  const std::vector<geometry::Section> sections = {geometry::section_at(body, 41.3),
                                                   geometry::section_at(body, 5000)};
  const std::vector<Station> table = station_table(body, sections, {.step_mm = 0.05});
  ASSERT_EQ(table.size(), 2U);
  double left = 0;
  for (const HalfWidths& widths : table[0].half_widths) left = std::max(left, widths.left_mm);
  EXPECT_NEAR(left, sections[0].left_half_width_mm, 0.01);
  EXPECT_LE(left, sections[0].left_half_width_mm + 1e-12);
  EXPECT_TRUE(table[1].half_widths.empty());
  EXPECT_EQ(table[1].back_above_mm, 0);
}

}  // namespace
}  // namespace trueblank::symmetry
