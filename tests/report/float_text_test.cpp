// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include "made_up_results.h"
#include "report/border_text.h"
#include "report/draws_text.h"
#include "report/firmness_text.h"
#include "report/pose_text.h"
#include "report/water_text.h"
#include "support/in_one_line.h"

namespace trueblank::report {
namespace {

using test_text::in_one_line;

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
  result.balance.poses.resize(4);
  EXPECT_TRUE(answer(result, {}).ends_with(", and in 1 more way."));
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
    return fall_words(
        {.rate_m_s = {low_m_s, high_m_s}, .tail_down_deg = {low_deg, high_deg}, .reynolds = {}});
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

TEST(BarrierWords, SayWhereItGoesAndWhatItTakes) {
  FloatResult result = floating();
  EXPECT_EQ(barrier_words(result, 0),
            "goes right over and round to where it was once 96 g·mm of work is done, as to lift "
            "1 g by 96 mm; hardest push 45 g·mm");
  result.balance.poses = {back_up(5.4, 0, 0.8), back_up(-3, 92, 0.1), back_up(70, 0, 0.1)};
  result.balance.poses[0].barrier =
      water::Barrier{.barrier_g_mm = 23, .to = 1, .hardest_push_g_mm = 4};
  result.balance.poses[1].barrier =
      water::Barrier{.barrier_g_mm = 3, .to = 0, .hardest_push_g_mm = 0.5};
  result.balance.poses[2].barrier =
      water::Barrier{.barrier_g_mm = 1, .to = 0, .hardest_push_g_mm = 0.25};
  EXPECT_EQ(barrier_words(result, 0),
            "rolls onto its right flank once 23 g·mm of work is done, as to lift 1 g by 23 mm; "
            "hardest push 4.0 g·mm");
  EXPECT_EQ(barrier_words(result, 1),
            "rolls back up once 3.0 g·mm of work is done, as to lift 1 g by 3.0 mm; hardest push "
            "0.50 g·mm");
  EXPECT_EQ(barrier_words(result, 2),
            "tips over, to lie back up, tail 5.4° down, once 1.0 g·mm of work is done, as to lift "
            "1 g by 1.0 mm; hardest push 0.25 g·mm");
}

TEST(BarrierWords, OfASolePoseWithoutAPassTellWhatHoldsItUpsideDown) {
  FloatResult result = floating();
  result.balance.poses[0].barrier.reset();
  EXPECT_EQ(barrier_words(result, 0), "");
  result.balance.poses[0].overturn_g_mm = 180;
  EXPECT_EQ(barrier_words(result, 0),
            "comes back from wherever it is let go; to hold it upside down 180 g·mm of work must "
            "be done");
}

// 29 g: lifting it all by 0.2 mm takes 5.8 g·mm.
TEST(FloatAnswer, WarnsWhereItIsNearlyOtherwise) {
  FloatResult result = floating();
  result.balance.poses = {back_up(5.4, 0, 0.6), back_up(5.4, 80, 0.4)};
  result.balance.poses[0].barrier =
      water::Barrier{.barrier_g_mm = 5.75, .to = 1, .hardest_push_g_mm = 2};
  EXPECT_TRUE(answer(result, {})
                  .ends_with(" Only just: it rolls onto its right flank once 5.8 g·mm of work is "
                             "done, as to lift 1 g by "
                             "5.8 mm; hardest push 2.0 g·mm."));
  result.balance.poses[0].barrier->barrier_g_mm = 5.85;
  EXPECT_EQ(answer(result, {}).find("Only just"), std::string::npos);
}

TEST(FloatAnswer, WarnsWhereFewBuildsLieSo) {
  FloatResult result = floating();
  result.draws = drawn(0.9);
  EXPECT_EQ(answer(result, {}).find("builds"), std::string::npos);
  result.draws = drawn(0.89);
  EXPECT_TRUE(answer(result, {})
                  .ends_with(" Of 1 000 builds within ± (one standard deviation) 0.1 g, 1 mm, 3 % "
                             "of wood, 0.5 % of size, "
                             "only 89 % lie as this one does (seed 1)."));
}

TEST(DrawsText, TellsTheShareAndTheScatter) {
  FloatResult result = floating();
  EXPECT_EQ(draws_text(result), "");
  result.draws = drawn(0.96);
  EXPECT_EQ(draws_sentence(result),
            "Of 1 000 builds within ± (one standard deviation) 0.1 g, 1 mm, 3 % of wood, 0.5 % of "
            "size, 96 % lie as this one does (seed 1).");
  const std::string text = draws_text(result);
  EXPECT_NE(text.find("± 0.6 %"), std::string::npos);
  EXPECT_NE(text.find("100 % float and 6 % roll over"), std::string::npos);
  EXPECT_NE(text.find("5.50"), std::string::npos);
  EXPECT_EQ(text.find("Without a rest"), std::string::npos);
  result.draws->not_settled = 2;
  result.draws->share_as_nominal = 0.9979;
  EXPECT_NE(in_one_line(draws_text(result)).find("could be found: 2."), std::string::npos);
  EXPECT_NE(in_one_line(draws_text(result)).find("99.8 %"), std::string::npos);
  result.wood_weighed = true;
  EXPECT_EQ(draws_text(result).find("of wood"), std::string::npos);
}

TEST(HookSentence, SaysWhatBecomesOfIt) {
  const std::vector<water::HookChange> changes = what_little_does().changes;
  EXPECT_EQ(hook_sentence(changes[0], 14.3, {}),
            "If the belly treble is lost it rolls, and lies on its right flank (list 92.0°), nose "
            "3.0° down; 20.2 g in reserve.");
  EXPECT_EQ(hook_sentence(changes[1], 14.3, {}),
            "If the belly treble is one size up (10.0 g, taken as a quarter heavier) it still lies "
            "back up, tail 4.4° down; 12.5 g in reserve.");
  water::HookChange change = changes[1];
  change.assumed = false;
  change.reserve_g = -0.5;
  EXPECT_EQ(hook_sentence(change, 14.3, {}),
            "If the belly treble is one size up (10.0 g) it sinks, and hangs back up, tail 4.4° "
            "down; 0.50 g in water.");
  change = changes[0];
  change.pose.reset();
  EXPECT_EQ(hook_sentence(change, 14.3, {}),
            "If the belly treble is lost it comes to no rest that was found; 20.2 g in reserve.");
}

TEST(BorderText, TellsWhatAMakerActsOnAndAllWhereAsked) {
  FloatResult result = floating();
  const std::string brief = border_text(result, {});
  EXPECT_NE(brief.find("  belly           -0.33"), std::string::npos) << brief;
  EXPECT_EQ(brief.find("1 mm to the right"), std::string::npos);
  EXPECT_NE(border_text(result, {.verbose = true}).find("1 mm to the right"), std::string::npos);
  result.sensitivity->parts[0].per_g->at_border = true;
  EXPECT_NE(border_text(result, {}).find("lost      -0.90"), std::string::npos)
      << border_text(result, {});
  result.sensitivity.reset();
  EXPECT_EQ(border_text(result, {}), "");
}

TEST(FloatText, SaysWhereARightingCurveMeansNothing) {
  FloatResult result = floating();
  EXPECT_NE(to_text(result, {}).find("131.5"), std::string::npos);
  result.righting = {std::nullopt};
  EXPECT_NE(to_text(result, {}).find("Righting curve: undefined"), std::string::npos);
  result.balance.poses.push_back(back_up(0, 90, 0));
  result.righting.emplace_back(rights_itself());
  EXPECT_NE(to_text(result, {}).find("undefined"), std::string::npos);
  EXPECT_NE(to_text(result, {}).find("131.5"), std::string::npos);
}

TEST(FloatText, TellsTheBenchTheBudgetAndTheCast) {
  const std::string text = to_text(floating(), {});
  for (const char* part :
       {"20.0 g wood, 9.0 g weights", "balances 76.9 mm from the nose", "the bare blank 80.0 mm",
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

}  // namespace
}  // namespace trueblank::report
