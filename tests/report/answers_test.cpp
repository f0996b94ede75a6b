// SPDX-License-Identifier: GPL-3.0-or-later
// The sentences that a maker reads first, word for word.
#include <gtest/gtest.h>

#include <sstream>

#include "made_up_results.h"
#include "report/layout.h"
#include "report/pose_text.h"
#include "report/water_text.h"

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
  result.mended = {{.what = "holes filled", .count = 2}};
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
  result.mended = {{.what = "holes filled", .count = 1}};
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
            "points of the split line (--split-line).");
  result.limit_mm = 1;
  EXPECT_TRUE(limit_missed(result));
  EXPECT_EQ(to_text(result, {}).find("deviation"), std::string::npos);
}

// A proud spot displaces water at 1 g/cm³ and weighs its wood at perhaps 0.37 g/cm³ (Archimedes).
TEST(MirrorText, SaysThatAProudFlankLiftsItsSide) {
  EXPECT_NE(to_text(proud_mirror(), {}).find("lifts\nits own side"), std::string::npos);
}

TEST(FloatAnswer, OnePoseBackUp) {
  EXPECT_EQ(answer(floating(), {}),
            "Lies back up, tail 5.4° down, 71 % under water; 14.3 g in reserve; 1 g moved 2 mm "
            "sideways lists it by 1.7°.");
}

TEST(FloatAnswer, SeveralPoses) {
  FloatResult result = floating();
  result.balance.poses = {back_up(5.4, 0, 0.82), back_up(-3, -92, 0.18)};
  EXPECT_EQ(answer(result, {}),
            "Lies back up, tail 5.4° down, 71 % under water; 14.3 g in reserve; 1 g moved 2 mm "
            "sideways lists it by 1.7°. It lies so from 82 % of all starts; it can also lie on its "
            "left flank (list 92.0°), nose 3.0° down (share 18 %).");
}

TEST(FloatAnswer, ManyPosesAreCounted) {
  FloatResult result = floating();
  result.balance.poses.assign(14, back_up(0, 0, 1.0 / 14));
  EXPECT_TRUE(answer(result, {}).ends_with(", and in 11 more ways."));
}

TEST(FloatAnswer, ASinkersFallLeads) {
  EXPECT_EQ(answer(sinking(), {}),
            "Sinks: 4.1 g in water; it sinks at an estimated 0.34 to 0.61 m/s, tail 10° to 40° "
            "down while falling. Set free under water it first hangs back up, tail 5.4° down, "
            "before it gathers speed, which is not its angle while falling. On a tight line from "
            "the nose eye it hangs back up, tail 64.2° down, nearly upright.");
}

TEST(FloatAnswer, ASuspenderOfEitherSign) {
  FloatResult result = floating();
  result.balance.state = water::State::suspends;
  result.balance.reserve_g = 0.2;
  EXPECT_EQ(answer(result, {}),
            "Suspends, 0.20 g in reserve, within 1 % of its mass. At the surface it lies back up, "
            "tail 5.4° down, 71 % under water; 1 g moved 2 mm sideways lists it by 1.7°.");
  result = sinking();
  result.balance.state = water::State::suspends;
  result.balance.reserve_g = -0.2;
  result.tight_line.reset();
  EXPECT_EQ(answer(result, {}),
            "Suspends: 0.20 g in water, within 1 % of its mass; it sinks at an estimated 0.34 to "
            "0.61 m/s, tail 10° to 40° down while falling. Set free under water it first hangs "
            "back up, tail 5.4° down, before it gathers speed, which is not its angle while "
            "falling.");
}

TEST(FallWords, TellTheBandAsItLies) {
  const auto words = [](double low_deg, double high_deg, double low_m_s, double high_m_s) {
    return fall_words({.rate_m_s = {low_m_s, high_m_s},
                       .tail_down_deg = {low_deg, high_deg},
                       .reynolds = {}});
  };
  EXPECT_EQ(words(-40, -10.4, 1.23, 2.04),
            "an estimated 1.2 to 2.0 m/s, nose 10° to 40° down while falling");
  EXPECT_EQ(words(-5, 12, 0.5, 0.5),
            "an estimated 0.50 m/s, anything from nose 5° down to tail 12° down while falling");
  EXPECT_EQ(words(9.8, 10.3, 0.05, 0.1),
            "an estimated 0.050 to 0.10 m/s, tail 10° down while falling");
  EXPECT_EQ(words(-0.3, 0.2, 1, 2), "an estimated 1.0 to 2.0 m/s, level while falling");
  EXPECT_EQ(words(-0.3, 8, 1, 2), "an estimated 1.0 to 2.0 m/s, tail 0° to 8° down while falling");
}

TEST(TankSentence, TellsWhatTheTubShows) {
  FloatResult result = floating();
  EXPECT_EQ(tank_sentence(result, {}),
            "In the tub (fresh, 20 °C): 13.1 g in reserve; back up, tail 5.6° down.");
  result.tank.view.pose_count = 2;
  result.tank.view.share = 0.5;
  result.tank.view.list_deg = 90;
  EXPECT_EQ(tank_sentence(result, {}),
            "In the tub (fresh, 20 °C): 13.1 g in reserve; on its right flank (list 90.0°), tail "
            "5.6° down (50 % of all starts; ways to lie: 2).");
}

TEST(TankSentence, SaysWhereTheTubMakesTheDifference) {
  FloatResult result = floating();
  result.tank.water = {.density_g_cm3 = 0.9, .density_given = true};
  result.tank.view.reserve_g = -0.3;
  EXPECT_EQ(tank_sentence(result, {}),
            "In the tub (0.9000 g/cm³) it sinks: 0.30 g in water; set free it hangs back up, tail "
            "5.6° down.");
  result.tank.view.tail_down_deg.reset();
  EXPECT_EQ(tank_sentence(result, {}),
            "In the tub (0.9000 g/cm³) it sinks: 0.30 g in water; it does not come to rest.");
}

TEST(WatersSentence, TellsEachWayThatWatersCanDiffer) {
  water::WatersTable table = floats_everywhere();
  EXPECT_EQ(waters_sentence(table), "It floats in fresh and in sea water, at 4 to 28 °C alike.");
  table.waters[0].reserve_g = 0.1;
  table.waters[1].reserve_g = -0.1;
  table.flips = {{.salinity = 0, .temperature_c = 12.04}};
  table.floats_in_all = false;
  EXPECT_EQ(waters_sentence(table),
            "It floats in the sea, and in fresh water colder than 12.0 °C; in warmer fresh water "
            "it sinks.");
  table.waters[0].reserve_g = -0.1;
  table.flips.clear();
  EXPECT_EQ(waters_sentence(table),
            "It floats in the sea and sinks in fresh water, at 4 to 28 °C alike.");
  table.flips = {{.salinity = 35, .temperature_c = 18}};
  EXPECT_EQ(waters_sentence(table),
            "It sinks in fresh water, and in sea water warmer than 18.0 °C; in colder sea water it "
            "floats.");
  EXPECT_EQ(waters_sentence(sinking().waters),
            "It sinks in fresh and in sea water, at 4 to 28 °C alike.");
}

TEST(HoverWords, NameAMetalWithoutLeadToo) {
  EXPECT_EQ(hover_words(floating(), {}),
            "14.8 g more lead or 14.9 g more bismuth in its wood, or 15.7 g or 16.0 g stuck on "
            "outside");
  EXPECT_EQ(hover_words(sinking(), {}).find("more"), std::string::npos);
  EXPECT_NE(hover_words(sinking(), {}).find("less lead"), std::string::npos);
}

TEST(FloatText, TellsTheBenchTheBudgetAndTheCast) {
  const std::string text = to_text(floating(), {});
  for (const char* part :
       {"wood 20.0 g, weights 9.0 g", "balances 76.9 mm from the nose", "the bare blank 80.0 mm",
        "the nose leads", "the flight is", "In the tub (fresh, 20 °C)"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part;
  }
}

TEST(FloatAnswer, NoPose) {
  FloatResult result = floating();
  result.balance.poses.clear();
  result.list_per_1g_2mm_deg.reset();
  EXPECT_EQ(answer(result, {}), "No rest: it turns without stopping anywhere; 14.3 g in reserve.");
}

TEST(PoseWords, EachWayToLie) {
  EXPECT_EQ(pose_words(back_up(0.2, 0.1, 1)), "back up, level");
  EXPECT_EQ(pose_words(back_up(0, 4.93, 1)), "back up but listing 4.9° to the right, level");
  EXPECT_EQ(pose_words(back_up(0, -4.93, 1)), "back up but listing 4.9° to the left, level");
  EXPECT_EQ(pose_words(back_up(-2, 90, 1)), "on its right flank (list 90.0°), nose 2.0° down");
  EXPECT_EQ(pose_words(back_up(0, 180, 1)), "belly up, level");
  EXPECT_EQ(pose_words(back_up(0, -150, 1)),
            "belly up, turned over to the left (list 150.0°), level");
  EXPECT_EQ(pose_words(back_up(77.9, 0, 1)), "back up, tail 77.9° down, nearly upright");
  EXPECT_EQ(pose_words(back_up(89, 0, 1)), "with the tail straight down");
  EXPECT_EQ(pose_words(back_up(-89, 0, 1)), "with the nose straight down");
}

TEST(PoseWords, ARingRollsFreely) {
  water::RestPose ring = back_up(3, 0, 1);
  ring.indifferent = true;
  ring.list_deg.reset();
  EXPECT_EQ(pose_words(ring), "any side up (it rolls freely about its long axis), tail 3.0° down");
}

TEST(PoseWords, ALureThatIsAlikeAllRoundStaysAsItIsPut) {
  water::RestPose pose = back_up(0, 0, 1);
  pose.indifferent = true;
  pose.list_deg.reset();
  pose.pitch_stiffness_g_mm_per_deg = 1e-9;
  EXPECT_EQ(pose_words(pose), "any way up: it stays as it is put");
}

TEST(FloatText, LeadBringsItsCautionAndALeadFreeMetal) {
  FloatResult result = floating();
  EXPECT_EQ(to_text(result, {}).find("Lead:"), std::string::npos);
  result.has_lead = true;
  const std::string text = to_text(result, {});
  EXPECT_NE(text.find("Lead: wash your hands"), std::string::npos);
  EXPECT_NE(text.find("Tin, bismuth or brass"), std::string::npos);
}

// Surface tension of clean water: about 0.073 N/m, 7.4 g a metre of waterline.
TEST(FloatText, ALittleReserveBringsTheSkinOfTheWater) {
  FloatResult result = floating();
  EXPECT_EQ(to_text(result, {}).find("skin of the water"), std::string::npos);
  result.balance.reserve_g = 1;
  EXPECT_NE(to_text(result, {}).find("skin of the water"), std::string::npos);
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
  expect_fits(sinking());
}

}  // namespace
}  // namespace trueblank::report
