// SPDX-License-Identifier: GPL-3.0-or-later
// A length says less of a body's scale where an end was not scanned: against ellipsoids and
// cylinders cut square across.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>

#include "body/load_body.h"
#include "support/bodies.h"

namespace trueblank::body {
namespace {

using geometry::TriangleMesh;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;

constexpr double a_mm = 60;
constexpr double b_mm = 9;
constexpr double c_mm = 12;
constexpr double ellipsoid_mm3 = 4 * std::numbers::pi / 3 * a_mm * b_mm * c_mm;

// Half the size it should have, so that the length sets a scale of its own.
TriangleMesh ellipsoid_without(const std::function<bool(const Vec3&)>& drop) {
  const TriangleMesh whole = test_bodies::ellipsoid(a_mm, b_mm, c_mm, 120, 64);
  return test_bodies::moved(test_bodies::without(whole, drop), geometry::Mat3::Identity(),
                            Vec3::Zero(), 0.5);
}

SoundBody by_length(const TriangleMesh& mesh, double length_mm) {
  const BodyHints hints{.length_mm = length_mm, .nose = -Vec3::UnitX(), .back = Vec3::UnitZ()};
  return load_body({.path = "drawn", .drawn = DrawnBody{mesh, "test"}}, hints, false,
                   geometry::serial_for);
}

// In the file's unit, as it was mended.
double length_found(const SoundBody& body, double length_mm) {
  return length_mm / body.input.scale_mm_per_unit;
}

TEST(MissingEnd, OfAnEllipsoidIsDoubtedAsFarAsItsTangentsMeet) {
  for (const double cut_mm : {57.0, 54.0, 48.0, 42.0}) {
    const SoundBody body =
        by_length(ellipsoid_without([&](const Vec3& p) { return p.x() > cut_mm; }), 2 * a_mm);
    ASSERT_TRUE(body.closed);
    // The tangents of the section at x meet on the axis at a²/x: those of the strip of skin beside
    // the cut a little further out, since the strip lies further in.
    const double found = length_found(body, 2 * a_mm);
    const double meet = 0.5 * (a_mm + a_mm * a_mm / cut_mm);
    const double longer = (meet - found) / found;
    EXPECT_GT(longer, 0) << cut_mm;
    const double share = body.record.end_off_share;
    EXPECT_NEAR(share, longer / (1 + longer), 0.3 * longer) << cut_mm;
    // What the scale is truly off by, and the volume with it.
    EXPECT_LT(std::abs(body.input.scale_mm_per_unit / 2 - 1), share) << cut_mm;
    const double off_mm3 = geometry::moments(*body.closed).volume_mm3 - ellipsoid_mm3;
    EXPECT_GT(off_mm3, 0) << cut_mm;
    EXPECT_LT(off_mm3, volume_bound_mm3(body.record)) << cut_mm;
    // And the bound says something.
    EXPECT_LT(volume_bound_mm3(body.record), 0.1 * ellipsoid_mm3 + 6 * off_mm3) << cut_mm;
  }
}

TEST(MissingEnd, CountsForBothEnds) {
  const auto ends = [](const Vec3& p) { return std::abs(p.x()) > 52; };
  const auto tail = [](const Vec3& p) { return p.x() > 52; };
  const SoundBody both = by_length(ellipsoid_without(ends), 2 * a_mm);
  const SoundBody one = by_length(ellipsoid_without(tail), 2 * a_mm);
  EXPECT_NEAR(both.record.end_off_share, 2 * one.record.end_off_share,
              0.15 * both.record.end_off_share);
  EXPECT_THAT(both.warnings, Contains(HasSubstr("Both ends are made up")));
  const double off_mm3 = geometry::moments(*both.closed).volume_mm3 - ellipsoid_mm3;
  EXPECT_LT(std::abs(off_mm3), volume_bound_mm3(both.record));
}

TEST(MissingEnd, IsNamedWithHowToMendIt) {
  const auto nose = [](const Vec3& p) { return p.x() < -54; };
  const SoundBody body = by_length(ellipsoid_without(nose), 2 * a_mm);
  EXPECT_THAT(body.warnings,
              Contains(testing::MatchesRegex(
                  "The nose end is made up, so the length sets the scale only within [0-9.]+ % "
                  "\\([0-9.]+ % of the volume\\): scan that end, or give the unit or the dunk test "
                  "in place of the length; --width and --height are checks\\.")));
}

// Nothing on a cylinder tells how far it goes on: two of its widths, as the bound on its volume.
TEST(MissingEnd, OfACylinderIsDoubtedByTwoWidths) {
  constexpr double r_mm = 8;
  constexpr double l_mm = 100;
  const TriangleMesh whole = test_bodies::turned(
      {{0, 0}, {r_mm, 0}, {r_mm, 25}, {r_mm, 50}, {r_mm, 75}, {r_mm, 90}, {r_mm, l_mm}, {0, l_mm}},
      96);
  const TriangleMesh open =
      test_bodies::without(whole, [](const Vec3& p) { return p.z() > l_mm - 1e-6; });
  const BodyHints hints{.length_mm = l_mm, .nose = -Vec3::UnitZ(), .back = Vec3::UnitX()};
  const SoundBody body = load_body({.path = "drawn", .drawn = DrawnBody{open, "test"}}, hints,
                                   false, geometry::serial_for);
  // Widths are those of the circle of the same area as the polygon of 96 sides.
  const double polygon_mm2 = 48 * std::sin(std::numbers::pi / 48) * r_mm * r_mm;
  const double width_mm = 2 * std::sqrt(polygon_mm2 / std::numbers::pi);
  const double longer = 2 * width_mm / l_mm;
  EXPECT_NEAR(body.record.end_off_share, longer / (1 + longer), 1e-9);
  EXPECT_THAT(body.warnings, Contains(HasSubstr("The tail end is made up")));
}

TEST(MissingEnd, IsNoneWhereTheHoleIsElsewhere) {
  const SoundBody flank = by_length(
      ellipsoid_without([](const Vec3& p) { return (p - Vec3(20, -8, 0)).norm() < 5; }), 2 * a_mm);
  EXPECT_GT(flank.record.made_up_share, 0.005);
  EXPECT_EQ(flank.record.end_off_share, 0);
  EXPECT_NEAR(*flank.record.scale_sd_percent, 100 * 0.3 / (2 * a_mm), 1e-12);
  EXPECT_THAT(flank.warnings, Not(Contains(HasSubstr("made up, so the length"))));
}

// Where the unit was told, the scale does not hang on the end.
TEST(MissingEnd, LeavesAScaleThatWasToldAlone) {
  const TriangleMesh mesh = ellipsoid_without([](const Vec3& p) { return p.x() > 54; });
  const SoundBody body = load_body({.path = "drawn", .drawn = DrawnBody{mesh, "test"}},
                                   {.units = Unit::mm}, false, geometry::serial_for);
  EXPECT_EQ(body.record.end_off_share, 0);
  EXPECT_EQ(*body.record.scale_sd_percent, 0);
}

}  // namespace
}  // namespace trueblank::body
