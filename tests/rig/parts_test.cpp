// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <numbers>

#include "rigs.h"

namespace trueblank::rig {
namespace {

using std::numbers::pi;

const MassPart& named(const RiggedLure& lure, const std::string& name) {
  for (const MassPart& part : lure.parts) {
    if (part.name == name) return part;
  }
  ADD_FAILURE() << "no part is named " << name;
  return lure.parts.front();
}

// Source: the coated plank is longer, wider and higher by 2t/√3 each.
TEST(Finish, WeighsItsDensityTimesTheVolumeThatItAdds) {
  Rig rig = bare();
  rig.finish = Finish{.thickness_mm = 0.3, .density_g_cm3 = 1.15};
  const RiggedLure lure = rigged(plank(), rig);
  const double more = 0.6 / std::sqrt(3);
  const double added = (100 + more) * (20 + more) * (30 + more) - 60000;
  ASSERT_EQ(lure.parts.size(), 2U);
  EXPECT_EQ(lure.parts[1].name, "finish");
  EXPECT_NEAR(lure.parts[1].mass_g, 1.15e-3 * added, 1e-10);
  EXPECT_NEAR(lure.parts[0].mass_g, 24, 1e-12) << "the wood fills the bare body";
  EXPECT_TRUE(lure.outside.empty());
  EXPECT_EQ(lure.ratio_g_per_100g_wood, 0) << "the ratio leaves the finish out";
}

// A second way: the shell as a body of its own, the bare one a cavity in the coated one.
TEST(Finish, LiesAtTheShellsCentroid) {
  const ClosedMesh bare_body = test_bodies::closed(test_bodies::glider(4000));
  const std::optional<ClosedMesh> coat = geometry::coated(bare_body, 0.4);
  ASSERT_TRUE(coat);
  const geometry::Moments shell = geometry::moments(test_bodies::closed(
      test_bodies::joined(coat->mesh(), test_bodies::inside_out(bare_body.mesh()))));
  for (const bool weighed : {false, true}) {
    Rig rig = bare();
    rig.finish = Finish{.thickness_mm = 0.4, .density_g_cm3 = 1.15};
    if (weighed) rig.finish = Finish{.thickness_mm = 0.4, .weighed_g = 3.4};
    const MassPart finish = named(rigged(bare_body, rig), "finish");
    EXPECT_NEAR(finish.mass_g, weighed ? 3.4 : 1.15e-3 * shell.volume_mm3, 1e-8);
    EXPECT_LT((finish.centre_mm - shell.centroid_mm).norm(), 1e-6);
  }
}

TEST(Finish, LaidOnHereOrGivenIsTheSame) {
  const Rig rig = full_rig();
  const geometry::Moments whole = geometry::moments(plank());
  const std::optional<ClosedMesh> coat = geometry::coated(plank(), 0.3);
  ASSERT_TRUE(coat);
  expect_alike(rig::rigged(plank(), whole, rig),
               rig::rigged(plank(), whole, rig, geometry::moments(*coat)), 0, 1e-300);
}

TEST(WoodBalance, SetsTheStationOfTheUndrilledWoodAlone) {
  Rig rig = bare();
  rig.wood_balance_mm = 4;
  const RiggedLure blank = rigged(plank(), rig);
  EXPECT_LT((blank.centre_of_mass_mm - Vec3(4, 0, 0)).norm(), 1e-12);
  EXPECT_EQ(blank.blank_balance_mm, 4);
  // 3 g at (20, 0, −5) in 0.25 cm³ of wood: by hand.
  rig.ballasts = {{.name = "b", .at_mm = {20, 0, -5}, .mass_g = 3, .density_g_cm3 = 12}};
  const RiggedLure lure = rigged(plank(), rig);
  EXPECT_NEAR(lure.centre_of_mass_mm.x(), (24 * 4 - 0.1 * 20 + 3 * 20) / 26.9, 1e-12);
  EXPECT_NEAR(lure.centre_of_mass_mm.z(), (0.1 * 5 - 3 * 5) / 26.9, 1e-12);
  EXPECT_EQ(lure.blank_balance_mm, 4);
}

// Source: 100 mm of the wire are inside the plank, 40 mm outside.
TEST(WeighedWire, WeighsThatAndFillsWhatItsDiameterSays) {
  Rig rig = bare();
  rig.wires = {{.name = "wire",
                .density_g_cm3 = 7.9,
                .diameter_mm = 1.6,
                .path_mm = {{-65, 2, 4}, {75, 2, 4}},
                .weighed_g = 2.5}};
  const RiggedLure lure = rigged(plank(), rig);
  EXPECT_EQ(named(lure, "wire").mass_g, 2.5);
  EXPECT_LT((named(lure, "wire").centre_mm - Vec3(5, 2, 4)).norm(), 1e-12);
  EXPECT_NEAR(lure.parts[0].mass_g, 24 - 0.4e-3 * 100 * pi * 0.64, 1e-12);
  EXPECT_NEAR(lure.outside_volume_mm3, 40 * pi * 0.64, 1e-9);
}

TEST(SeveralWires, AreEachCutAtTheSkin) {
  Rig rig = bare();
  const Wire wire{
      .name = "nose", .density_g_cm3 = 8, .diameter_mm = 2, .path_mm = {{-60, 0, 0}, {-30, 0, 0}}};
  rig.wires = {wire, wire};
  rig.wires[1].name = "tail";
  rig.wires[1].path_mm = {{30, 0, 0}, {55, 0, 0}};
  const RiggedLure lure = rigged(plank(), rig);
  ASSERT_EQ(lure.outside.size(), 2U);
  EXPECT_NEAR(lure.outside[0].volume_mm3, 10 * pi, 1e-9);
  EXPECT_NEAR(lure.outside[1].volume_mm3, 5 * pi, 1e-9);
  EXPECT_NEAR(lure.parts[0].mass_g, 24 - 0.4e-3 * 40 * pi, 1e-12);
}

// A hole drilled from under the belly (z −15): from z −20 to 0, 15 mm of it in the wood.
Pocket belly_hole(double filling_g_cm3) {
  return {.name = "hole",
          .at_mm = {10, 3, -10},
          .diameter_mm = 8,
          .depth_mm = 20,
          .axis = HoleAxis::upright,
          .filling_density_g_cm3 = filling_g_cm3};
}

TEST(Pocket, TakesTheWoodOfItsHoleAsFarAsItLiesInside) {
  Rig rig = bare();
  rig.pockets = {belly_hole(0)};
  const RiggedLure lure = rigged(plank(), rig);
  const double taken = 0.4e-3 * 15 * 16 * pi;
  ASSERT_EQ(lure.parts.size(), 1U) << "nothing fills it";
  EXPECT_NEAR(lure.mass_g, 24 - taken, 1e-12);
  const Vec3 centre = -taken / (24 - taken) * Vec3(10, 3, -7.5);
  EXPECT_LT((lure.centre_of_mass_mm - centre).norm(), 1e-12);
  EXPECT_TRUE(lure.outside.empty()) << "the skin is left alone";
}

TEST(FilledPocket, HoldsItsFillingAsFarAsItLiesInside) {
  Rig rig = bare();
  rig.pockets = {belly_hole(1.15)};
  const MassPart filling = named(rigged(plank(), rig), "hole");
  EXPECT_EQ(filling.kind, PartKind::pocket);
  EXPECT_NEAR(filling.mass_g, 1.15e-3 * 15 * 16 * pi, 1e-12);
  EXPECT_LT((filling.centre_mm - Vec3(10, 3, -7.5)).norm(), 1e-12);
}

// A law: what is drilled and filled with the very wood is as it was.
TEST(FilledPocket, OfWoodIsWood) {
  Rig rig = bare();
  for (const HoleAxis axis : {HoleAxis::along, HoleAxis::across, HoleAxis::upright}) {
    rig.pockets.push_back(belly_hole(0.4));
    rig.pockets.back().axis = axis;
    rig.pockets.back().at_mm.x() += 20;
  }
  const RiggedLure lure = rigged(plank(), rig);
  EXPECT_NEAR(lure.mass_g, 24, 1e-12);
  EXPECT_LT(lure.centre_of_mass_mm.norm(), 1e-12);
}

// Source: by hand: from 20 mm before its middle to the tail end at x = 50, between the flanks at
// y = ±10, between belly and back at z = ±15.
TEST(PocketAxes, PointAlongAcrossAndUp) {
  for (const auto& [axis, inside_mm] :
       {std::pair(HoleAxis::along, 25.), std::pair(HoleAxis::across, 20.),
        std::pair(HoleAxis::upright, 30.)}) {
    Rig rig = bare();
    rig.pockets = {
        {.name = "p", .at_mm = {45, 0, 0}, .diameter_mm = 2, .depth_mm = 40, .axis = axis}};
    EXPECT_NEAR(24 - rigged(plank(), rig).mass_g, 0.4e-3 * pi * inside_mm, 1e-12);
  }
}

// Source: by hand: 24 g at 0, a hook of 8 g at 12, and 0.754 g of water at 10 that is not there
// when the lure is balanced on an edge.
TEST(DryLure, IsWithoutTheWaterInItsPockets) {
  Rig rig = bare();
  rig.pockets = {belly_hole(1)};
  rig.pockets[0].filled_with_water = true;
  rig.hooks = {{.name = "h", .eye_mm = {12, 0, -16}, .mass_g = 8, .density_g_cm3 = 8}};
  const RiggedLure lure = rigged(plank(), rig);
  const double hole_cm3 = 15 * 16 * pi / 1000;
  EXPECT_NEAR(named(lure, "hole").mass_g, hole_cm3, 1e-12);
  EXPECT_NEAR(lure.mass_g, 32 + 0.6 * hole_cm3, 1e-12);
  EXPECT_NEAR(lure.dry_mass_g, 32 - 0.4 * hole_cm3, 1e-12);
  EXPECT_NEAR(lure.dry_balance_mm, (8 * 12 - 0.4 * hole_cm3 * 10) / lure.dry_mass_g, 1e-12);
  EXPECT_NEAR(lure.blank_balance_mm, 0, 1e-12);
}

TEST(OutsidePart, ActsAtItsOwnMiddleOverTwoMillimetres) {
  Rig rig = bare();
  rig.outsides = {{.name = "lip", .at_mm = {-55, 1, -12}, .mass_g = 3, .density_g_cm3 = 1.2}};
  const RiggedLure lure = rigged(plank(), rig);
  ASSERT_EQ(lure.outside.size(), 1U);
  EXPECT_EQ(lure.outside[0].name, "lip");
  EXPECT_EQ(lure.outside[0].at_mm, Vec3(-55, 1, -12));
  EXPECT_DOUBLE_EQ(lure.outside[0].volume_mm3, 2500);
  EXPECT_EQ(lure.outside[0].below_mm, 1);
  EXPECT_EQ(lure.outside[0].above_mm, 1);
  EXPECT_EQ(named(lure, "lip").mass_g, 3);
  EXPECT_NEAR(lure.parts[0].mass_g, 24, 1e-12) << "it takes no wood away";
}

// Source: by hand: 4.8 g of weight, 3 g of lip and 3.6 g of hook on 24 g of undrilled wood.
TEST(Ratio, LeavesWoodAndFinishOut) {
  Rig rig = bare();
  rig.finish = Finish{.thickness_mm = 0.3, .weighed_g = 3.4};
  rig.ballasts = {{.name = "b", .mass_g = 4.8, .density_g_cm3 = 7.29}};
  rig.outsides = {{.name = "lip", .at_mm = {-55, 0, 0}, .mass_g = 3, .density_g_cm3 = 1.2}};
  rig.hooks = {{.name = "h", .mass_g = 3.6, .density_g_cm3 = 7.85}};
  const RiggedLure lure = rigged(plank(), rig);
  EXPECT_NEAR(lure.ratio_g_per_100g_wood, 100 * 11.4 / 24, 1e-11);
  EXPECT_NEAR(lure.ratio_without_hooks_g_per_100g_wood, 100 * 7.8 / 24, 1e-11);
}

}  // namespace
}  // namespace trueblank::rig
