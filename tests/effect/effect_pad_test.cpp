// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "effect/effect.h"
#include "effect/proud_bodies.h"

namespace trueblank::effect {
namespace {

using geometry::Vec3;

constexpr double degree = std::numbers::pi / 180;
constexpr WoodDensity cedar = {.left_g_cm3 = 0.37, .right_g_cm3 = 0.37};

// Half of the bar without its pad is under: it is 120 × 19.5 × 40 mm, and 46.8 g. Its centre of
// mass is low, so that it stays on its narrow side.
constexpr double half_the_bar_g = 46.8;
constexpr double low_mm = -14;

Afloat bar(double pad_z_mm) {
  return {bar_with_pad(0.5, pad_z_mm), half_the_bar_g, Vec3(0, 0, low_mm)};
}

// Source: 10 × 20 × 0.5 mm are 0.1 cm³, 10 mm off the middle: 0.037 g of wood turn by 0.37 g·mm
// towards their side, 0.1 g of water that they displace by 1.00 g·mm away from it. The tolerance
// holds the pad's own sides, 0.001 mm, and the list of 0.14°, which makes the lever 10 + 10·sin of
// it: the pad lies 10 mm under the water.
TEST(ProudPad, UnderWaterLiftsItsSide) {
  const Effect effect = bar(-10).effect(cedar);
  ASSERT_EQ(effect.patches.size(), 1U);
  const PartEffect& pad = effect.patches[0];
  EXPECT_NEAR(pad.volume_mm3, 100, 0.02);
  EXPECT_NEAR(pad.wet_mm3, 100, 0.02);
  EXPECT_NEAR(pad.wood_g, 0.037, 1e-5);
  EXPECT_NEAR(pad.weight_moment_g_mm, 0.37, 0.002);
  EXPECT_NEAR(pad.lift_moment_g_mm, -1.00, 0.005);
  EXPECT_NEAR(pad.turning_moment_g_mm, -0.63, 0.003);
  EXPECT_LT(pad.list_deg, 0);
}

TEST(ProudPad, AboveTheWaterlineSinksItsSide) {
  const PartEffect pad = bar(10).effect(cedar).patches[0];
  EXPECT_EQ(pad.wet_mm3, 0);
  EXPECT_EQ(pad.lift_moment_g_mm, 0);
  EXPECT_NEAR(pad.turning_moment_g_mm, 0.37, 0.002);
  EXPECT_GT(pad.list_deg, 0);
}

// The waterline is at the bar's half height, less what the pad carries, and is the lower at the pad
// for the list.
TEST(ProudPad, CutByTheWaterlineCountsItsWetPartAlone) {
  const Afloat lure = bar(0);
  const PartEffect pad = lure.effect(cedar).patches[0];
  const double list = *lure.pose().list_deg * degree;
  const double water_z_mm = *lure.pose().waterline_offset_mm / std::cos(list) + 10 * std::tan(list);
  const double wet_share = (water_z_mm + 5) / 10;
  EXPECT_NEAR(wet_share, 0.5, 0.01);
  EXPECT_NEAR(pad.wet_mm3, 100 * wet_share, 0.05);
  EXPECT_NEAR(pad.lift_moment_g_mm, -0.1 * wet_share * 10, 0.003);
}

// Source: GM = KB + BM − KG with KB half the draft of 20, BM = breadth² / (12 · draft) and KG 6;
// the list is the moment over mass · GM. The tolerance is the pad's own part in the draft.
TEST(ProudPad, ListsByItsMomentOverTheStiffness) {
  const Afloat lure = bar(-10);
  const double gm_mm = 10 + 19.5 * 19.5 / (12 * 20) - 6;
  const double list_deg = -0.63 / (half_the_bar_g * gm_mm) / degree;
  EXPECT_NEAR(lure.effect(cedar).patches[0].list_deg, list_deg, 0.01 * std::abs(list_deg));
  EXPECT_NEAR(lure.list_taken_deg({}, cedar), list_deg, 0.02 * std::abs(list_deg));
}

TEST(ProudPad, MirroredTurnsTheOtherWay) {
  const ProudBody body = bar_with_pad(0.4, -8);
  const PartEffect one = Afloat(body, half_the_bar_g, Vec3(0, 0, low_mm)).effect(cedar).patches[0];
  const PartEffect other =
      Afloat(mirrored(body), half_the_bar_g, Vec3(0, 0, low_mm)).effect(cedar).patches[0];
  EXPECT_NEAR(one.turning_moment_g_mm, -other.turning_moment_g_mm, 1e-9);
  EXPECT_NEAR(one.list_deg, -other.list_deg, 1e-9);
  EXPECT_NEAR(one.wood_g, other.wood_g, 1e-12);
}

}  // namespace
}  // namespace trueblank::effect
