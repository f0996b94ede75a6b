// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/may_be_off.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "support/bodies.h"
#include "water/small_changes.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;

/// Wood of 40 g; a weight of 5 g at (1, 2, 3) that takes 0.6 g of the wood, a finish of 2 g, an
/// empty pocket.
rig::Assembly some_parts(bool weighed) {
  rig::Assembly made = wood_alone(40);
  made.wood_weighed = weighed;
  made.parts.push_back({.name = "finish", .kind = rig::PartKind::finish, .mass_g = 2});
  made.parts.push_back(weight_at({1, 2, 3}, 5, 0.6));
  made.parts.push_back({.name = "hole", .kind = rig::PartKind::pocket, .wood_g = 1});
  return made;
}

const rig::Tolerances all_off{
    .mass_g = 0.1, .place_mm = 0.7, .wood_density_percent = 3, .scale_percent = 0.5};

struct Changed {
  rig::Assembly assembly;
  double scale = 1;
};

/// The assembly with one thing off; fails where there is none of that name.
Changed with(const rig::Assembly& assembly, const std::string& what, double by) {
  Changed changed{.assembly = assembly};
  int found = 0;
  for (const MayBeOff& one : may_be_off(assembly, all_off)) {
    if (one.what != what) continue;
    one.apply(changed.assembly, by, changed.scale);
    ++found;
  }
  EXPECT_EQ(found, 1) << what;
  return changed;
}

std::vector<std::string> told(const std::vector<MayBeOff>& all) {
  std::vector<std::string> lines;
  for (const MayBeOff& one : all) {
    lines.push_back(one.what + ", " + one.unit + ": " +
                    std::to_string(static_cast<int>(std::lround(1000 * one.sd))));
  }
  return lines;
}

// Source: what draw_builds() draws, by its own description.
TEST(MayBeOff, NamesAllThatIsDrawnWithItsDeviation) {
  EXPECT_EQ(told(may_be_off(some_parts(false), all_off)),
            (std::vector<std::string>{"the wood's density, %: 3000", "the body's size, %: 500",
                                      "the mass of finish, g: 100", "the mass of weight, g: 100",
                                      "weight aft, mm: 700", "weight to the right, mm: 700",
                                      "weight up, mm: 700", "hole aft, mm: 700",
                                      "hole to the right, mm: 700", "hole up, mm: 700"}));
  EXPECT_EQ(told(may_be_off(some_parts(true), all_off))[0], "the blank's weight, g: 100");
}

TEST(MayBeOff, LeavesOutWhatTheMakerIsSureOf) {
  EXPECT_EQ(told(may_be_off(
                some_parts(false),
                {.mass_g = 0.2, .place_mm = 0, .wood_density_percent = 0, .scale_percent = 0})),
            (std::vector<std::string>{"the mass of finish, g: 200", "the mass of weight, g: 200"}));
}

// Source: the definitions of percent, gram and millimetre.
TEST(MayBeOff, PutsOneThingOffByTheUnit) {
  const rig::Assembly plain = some_parts(false);
  const Changed denser = with(plain, "the wood's density", 3);
  EXPECT_NEAR(denser.assembly.undrilled_wood_g, 41.2, 1e-12);
  EXPECT_NEAR(denser.assembly.parts[1].wood_g, 0.618, 1e-14);
  EXPECT_EQ(denser.assembly.parts[1].mass_g, 5);
  EXPECT_NEAR(with(plain, "the wood's density", -200).assembly.undrilled_wood_g, 4, 1e-12);
  EXPECT_NEAR(with(some_parts(true), "the blank's weight", -8).assembly.undrilled_wood_g, 32,
              1e-12);
  EXPECT_NEAR(with(some_parts(true), "the blank's weight", -80).assembly.undrilled_wood_g, 4,
              1e-12);
  const Changed longer = with(plain, "the body's size", -2);
  EXPECT_NEAR(longer.scale, 0.98, 1e-15);
  EXPECT_EQ(longer.assembly.undrilled_wood_g, 40);
  EXPECT_NEAR(with(plain, "the mass of weight", -1.5).assembly.parts[1].mass_g, 3.5, 1e-14);
  EXPECT_NEAR(with(plain, "the mass of weight", -50).assembly.parts[1].mass_g, 0.1, 1e-14);
  EXPECT_EQ(with(plain, "weight aft", 0.5).assembly.parts[1].centre_mm, Vec3(1.5, 2, 3));
  EXPECT_EQ(with(plain, "weight to the right", 0.5).assembly.parts[1].centre_mm, Vec3(1, 2.5, 3));
  EXPECT_EQ(with(plain, "weight up", 0.5).assembly.parts[1].centre_mm, Vec3(1, 2, 3.5));
  EXPECT_EQ(with(plain, "hole up", 0.5).assembly.parts[1].centre_mm, Vec3(1, 2, 3));
}

// Derivation. A barge L × B × D about the origin, of wood w at its middle and a weight m at
// (x, 0, z), on a body s times as long, the wood's density given: in water of 0.001 g/mm³
//   M = w·s³ + m, reserve = LBD·s³/1000 − M, upright at draught T = 1000·M/(LB·s²)
//   stiffness in roll = LB³·s⁴/12000 + M·T/2 − w·D·s⁴/2 − m·(D·s/2 + z)
//   tail_down = m·x over the stiffness in pitch (L and B change places), to first order in x
TEST(LiesOnAScaledBody, IsThatOfAScaledBarge) {
  constexpr double L = 160;
  constexpr double B = 30;
  constexpr double D = 20;
  constexpr double w = 30;
  constexpr double m = 10;
  constexpr double x = 0.1;
  constexpr double z = -6;
  RiggedBody barge = rigged_body(test_bodies::closed(test_bodies::box(L, B, D)), {});
  barge.assembly = wood_alone(w);
  barge.assembly.parts.push_back(weight_at({x, 0, z}, m));
  for (const double s : {1.0, 0.95, 1.1}) {
    const double mass = w * s * s * s + m;
    const auto stiffness = [&](double length, double breadth) {
      const double draught = 1000 * mass / (L * B * s * s);
      return length * std::pow(breadth, 3) * std::pow(s, 4) / 12000 + mass * draught / 2 -
             w * D * std::pow(s, 4) / 2 - m * (D * s / 2 + z);
    };
    const Lies found = lies(barge.body(), barge.assembly, s, Vec3::UnitZ());
    EXPECT_NEAR(found.reserve_g, L * B * D * s * s * s / 1000 - mass, 1e-9) << s;
    ASSERT_TRUE(found.tail_down_deg && found.list_deg && found.least_stiffness_g_mm_per_deg) << s;
    EXPECT_NEAR(*found.list_deg, 0, 1e-6) << s;
    EXPECT_NEAR(*found.tail_down_deg, m * x / stiffness(B, L) / degree, 1e-6) << s;
    const double roll = stiffness(L, B) * degree;
    EXPECT_NEAR(*found.least_stiffness_g_mm_per_deg, roll, 1e-6 * roll) << s;
  }
}

// Derivation. The same barge too heavy to float hangs with its weight under its buoyancy, which is
// at its middle: its stiffness is what it displaces times the lever, LBD·s³/1000 · m·|z|/M.
TEST(LiesOnAScaledBody, IsThatOfAScaledBargeUnderWater) {
  RiggedBody barge = rigged_body(test_bodies::closed(test_bodies::box(160, 30, 20)), {});
  barge.assembly = wood_alone(90);
  barge.assembly.parts.push_back(weight_at({0, 0, -6}, 10));
  for (const double s : {1.0, 0.95, 1.1}) {
    const double cubed = s * s * s;
    const Lies found = lies(barge.body(), barge.assembly, s, Vec3::UnitZ());
    EXPECT_NEAR(found.reserve_g, 6 * cubed - 10, 1e-9) << s;
    ASSERT_TRUE(found.tail_down_deg && found.list_deg && found.least_stiffness_g_mm_per_deg) << s;
    EXPECT_NEAR(*found.tail_down_deg, 0, 1e-9) << s;
    EXPECT_NEAR(*found.list_deg, 0, 1e-9) << s;
    const double stiffness = 96 * cubed * 60 / (90 * cubed + 10) * degree;
    EXPECT_NEAR(*found.least_stiffness_g_mm_per_deg, stiffness, 1e-9) << s;
  }
}

}  // namespace
}  // namespace trueblank::water
