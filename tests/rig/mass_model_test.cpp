// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/mass_model.h"

#include <cmath>
#include <numbers>

#include "rigs.h"

namespace trueblank::rig {
namespace {

using test_bodies::box;
using test_bodies::closed;

constexpr double rounding_mm = 1e-9;

void expect_sums_up(const RiggedLure& lure) {
  double mass_g = 0;
  Vec3 moment = Vec3::Zero();
  for (const MassPart& part : lure.parts) {
    mass_g += part.mass_g;
    moment += part.mass_g * part.centre_mm;
  }
  EXPECT_NEAR(mass_g, lure.mass_g, 1e-12 * lure.mass_g);
  EXPECT_LT((moment / mass_g - lure.centre_of_mass_mm).norm(), rounding_mm);
}

TEST(BareBlank, WeighsDensityTimesVolumeAtItsCentroid) {
  const RiggedLure lure = rigged(plank(), bare());
  ASSERT_EQ(lure.parts.size(), 1U);
  EXPECT_EQ(lure.parts[0].name, "wood");
  EXPECT_NEAR(lure.mass_g, 24, 1e-12);
  EXPECT_LT(lure.centre_of_mass_mm.norm(), rounding_mm);
  EXPECT_EQ(lure.ratio_g_per_100g_wood, 0);
  EXPECT_TRUE(lure.outside.empty());
  EXPECT_DOUBLE_EQ(lure.water_density_g_cm3, water_density_kg_m3(0, 15) / 1000);
}

// A second way: the same box with a cube cut out of it, as large as 9 g of lead.
TEST(Ballast, TakesTheWoodAwayThatItFills) {
  Rig rig = bare();
  const Vec3 at(10, 3, -6);
  rig.ballasts.push_back({.name = "belly", .at_mm = at, .mass_g = 9, .density_g_cm3 = 11.34});
  const RiggedLure lure = rigged(plank(), rig);

  const double side = std::cbrt(1000 * 9 / 11.34);
  const ClosedMesh hollow = closed(test_bodies::joined(
      box(100, 20, 30),
      test_bodies::inside_out(test_bodies::moved(box(side, side, side), Mat3::Identity(), at))));
  const geometry::Moments wood = geometry::moments(hollow);
  ASSERT_EQ(lure.parts.size(), 2U);
  EXPECT_NEAR(lure.parts[0].mass_g, 0.4 * wood.volume_mm3 / 1000, 1e-10);
  EXPECT_LT((lure.parts[0].centre_mm - wood.centroid_mm).norm(), rounding_mm);
  EXPECT_EQ(lure.parts[1].name, "belly");
  EXPECT_EQ(lure.parts[1].mass_g, 9);
  EXPECT_EQ(lure.outside_volume_mm3, 0);
  expect_sums_up(lure);
}

// Source: a straight wire 140 mm long through a box 100 mm long: 100 mm inside, 15 mm out in front
// and 25 mm behind.
TEST(WireThroughABox, ReplacesWoodInsideAndDisplacesWaterOutside) {
  Rig rig = bare();
  rig.wires.push_back({.name = "wire",
                       .density_g_cm3 = 7.9,
                       .diameter_mm = 1.6,
                       .path_mm = {{-65, 2, 4}, {75, 2, 4}}});
  const RiggedLure lure = rigged(plank(), rig);
  const double section = std::numbers::pi * 0.8 * 0.8;

  ASSERT_EQ(lure.parts.size(), 2U);
  EXPECT_NEAR(lure.parts[0].mass_g, 0.4 * (60000 - 100 * section) / 1000, 1e-10);
  EXPECT_NEAR(lure.parts[1].mass_g, 7.9 * 140 * section / 1000, 1e-10);
  EXPECT_LT((lure.parts[1].centre_mm - Vec3(5, 2, 4)).norm(), rounding_mm);

  ASSERT_EQ(lure.outside.size(), 2U);
  EXPECT_LT((lure.outside[0].at_mm - Vec3(-57.5, 2, 4)).norm(), rounding_mm);
  EXPECT_NEAR(lure.outside[0].below_mm, 7.5, rounding_mm);
  EXPECT_NEAR(lure.outside[0].above_mm, 7.5, rounding_mm);
  EXPECT_NEAR(lure.outside[0].volume_mm3, 15 * section, 1e-8);
  EXPECT_LT((lure.outside[1].at_mm - Vec3(62.5, 2, 4)).norm(), rounding_mm);
  EXPECT_NEAR(lure.outside[1].below_mm, 12.5, rounding_mm);
  EXPECT_NEAR(lure.outside_volume_mm3, 40 * section, 1e-8);
  expect_sums_up(lure);
}

// Source: 1.6 mm stainless (7.9) weighs 15.884 g a metre: π/4 · 1.6² · 7.9.
TEST(Wire, WeighsWhatTheGaugeTableSays) {
  Rig rig = bare();
  rig.wires.push_back(
      {.density_g_cm3 = 7.9, .diameter_mm = 1.6, .path_mm = {{0, 0, 0}, {0, 0, 1000}}});
  EXPECT_NEAR(rigged(plank(), rig).parts[1].mass_g, 15.884, 5e-4);
}

// Source: the chord of an ellipsoid along x at (y, z): 2a·√(1 − y²/b² − z²/c²). The facets lie
// inside the ellipsoid by some (π/160)²/2 = 2e-4 of its half width; the chord feels that more, the
// nearer it runs to the skin: 1e-3.
TEST(WireThroughAnEllipsoid, LiesInsideOverItsChord) {
  const ClosedMesh body = closed(test_bodies::ellipsoid(80, 11, 14, 160, 160));
  const double y = 3;
  const double z = -5;
  Rig rig = bare();
  rig.wires.push_back(
      {.density_g_cm3 = 8, .diameter_mm = 2, .path_mm = {{-100, y, z}, {100, y, z}}});
  const geometry::Moments whole = geometry::moments(body);
  const RiggedLure lure = rig::rigged(body, whole, rig);
  const double replaced = whole.volume_mm3 - lure.parts[0].mass_g / 0.4 * 1000;
  const double chord = 160 * std::sqrt(1 - y * y / (11. * 11) - z * z / (14. * 14));
  EXPECT_NEAR(replaced / std::numbers::pi, chord, 1e-3 * chord);
  EXPECT_NEAR(lure.outside_volume_mm3 / std::numbers::pi, 200 - chord, 1e-3 * chord);
  expect_sums_up(lure);
}

// A path that goes down out of the belly and back in: out, and in again. Two walls of 5 mm, each
// bend a point of its own.
TEST(WireWithAnEyeOnTheBelly, HasAnOutsidePartForEachStraightStretch) {
  Rig rig = bare();
  rig.wires.push_back({.name = "hanger",
                       .density_g_cm3 = 7.9,
                       .diameter_mm = 1,
                       .path_mm = {{-10, 0, -10}, {-10, 0, -20}, {10, 0, -20}, {10, 0, -10}}});
  const RiggedLure lure = rigged(plank(), rig);
  ASSERT_EQ(lure.outside.size(), 3U);
  EXPECT_LT((lure.outside[0].at_mm - Vec3(-10, 0, -17.5)).norm(), rounding_mm);
  EXPECT_NEAR(lure.outside[0].below_mm, 2.5, rounding_mm);
  EXPECT_LT((lure.outside[1].at_mm - Vec3(0, 0, -20)).norm(), rounding_mm);
  EXPECT_NEAR(lure.outside[1].below_mm, 10, rounding_mm);
  EXPECT_LT((lure.outside[2].at_mm - Vec3(10, 0, -17.5)).norm(), rounding_mm);
  for (const SpreadPart& part : lure.outside) EXPECT_EQ(part.name, "hanger");
  // 5 mm at z −12.5 twice, 5 mm at −17.5 twice, 20 mm at −20.
  EXPECT_NEAR(lure.parts[1].centre_mm.z(), (10 * -12.5 + 10 * -17.5 + 20 * -20) / 40, rounding_mm);
  expect_sums_up(lure);
}

TEST(WireThatEndsInTheSkin, HasNoOutsidePart) {
  Rig rig = bare();
  rig.wires.push_back(
      {.density_g_cm3 = 7.9, .diameter_mm = 1, .path_mm = {{-50, 1, 2}, {50, 1, 2}}});
  EXPECT_TRUE(rigged(plank(), rig).outside.empty());
}

TEST(Hook, WeighsAtItsEyeAndSpreadsBelowItToTwiceItsHang) {
  Rig rig = bare();
  rig.hooks.push_back({.name = "treble",
                       .eye_mm = {12, 0, -16},
                       .mass_g = 15.7,
                       .density_g_cm3 = 7.85,
                       .hang_mm = 20});
  rig.hooks.push_back({.name = "ring", .eye_mm = {-50, 0, 0}, .mass_g = 1, .density_g_cm3 = 7.9});
  const RiggedLure lure = rigged(plank(), rig);
  ASSERT_EQ(lure.outside.size(), 2U);
  EXPECT_EQ(lure.outside[0].name, "treble");
  EXPECT_EQ(lure.outside[0].at_mm, Vec3(12, 0, -16));
  EXPECT_DOUBLE_EQ(lure.outside[0].volume_mm3, 2000);
  EXPECT_EQ(lure.outside[0].below_mm, 40);
  EXPECT_EQ(lure.outside[0].above_mm, 0);
  EXPECT_EQ(lure.outside[1].below_mm, 2) << "a part with no hang is spread over 2 mm";
  EXPECT_EQ(lure.parts[1].centre_mm, Vec3(12, 0, -16));
  EXPECT_NEAR(lure.parts[0].mass_g, 24, 1e-12) << "a hook takes no wood away";
  expect_sums_up(lure);
}

TEST(Parts, ComeInTheOrderOfTheSheetEachWithItsKind) {
  const RiggedLure lure = rigged(plank(), full_rig());
  std::vector<std::pair<std::string, PartKind>> parts;
  for (const MassPart& part : lure.parts) parts.emplace_back(part.name, part.kind);
  const std::vector<std::pair<std::string, PartKind>> expected = {
      {"wood", PartKind::wood},     {"finish", PartKind::finish}, {"wire", PartKind::wire},
      {"belly", PartKind::ballast}, {"tail", PartKind::ballast},  {"wet slot", PartKind::pocket},
      {"treble", PartKind::hook},   {"lip", PartKind::outside}};
  EXPECT_EQ(parts, expected) << "the pocket that holds nothing is not among them";
  expect_sums_up(lure);
}

// Common practice, no published source: makers speak of some 20 g of weight for 100 g of wood. Here
// 24 g of wood before drilling, 4.8 g of weight; a hook of 3.6 g makes it 35.
TEST(Ratio, IsAllThatIsNotWoodToAHundredGramsOfUndrilledWood) {
  Rig rig = bare();
  rig.ballasts.push_back({.name = "belly", .mass_g = 4.8, .density_g_cm3 = 11.34});
  EXPECT_NEAR(rigged(plank(), rig).ratio_g_per_100g_wood, 20, 1e-9);
  rig.hooks.push_back({.name = "treble", .mass_g = 3.6, .density_g_cm3 = 7.85});
  const RiggedLure lure = rigged(plank(), rig);
  EXPECT_NEAR(lure.ratio_g_per_100g_wood, 35, 1e-9);
  EXPECT_NEAR(lure.ratio_without_hooks_g_per_100g_wood, 20, 1e-9);
  EXPECT_NEAR(lure.undrilled_wood_g, 24, 1e-12);
}

// A law: body and rig turned and moved together carry their centre of mass along.
TEST(MassModel, TurnsAndMovesWithTheLure) {
  Rig rig = bare();
  rig.ballasts.push_back({.name = "b", .at_mm = {20, 1, -7}, .mass_g = 9, .density_g_cm3 = 11.34});
  rig.hooks.push_back({.name = "h", .eye_mm = {0, 0, -16}, .mass_g = 5, .density_g_cm3 = 7.85});
  rig.wires.push_back({.name = "w",
                       .density_g_cm3 = 7.9,
                       .diameter_mm = 1.2,
                       .path_mm = {{-60, 0, 1}, {3, 0.5, -3}, {70, -1, 2}}});
  const RiggedLure still = rigged(plank(), rig);
  for (unsigned seed = 1; seed <= 5; ++seed) {
    const Mat3 turn = test_bodies::random_turn(seed);
    const Vec3 shift(100, -40, 10 * seed);
    Rig moved_rig = rig;
    for (Ballast& part : moved_rig.ballasts) part.at_mm = turn * part.at_mm + shift;
    for (Hook& part : moved_rig.hooks) part.eye_mm = turn * part.eye_mm + shift;
    for (Wire& part : moved_rig.wires) {
      for (Vec3& point : part.path_mm) point = turn * point + shift;
    }
    const RiggedLure turned = rigged(plank().moved(turn, shift), moved_rig);
    EXPECT_NEAR(turned.mass_g, still.mass_g, 1e-9) << seed;
    EXPECT_LT((turned.centre_of_mass_mm - turn * still.centre_of_mass_mm - shift).norm(), 1e-8)
        << seed;
    EXPECT_NEAR(turned.outside_volume_mm3, still.outside_volume_mm3, 1e-7) << seed;
  }
}

}  // namespace
}  // namespace trueblank::rig
