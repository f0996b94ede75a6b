// SPDX-License-Identifier: GPL-3.0-or-later
// Scale and skin by a dunk test, a coat that comes off, cavities, and how well the volume is known:
// against boxes, whose skin moves in closed form.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "body/load_body.h"
#include "geometry/error.h"
#include "rig/waters.h"
#include "support/bodies.h"

namespace trueblank::body {
namespace {

using geometry::serial_for;
using test_bodies::box;
using testing::Contains;
using testing::HasSubstr;

// Each corner of a box has a right angle of each of three faces, so its angle-weighted normal is
// (1, 1, 1) / √3 whatever the faces' diagonals: moved by d, each face goes by d / √3.
double moved_box_mm3(double l, double w, double h, double by_mm) {
  const double k = 2 * by_mm / std::sqrt(3.0);
  return (l + k) * (w + k) * (h + k);
}

constexpr double bucket = 0.9982;

Dunk dunk(double mm3, bool from_push = false) {
  return {
      .displaced_g = mm3 / 1000 * bucket, .water_density_g_cm3 = bucket, .from_push = from_push};
}

SoundBody load(const geometry::TriangleMesh& mesh, const BodyHints& hints) {
  return load_body({.path = "drawn", .drawn = DrawnBody{mesh, "test"}}, hints, false, serial_for);
}

FramedBody frame(const geometry::TriangleMesh& mesh, const BodyHints& hints) {
  return load_framed_body({.path = "drawn", .drawn = DrawnBody{mesh, "test"}}, hints, serial_for);
}

std::string refusal(const geometry::TriangleMesh& mesh, const BodyHints& hints) {
  try {
    static_cast<void>(load(mesh, hints));
  } catch (const geometry::InputError& error) {
    return one_line(error);
  }
  return "not refused";
}

// A box in a box, the inner one a cavity.
geometry::TriangleMesh hollow_box() {
  return test_bodies::joined(box(100, 40, 30),
                             test_bodies::inside_out(test_bodies::moved(
                                 box(80, 20, 10), geometry::Mat3::Identity(), Vec3::Zero(), 1)));
}

TEST(DunkTest, MovesTheSkinOfABodyOfKnownLengthToItsVolume) {
  for (const double by_mm : {0.2, -0.3, 0.4999}) {
    const double mm3 = moved_box_mm3(120, 30, 20, by_mm);
    const SoundBody body = load(box(120, 30, 20), {.length_mm = 120, .dunk = dunk(mm3)});
    EXPECT_NEAR(body.record.skin_offset_mm, by_mm, 1e-9);
    EXPECT_NEAR(geometry::moments(*body.closed).volume_mm3, mm3, 1e-8 * mm3);
    EXPECT_NEAR(body.record.displaced_mm3, mm3, 1e-8 * mm3);
    EXPECT_EQ(body.input.scale_from, ScaleFrom::length);
    EXPECT_NEAR(body.input.scale_mm_per_unit, 1, 1e-12);
    EXPECT_NEAR(body.size_mm[0], 120 + 2 * by_mm / std::sqrt(3.0), 1e-9);
  }
}

TEST(DunkTest, IsAllThatTheVolumeThenHangsOn) {
  const SoundBody body = load(box(120, 30, 20), {.length_mm = 120, .dunk = dunk(72100)});
  ASSERT_EQ(body.record.doubts.size(), 1U);
  EXPECT_EQ(body.record.doubts[0].what, "dunk test");
  // 0.3 g of the bucket's water, common practice, no published source.
  EXPECT_NEAR(volume_sd_mm3(body.record), 0.3 / bucket * 1000, 1e-9);
  EXPECT_NEAR(volume_bound_mm3(body.record), 2 * 0.3 / bucket * 1000, 1e-9);
}

TEST(DunkTest, WithUnitsMovesTheSkinToo) {
  const double mm3 = moved_box_mm3(120, 30, 20, 0.1);
  const SoundBody body = load(box(12, 3, 2), {.units = Unit::cm, .dunk = dunk(mm3)});
  EXPECT_NEAR(body.record.skin_offset_mm, 0.1, 1e-9);
  EXPECT_EQ(body.input.scale_from, ScaleFrom::units);
}

TEST(DunkTest, SetsTheScaleWhereNothingElseDoes) {
  const double mm3 = 120 * 30 * 20;
  for (const bool from_push : {false, true}) {
    const SoundBody body = load(box(6, 1.5, 1), {.dunk = dunk(mm3, from_push)});
    EXPECT_NEAR(body.input.scale_mm_per_unit, 20, 1e-11);
    EXPECT_EQ(body.input.scale_from, from_push ? ScaleFrom::push : ScaleFrom::displaced);
    EXPECT_EQ(body.record.skin_offset_mm, 0);
    EXPECT_NEAR(geometry::moments(*body.closed).volume_mm3, mm3, 1e-9 * mm3);
    EXPECT_NEAR(*body.record.scale_sd_percent, 100 * 0.3 / (mm3 / 1000 * bucket) / 3, 1e-12);
  }
}

TEST(DunkTest, BeyondHalfAMillimetreIsRefusedWithWhatEachSays) {
  const double mm3 = moved_box_mm3(120, 30, 20, 0.6);
  const std::string line = refusal(box(120, 30, 20), {.length_mm = 120, .dunk = dunk(mm3)});
  EXPECT_THAT(line, HasSubstr("the length makes the body displace 71.9 g"));
  EXPECT_THAT(line, HasSubstr("the dunk test 76.5 g: the skin would have to go out by 0.60 mm"));
  EXPECT_THAT(line, HasSubstr("more than 0.5 mm"));
}

TEST(Coat, ComesOffAScanOfTheFinishedLure) {
  const double bare_mm3 = moved_box_mm3(120, 30, 20, -0.3);
  const SoundBody body = load(box(120, 30, 20), {.units = Unit::mm, .coat_mm = 0.3});
  EXPECT_NEAR(geometry::moments(*body.closed).volume_mm3, bare_mm3, 1e-9 * bare_mm3);
  EXPECT_EQ(body.record.coat_off_mm, 0.3);
  // And with a dunk test of the bare blank, whatever sets the scale.
  const double dunked_mm3 = moved_box_mm3(120, 30, 20, -0.2);
  const SoundBody both =
      load(box(120, 30, 20), {.units = Unit::mm, .dunk = dunk(dunked_mm3), .coat_mm = 0.3});
  EXPECT_NEAR(both.record.skin_offset_mm, 0.1, 1e-9);
  const SoundBody scaled = load(box(6, 1.5, 1), {.dunk = dunk(bare_mm3), .coat_mm = 0.3});
  EXPECT_NEAR(scaled.input.scale_mm_per_unit, 20, 1e-9);
  EXPECT_NEAR(scaled.record.displaced_mm3, bare_mm3, 1e-7 * bare_mm3);
}

TEST(Coat, ThickerThanTheBodyIsRefused) {
  EXPECT_THAT(refusal(box(60, 4, 4), {.units = Unit::mm, .coat_mm = 5}),
              HasSubstr("nothing is left of the body when a coat of 5.00 mm comes off"));
}

TEST(HollowBody, DisplacesAsItsCavityIsFilled) {
  const BodyHints air{.units = Unit::mm, .nose = -Vec3::UnitX(), .back = Vec3::UnitZ()};
  BodyHints flooded = air;
  flooded.cavity = Cavity::flooded;
  const FramedBody closed_in = frame(hollow_box(), air);
  EXPECT_NEAR(closed_in.whole.volume_mm3, 120000 - 16000, 1e-6);
  EXPECT_NEAR(closed_in.sound.mended.cavity_mm3, 16000, 1e-6);
  EXPECT_NEAR(closed_in.sound.record.displaced_mm3, 120000, 1e-6);
  ASSERT_TRUE(closed_in.outer);
  EXPECT_NEAR(geometry::moments(*closed_in.outer).volume_mm3, 120000, 1e-6);
  const FramedBody open = frame(hollow_box(), flooded);
  EXPECT_FALSE(open.outer);
  EXPECT_NEAR(open.sound.record.displaced_mm3, 104000, 1e-6);
  EXPECT_NEAR(open.whole.volume_mm3, 104000, 1e-6);
}

TEST(HollowBody, HasItsOuterSkinMovedAloneByADunkTest) {
  const double outer_mm3 = moved_box_mm3(100, 40, 30, 0.2);
  const SoundBody air = load(hollow_box(), {.units = Unit::mm, .dunk = dunk(outer_mm3)});
  EXPECT_NEAR(air.record.skin_offset_mm, 0.2, 1e-9);
  EXPECT_NEAR(air.mended.cavity_mm3, 16000, 1e-6);
  const SoundBody flooded =
      load(hollow_box(),
           {.units = Unit::mm, .dunk = dunk(outer_mm3 - 16000), .cavity = Cavity::flooded});
  EXPECT_NEAR(flooded.record.skin_offset_mm, 0.2, 1e-9);
}

TEST(KnownVolume, FollowsFromHowTheLengthWasRead) {
  const SoundBody body = load(box(240, 60, 40), {.length_mm = 120});
  EXPECT_NEAR(*body.record.scale_sd_percent, 100 * 0.3 / 120, 1e-12);
  // V grows with the cube of the length, so three times its share.
  EXPECT_NEAR(volume_sd_mm3(body.record), 3 * 0.3 / 120 * 72000, 1e-6);
  const SoundBody exact = load(box(120, 30, 20), {.units = Unit::mm});
  EXPECT_EQ(*exact.record.scale_sd_percent, 0);
  EXPECT_EQ(volume_sd_mm3(exact.record), 0);
}

TEST(Calliper, ContradictsAScanByMoreThanOnePercentOrHalfAMillimetre) {
  const BodyHints hints{.units = Unit::mm, .nose = -Vec3::UnitX(), .back = Vec3::UnitZ()};
  const auto warnings = [&](double width_mm, double height_mm) {
    BodyHints told = hints;
    told.width_mm = width_mm;
    told.height_mm = height_mm;
    return load(box(120, 20, 30), told).warnings;
  };
  EXPECT_THAT(warnings(20.1, 30.2), testing::Not(Contains(HasSubstr("by calliper"))));
  EXPECT_THAT(warnings(19, 30), Contains(HasSubstr("The body is 20.00 mm wide, and by calliper "
                                                   "19.00 mm: if it is off by as much all along, "
                                                   "it has 5.0 % less volume (3.60 cm³).")));
  EXPECT_THAT(warnings(20, 31), Contains(HasSubstr("30.00 mm high, and by calliper 31.00 mm")));
}

}  // namespace
}  // namespace trueblank::body
