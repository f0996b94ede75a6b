// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/effect_text.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace trueblank::report {
namespace {

using effect::Effect;
using effect::PartEffect;

const std::vector<std::string> names = {"left flank, 40 to 80 mm from the nose", "nose",
                                        "right flank, 20 to 35 mm from the nose"};

/// A wet patch on the left that lifts it, a bit at the nose, a dry one on the right.
Effect three_patches(double pose_list_deg) {
  Effect effect;
  effect.pose_list_deg = pose_list_deg;
  const PartEffect left{.volume_mm3 = 1000,
                        .wet_mm3 = 800,
                        .wood_g = 0.4,
                        .weight_moment_g_mm = -3.7,
                        .lift_moment_g_mm = 8,
                        .turning_moment_g_mm = 4.3,
                        .list_deg = 0.8};
  const PartEffect nose{.volume_mm3 = 300,
                        .wet_mm3 = 150,
                        .wood_g = 0.1,
                        .weight_moment_g_mm = -0.1,
                        .lift_moment_g_mm = 0.2,
                        .turning_moment_g_mm = 0.1,
                        .list_deg = 0.05};
  const PartEffect dry{.volume_mm3 = 200,
                       .wood_g = 0.07,
                       .weight_moment_g_mm = 0.7,
                       .turning_moment_g_mm = 0.7,
                       .list_deg = 0.2};
  effect.patches = {left, nose, dry};
  return effect;
}

TEST(LevelSentence, SaysWhatToTakeOffWhere) {
  EXPECT_EQ(
      level_sentence(effect::sanding_plan(three_patches(0.8)), names, {}),
      "It lists 0.80°, right flank down. Take 0.40 g off the left flank, 40 to 80 mm from the "
      "nose, and it lies level.");
}

TEST(LevelSentence, TakesAPartOfAPatchAndSeveral) {
  EXPECT_EQ(
      level_sentence(effect::sanding_plan(three_patches(0.95)), names, {}),
      "It lists 0.95°, right flank down. Take 0.40 g off the left flank, 40 to 80 mm from the "
      "nose; then 0.05 g (of 0.07 g) off the right flank, 20 to 35 mm from the nose, and it "
      "lies level.");
  EXPECT_EQ(
      level_sentence(effect::sanding_plan(three_patches(2)), names, {}),
      "It lists 2.00°, right flank down. Take 0.40 g off the left flank, 40 to 80 mm from the "
      "nose; then 0.07 g off the right flank, 20 to 35 mm from the nose; then 0.10 g off the "
      "nose, and it lists 0.95°, right flank down.");
}

TEST(LevelSentence, AsksForNothingWhereSandingIsNoHelp) {
  EXPECT_EQ(level_sentence(effect::sanding_plan(three_patches(-0.09)), names, {}),
            "It lies level as it is; for the water's sake nothing need come off.");
  EXPECT_EQ(level_sentence(effect::sanding_plan(three_patches(-0.5)), names, {}),
            "It lists 0.50°, left flank down. Taking off where it is proud brings it no nearer to "
            "level: the cause is elsewhere, in the wood or in what is put into it.");
}

TEST(EffectText, IsATableAndWhatItMeans) {
  Effect effect = three_patches(1.05);
  effect.halves = effect::HalvesEffect{.turning_moment_g_mm = -1.234, .list_deg = -0.2};
  EXPECT_EQ(effect_text(effect, effect::sanding_plan(effect), names),
            R"(The unlike halves by themselves list it by -0.20° (-1.23 g·mm).

  patch  wood  in water  weight   lift   both   list  list without
            g              g·mm   g·mm   g·mm      °             °
  1      0.40      80 %   -3.70  +8.00  +4.30  +0.80         +0.25
  2      0.07       0 %   +0.70   0.00  +0.70  +0.20         +0.05
  3      0.10      50 %   -0.10  +0.20  +0.10  +0.05          0.00
  1: left flank, 40 to 80 mm from the nose
  2: right flank, 20 to 35 mm from the nose
  3: nose
+ turns the right flank down. List without: when this patch and those above it
are sanded off.
A proud flank under water lifts its side: the water that it displaces weighs
more than its wood. Above the waterline it sinks it.
As far as the water goes, patch 3 may be left: it changes the list by less than
0.1°.
)");
}

TEST(EffectText, OfNoPatchesIsNothing) {
  Effect effect;
  const effect::SandingPlan plan = effect::sanding_plan(effect);
  EXPECT_EQ(level_sentence(plan, {}, {}),
            "It lies level as it is; for the water's sake nothing need come off.");
  EXPECT_EQ(effect_text(effect, plan, {}), "");
}

}  // namespace
}  // namespace trueblank::report
