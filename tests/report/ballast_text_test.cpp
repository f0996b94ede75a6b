// SPDX-License-Identifier: GPL-3.0-or-later
// How a found plan is told. Expected texts are written by hand from the made-up figures.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "made_up_plan.h"
#include "report/ballast_words.h"
#include "support/in_one_line.h"

namespace trueblank::report {
namespace {

using test_text::in_one_line;
using ::testing::HasSubstr;
using ::testing::Not;

TEST(BallastAnswer, WhatIsMetLeads) {
  EXPECT_EQ(answer(met_plan(), {}),
            "Met: 11.5 g of lead at 71.3 mm, 8.2 mm above the belly. It then lies back up, tail "
            "5.4° down; 14.3 g in reserve.");
}

TEST(BallastAnswer, WhatIsNotMetSaysWhatWouldHaveToGive) {
  EXPECT_EQ(answer(unmet_plan(), {}),
            "Not met; the nearest is 11.5 g of lead at 71.3 mm and 3.0 g of tungsten at 130.0 mm. "
            "It then lies back up, tail 5.4° down; 14.3 g in reserve. Tail 5.0° down and 14.0 g in "
            "reserve can't both be had with \"belly\" ahead of 60.0 mm: allow \"belly\" as far aft "
            "as 74.0 mm, take 11.2 g in reserve or take tail 16.0° down.");
}

TEST(BallastAnswer, WithoutAWayOutSaysSo) {
  BallastResult result = unmet_plan();
  result.found.concessions.clear();
  EXPECT_THAT(answer(result, {}), HasSubstr("Tail 5.0° down can't be had, and to give way in one "
                                            "thing alone does not do."));
}

TEST(BallastAnswer, NamesAHookThatIsChanged) {
  BallastResult result = met_plan();
  result.hooks_before = {{.name = "belly treble", .mass_g = 9, .eye_mm = {56, 0, -12}}};
  result.found.plan.hooks = {{.hook = 0, .mass_g = 12, .eye_mm = {61, 0, -12}}};
  EXPECT_THAT(answer(result, {}), HasSubstr(", with the belly treble at 12.0 g hung at 61.0 mm."));
  EXPECT_THAT(in_one_line(to_text(result, {})),
              HasSubstr("belly treble: take one of 12.0 g (in the sheet 9.0 g). Hang it at 61.0 mm "
                        "from the nose (in the sheet 56.0 mm)."));
}

TEST(BallastAnswer, ASinkerBeyondFivePerCentIsJudgedAsItFalls) {
  BallastResult result = met_plan();
  result.lies = sinking();
  tuning::Plan& plan = result.found.plan;
  plan.balance = result.lies.balance;
  plan.judged_falling = true;
  plan.falls_tail_down_deg = 25;
  EXPECT_THAT(answer(result, {}),
              HasSubstr("It then hangs, set free under water, back up, tail 5.4° down; 4.1 g in "
                        "water. It weighs more than 5 % of its mass in water, so the tail angle "
                        "asked for is met in the middle of the band in which it falls: tail 25.0° "
                        "down."));
}

TEST(BallastAnswer, APlanThatLiesNowhereNearSaysSo) {
  BallastResult result = unmet_plan();
  result.found.plan.pose = -1;
  EXPECT_THAT(answer(result, {}),
              HasSubstr("It then comes to rest nowhere near what is asked; 14.3 g in reserve."));
}

TEST(DrillingPlan, TellsStartDirectionDepthAndWhatIsLeft) {
  EXPECT_EQ(hole_sentences(met_plan(), 0, {}),
            "set the drill on the belly, 71.3 mm from the nose, on the middle line, and drill "
            "straight up, towards the back, 8.0 mm wide and 14.2 mm deep to the hole's flat end. "
            "11.5 g of lead fill 11.1 mm of it, and a plug of the same wood the 3.1 mm over it. "
            "Thinnest wood 4.2 mm, to the skin, at 75.3 mm. Where it is weakest, at 71.3 mm, 81 % "
            "of the section is left and 93 % of its second moment.");
}

TEST(DrillingPlan, OfAHoleThatMeetsAWireOrComesOutAgainSaysSo) {
  BallastResult result = met_plan();
  result.holes[0]->wall_mm = -0.5;
  result.holes[0]->wall_to = "wire";
  result.holes[0]->breaks_out = true;
  const std::string text = hole_sentences(result, 0, {});
  EXPECT_THAT(text, HasSubstr("It meets \"wire\" by 0.5 mm, at 75.3 mm: no wood is left there."));
  EXPECT_THAT(text, HasSubstr("The drill comes out on the far side."));
}

TEST(DrillingPlan, OfAFlankIsSetOutFromTheBelly) {
  BallastResult result = met_plan();
  result.holes[0]->from = rig::Mouth::left;
  result.holes[0]->start_mm = {71.3, -9, -6};
  EXPECT_THAT(hole_sentences(result, 0, {}),
              HasSubstr("set the drill on the left flank, 71.3 mm from the nose, 8.2 mm above the "
                        "belly, and drill straight across, to the right,"));
}

TEST(DrillingPlan, OfTheTailIsSetOutFromTheLongAxis) {
  BallastResult result = met_plan();
  result.holes[0]->from = rig::Mouth::tail;
  result.holes[0]->start_mm = {165, 0, -1.25};
  EXPECT_THAT(hole_sentences(result, 0, {}),
              HasSubstr("set the drill on the tail end, on the middle line, 1.2 mm below the long "
                        "axis, and drill straight forward, along the long axis,"));
}

// 4/3 π r³ = 3 g / 19.3 g/cm³ = 155.44 mm³: 6.671 mm across.
TEST(DrillingPlan, WithoutADiameterTheWeightIsABall) {
  EXPECT_EQ(hole_sentences(unmet_plan(), 1, {}),
            "3.0 g of tungsten, taken as a ball of 6.7 mm, its middle at 130.0 mm. How to drill "
            "for it is told once its [[place]] has a diameter.");
}

TEST(WirePlan, TellsLengthsFromTheCutEnd) {
  const tuning::BendPlan wire{.name = "wire",
                              .diameter_mm = 1.6,
                              .straight_mm = 154,
                              .lengths_mm = {19, 116, 19},
                              .bends = {{.from_start_mm = 19, .angle_deg = 3},
                                        {.from_start_mm = 135, .angle_deg = 4, .twist_deg = 180}},
                              .eye_mm = 48.5,
                              .cut_mm = 251};
  EXPECT_EQ(wire_sentences(wire, {}),
            "cut 251.0 mm of 1.6 mm wire: 154.0 mm along its path and 48.5 mm for each of 2 eyes. "
            "At 67.5 mm from the cut end bend it by 3.0°. At 183.5 mm from the cut end bend it by "
            "4.0°, back to the other side.");
}

TEST(BallastCautions, LeadIsNeverPouredIntoDampWood) {
  const std::string all = in_one_line(to_text(met_plan(), {}));
  EXPECT_THAT(all, HasSubstr("Never pour molten lead into damp or unsealed wood"));
  // 11.5 g at 11.34, 9.79 and 19.3 g/cm³.
  EXPECT_THAT(all, HasSubstr("belly: 1.01 cm³ of lead; of the same mass without lead 1.17 cm³ of "
                             "bismuth or 0.60 cm³ of tungsten."));
  EXPECT_THAT(all, HasSubstr("is a wall's thickness a promise of it"));
  EXPECT_THAT(all, HasSubstr("Wood dust"));
  EXPECT_THAT(all, HasSubstr("Local rules"));
}

TEST(BallastCautions, WithoutLeadNothingIsSaidOfIt) {
  BallastResult result = met_plan();
  result.found.plan.weights = {planned("belly", "bismuth", 11.5, {71.3, 0, -6})};
  for (const std::string& line : ballast_cautions(result)) EXPECT_THAT(line, Not(HasSubstr("ead")));
}

TEST(BallastWarnings, TellOfAWireThatIsNear) {
  BallastResult result = met_plan();
  result.wishes.target.wall_min_mm = 2;
  EXPECT_TRUE(all_warnings(result).empty());
  result.found.plan.weights[0].wire_wall_mm = 0.75;
  EXPECT_EQ(
      all_warnings(result).at(0),
      "The weight \"belly\" has 0.8 mm of wood to the wire, less than the 2.0 mm asked for; a "
      "plan is not refused for that.");
  result.found.plan.weights[0].wire_wall_mm = -0.5;
  EXPECT_EQ(all_warnings(result).at(0),
            "The weight \"belly\" meets a wire by 0.5 mm: lead the wire round it, or slot the "
            "weight.");
}

TEST(BallastText, HoldsEachWishAgainstWhatIsReached) {
  const std::string text = to_text(unmet_plan(), {});
  EXPECT_THAT(text,
              HasSubstr("  wish                                       wanted  reached  met\n"
                        "  it                                         floats   floats  yes\n"
                        "  reserve g                            14.00 ± 0.50    14.30  yes\n"
                        "  tail down °                             5.0 ± 1.0      7.5   no\n"));
  EXPECT_THAT(text, HasSubstr("wood around belly mm"));
}

TEST(BallastText, OtherPlansAndTablesAreToldShortly) {
  BallastResult result = met_plan();
  result.found.others = {result.found.plan};
  result.woods = {{.name = "balsa",
                   .value = 0.16,
                   .met = true,
                   .added_g = 14.25,
                   .ratio_g_per_100g_wood = 91,
                   .reserve_g = 4,
                   .tail_down_deg = 5.5}};
  const std::string text = to_text(result, {});
  EXPECT_THAT(text, HasSubstr("2   11.5 g of lead at 71.3 mm: tail 5.4° down, 14.3 g in reserve,"));
  EXPECT_THAT(text, HasSubstr("  balsa  0.160   14.25       91.0     4.00     5.5       –"
                              "           –  yes\n"));
}

TEST(BallastText, SaysWhatToMeasureFirst) {
  BallastResult result = met_plan();
  result.varies_by = tuning::VarianceShares{
      .of = {{.what = "belly's place", .measurable = false, .tail_down = 0.75, .list = 0.9},
             {.what = "the wood's density", .tail_down = 0.25, .list = 0.1, .reserve = 1}},
      .tail_down_sd_deg = 0.5,
      .list_sd_deg = 1.25,
      .reserve_sd_g = 0.75};
  const std::string text = to_text(result, {});
  EXPECT_THAT(in_one_line(text),
              HasSubstr("the tail varies by ± 0.50°, the list by ± 1.25°, the reserve by ± 0.75 g "
                        "(one standard deviation). Measure first: the wood's density."));
  EXPECT_THAT(text,
              HasSubstr("  belly's place                        75    90        0          no\n"));
}

TEST(BallastJson, HoldsThePlanTheHoleAndWhatFloatSays) {
  const BallastResult result = unmet_plan();
  const nlohmann::json json = nlohmann::json::parse(to_json(result));
  EXPECT_EQ(json["schema"], "trueblank.ballast/1");
  EXPECT_EQ(json["met"], false);
  EXPECT_EQ(json["weights"].size(), 2U);
  const nlohmann::json& belly = json["weights"][0];
  EXPECT_EQ(belly["name"], "belly");
  EXPECT_EQ(belly["metal"], "lead");
  EXPECT_EQ(belly["hole_depth_mm"], 14.2);
  EXPECT_EQ(belly["wall_mm"], 4.2);
  EXPECT_EQ(belly["hole"]["from"], "belly");
  EXPECT_TRUE(json["weights"][1]["hole"].is_null());
  EXPECT_TRUE(json["weights"][1]["hole_depth_mm"].is_null());
  EXPECT_EQ(json["concessions"][0]["limit"], "x_high");
  EXPECT_TRUE(json["concessions"][0]["wish"].is_null());
  EXPECT_EQ(json["concessions"][2]["wish"], "tail_down");
  EXPECT_EQ(json["wishes"][0]["wanted"], "floats");
  EXPECT_EQ(json["result"], nlohmann::json::parse(to_json(result.lies)));
  EXPECT_EQ(json["sensitivity"], json["result"]["sensitivity"]);
}

}  // namespace
}  // namespace trueblank::report
