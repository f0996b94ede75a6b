// SPDX-License-Identifier: GPL-3.0-or-later
// The sentences that a maker reads first, word for word.
#include <gtest/gtest.h>

#include <sstream>

#include "made_up_results.h"
#include "report/layout.h"

namespace trueblank::report {
namespace {

TEST(CheckAnswer, ASoundBody) {
  EXPECT_EQ(answer(sound_check(), {}), "Sound: one closed body, 165.2 × 28.0 × 24.1 mm.");
  EXPECT_EQ(answer(sound_check(), {.imperial = true}),
            "Sound: one closed body, 165.2 × 28.0 × 24.1 mm (6.51 × 1.10 × 0.95 in).");
}

TEST(CheckAnswer, AMendedBody) {
  CheckResult result = sound_check();
  result.as_read.closed = false;
  result.as_read.open_loops = 2;
  result.record.mended = {{.what = "holes filled", .count = 2}};
  EXPECT_EQ(answer(result, {}),
            "Mended (holes filled: 2): now one closed body, 165.2 × 28.0 × 24.1 mm.");
  EXPECT_NE(to_text(result, {}).find("holes filled: 2"), std::string::npos);
}

TEST(CheckAnswer, AnOpenBody) {
  CheckResult result = sound_check();
  result.as_read.closed = false;
  result.as_read.open_loops = 1;
  result.closed = false;
  EXPECT_EQ(answer(result, {}),
            "Open: 1 open loop, 165.2 × 28.0 × 24.1 mm; it encloses nothing until they are "
            "filled.");
}

TEST(CheckAnswer, CrossingFacetsAreSaid) {
  CheckResult result = sound_check();
  result.as_read.self_intersections = 1;
  EXPECT_EQ(answer(result, {}),
            "One closed body, 165.2 × 28.0 × 24.1 mm, but 1 pair of facets cross each other: what "
            "is inside is in doubt there.");
  result.record.mended = {{.what = "holes filled", .count = 1}};
  EXPECT_EQ(answer(result, {}),
            "Mended (holes filled: 1): now one closed body, 165.2 × 28.0 × 24.1 mm, but 1 pair of "
            "facets cross each other: what is inside is in doubt there.");
}

TEST(WeighAnswer, VolumeMassOrDensity) {
  WeighResult result = box_weigh();
  EXPECT_EQ(answer(result, {}),
            "The body takes up 60.00 cm³; give --density or --mass for its weight.");
  result.blank = rig::blank_of_density(result.whole, 0.37);
  EXPECT_EQ(answer(result, {}), "The blank weighs 22.2 g: 60.00 cm³ at 0.370 g/cm³.");
  result.blank = rig::blank_of_mass(result.whole, 30);
  result.mass_given = true;
  EXPECT_EQ(answer(result, {}), "At 30.0 g over 60.00 cm³ the stuff is 0.500 g/cm³.");
}

TEST(MirrorAnswer, SaysWhereItIsProud) {
  EXPECT_EQ(answer(proud_mirror(), {}),
            "True to 0.12 mm (95 % of the skin); proudest 0.63 mm on the right flank at 48 mm from "
            "the nose.");
}

TEST(MirrorAnswer, SaysOnWhichFlank) {
  MirrorResult result = proud_mirror();
  result.extremes.proudest->at_mm.y() = -9;
  EXPECT_NE(answer(result, {}).find("on the left flank"), std::string::npos);
}

TEST(MirrorAnswer, ATrueBodyHasNoProudSpot) {
  MirrorResult result = proud_mirror();
  result.deviation_mm = symmetry::DeviationStatistics{};
  result.extremes = {};
  EXPECT_EQ(answer(result, {}), "True to 0.00 mm (95 % of the skin).");
  EXPECT_EQ(to_text(result, {}).find("lifts"), std::string::npos);
}

TEST(MirrorAnswer, ComparesWithTheLimit) {
  MirrorResult result = proud_mirror();
  result.limit_mm = 0.1;
  EXPECT_TRUE(limit_missed(result));
  EXPECT_TRUE(answer(result, {}).ends_with(" That is above the limit of 0.10 mm."));
  result.limit_mm = 0.12;
  EXPECT_FALSE(limit_missed(result));
  EXPECT_TRUE(answer(result, {}).ends_with(" That is within the limit of 0.12 mm."));
}

TEST(MirrorAnswer, ARoundBodyGetsNoFigureButAQuestion) {
  MirrorResult result = proud_mirror();
  result.plane.reset();
  result.deviation_mm.reset();
  result.volumes.reset();
  result.stations.clear();
  result.well_determined = false;
  result.round = true;
  EXPECT_EQ(answer(result, {}),
            "No answer yet: the body is round, so that any plane through its long axis is a mirror "
            "plane as good as the next. Say which way its back points (--back +z), or give three "
            "points of the split line (--split-line), or both eyes of the wire (--eyes) with a "
            "rough --back.");
  result.limit_mm = 1;
  EXPECT_TRUE(limit_missed(result));
  EXPECT_EQ(to_text(result, {}).find("deviation"), std::string::npos);
}

// A proud spot displaces water at 1 g/cm³ and weighs its wood at perhaps 0.37 g/cm³ (Archimedes).
TEST(MirrorText, SaysThatAProudFlankLiftsItsSide) {
  EXPECT_NE(to_text(proud_mirror(), {}).find("lifts its own side"), std::string::npos);
}

TEST(Text, BeginsWithTheAnswerAndEndsWithTheNotes) {
  CheckResult check = sound_check();
  check.warnings = {"A note of some sort."};
  const std::string text = to_text(check, {});
  EXPECT_TRUE(text.starts_with(answer(check, {}) + "\n\n  read "));
  EXPECT_TRUE(text.ends_with("Note: A note of some sort.\n"));
}

template <class Result>
void expect_fits(const Result& result) {
  for (const bool on : {false, true}) {
    std::istringstream lines(to_text(result, {.imperial = on, .verbose = on}));
    std::string line;
    while (std::getline(lines, line)) EXPECT_LE(columns(line), 80) << line;
  }
}

TEST(Text, FitsAScreenOf80Columns) {
  expect_fits(sound_check());
  WeighResult weigh = box_weigh();
  weigh.blank = rig::blank_of_density(weigh.whole, 0.37);
  expect_fits(weigh);
  expect_fits(proud_mirror());
  FloatResult result = floating();
  result.balance.poses = {back_up(5.4, 0, 0.82), back_up(-3, -92, 0.18)};
  expect_fits(result);
  result.draws = drawn(0.5);
  expect_fits(result);
  expect_fits(sinking());
}

}  // namespace
}  // namespace trueblank::report
