// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/resolve_copy.h"

#include <gmock/gmock.h>

#include "framed_bodies.h"
#include "sheet_fixture.h"
#include "support/bodies.h"

namespace trueblank::sheet {
namespace {

using geometry::Mat3;
using geometry::Vec3;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

class ResolveCopy : public InAFolder {};

/// A box like plank(), of other sides, its nose at `nose_mm`.
body::FramedBody box_from(double nose_mm, double l_mm, double w_mm, double h_mm) {
  return framed(test_bodies::moved(test_bodies::box(l_mm, w_mm, h_mm), Mat3::Identity(),
                                   Vec3(nose_mm + l_mm / 2, 0, 0)),
                l_mm);
}

CopyRig on_copy(const std::string& text, const body::FramedBody& copy) {
  const Sheet sheet = parse_sheet(text, "needle.toml");
  return resolve_copy(sheet, plank(), resolve(sheet, plank()), copy);
}

std::string wood_of(const std::string& line) {
  return "[body]\nmesh = \"needle.stl\"\n[wood]\n" + line + "\n";
}

// 100 × 20 × 30 mm is 60 cm³, 24 g of wood at 0.4; 2 % longer it is 24.48 g of the same wood.
TEST_F(ResolveCopy, ItsWoodIsAsDenseAsTheWeighedMasters) {
  const CopyRig copy = on_copy(wood_of("weighed = 24"), box_from(0, 102, 20, 30));
  ASSERT_TRUE(copy.rig);
  EXPECT_NEAR(copy.wood_density_g_cm3, 0.4, 1e-12);
  EXPECT_NEAR(copy.rig->rig.wood_density_g_cm3, 0.4, 1e-12);
  EXPECT_FALSE(copy.rig->rig.wood_weighed);
  EXPECT_THAT(copy.warnings, IsEmpty());
}

// Each half at its own density: 30 cm³ of 12 g left, 11.4 g right; a copy 1 mm wider to the right
// has 33 cm³ there.
TEST_F(ResolveCopy, EachHalfIsAsDenseAsTheMasters) {
  const body::FramedBody copy = framed(
      test_bodies::moved(test_bodies::box(100, 21, 30), Mat3::Identity(), Vec3(50, 0.5, 0)), 100);
  const CopyRig rigged = on_copy(wood_of("halves = { left = 12, right = 11.4 }"), copy);
  ASSERT_TRUE(rigged.rig);
  ASSERT_TRUE(rigged.rig->rig.halves);
  EXPECT_NEAR(rigged.rig->rig.halves->left_g, 12, 1e-9);
  EXPECT_NEAR(rigged.rig->rig.halves->right_g, 11.4 * 33 / 30, 1e-9);
  EXPECT_NEAR(rigged.wood_density_g_cm3, (12 + 11.4 * 1.1) / 63, 1e-12);
}

// A box 0.3 mm thicker all round its sides: the coat is as dense as that of the master was.
TEST_F(ResolveCopy, AWeighedCoatIsAsDense) {
  const std::string text =
      wood_of("density = 0.4") + "[finish]\nthickness = 0.3\nweighed = \"3.4 g\"\n";
  const Sheet sheet = parse_sheet(text, "needle.toml");
  const ResolvedRig masters = resolve(sheet, plank());
  const body::FramedBody copy = box_from(0, 104, 20, 30);
  const CopyRig rigged = resolve_copy(sheet, plank(), masters, copy);
  ASSERT_TRUE(rigged.rig && rigged.rig->coated);
  const double masters_mm3 =
      geometry::moments(*masters.coated).volume_mm3 - plank().whole.volume_mm3;
  const double copys_mm3 =
      geometry::moments(*rigged.rig->coated).volume_mm3 - copy.whole.volume_mm3;
  EXPECT_GT(copys_mm3, 1.02 * masters_mm3);
  EXPECT_NEAR(*rigged.rig->rig.finish->weighed_g, 3.4 * copys_mm3 / masters_mm3, 1e-12);
}

// Wood that isn't even balances as far off the centroid in the copy.
TEST_F(ResolveCopy, UnevenWoodBalancesAsFarOff) {
  const CopyRig copy = on_copy(wood_of("weighed = 24\nbalance = 52"), box_from(1, 100, 20, 30));
  ASSERT_TRUE(copy.rig);
  ASSERT_TRUE(copy.rig->rig.wood_balance_mm);
  EXPECT_NEAR(*copy.rig->rig.wood_balance_mm, 53, 1e-9);
}

constexpr const char* two_weights =
    "[[ballast]]\nname = \"belly\"\nmass = 3\nmetal = \"lead\"\n"
    "at = { station = 40, above_belly = 6 }\n"
    "[[ballast]]\nname = \"back\"\nmass = 1\nmetal = \"lead\"\nat = [60, 12]\n";

// Stations count from the master's nose; heights from the copy's own skin.
TEST_F(ResolveCopy, PlacesLieAlike) {
  const CopyRig copy = on_copy(sheet_with(two_weights), box_from(-1, 102, 20, 31));
  ASSERT_TRUE(copy.rig);
  ASSERT_EQ(copy.rig->rig.ballasts.size(), 2U);
  EXPECT_EQ(copy.rig->rig.ballasts[0].at_mm, Vec3(40, 0, -15.5 + 6));
  EXPECT_EQ(copy.rig->rig.ballasts[1].at_mm, Vec3(60, 0, 12));
  EXPECT_FALSE(copy.places_as_in_master);
}

TEST_F(ResolveCopy, SaysWhichPartHasNoPlaceInTheCopy) {
  const CopyRig copy = on_copy(sheet_with(two_weights), box_from(0, 100, 20, 23));
  EXPECT_FALSE(copy.rig);
  EXPECT_THAT(
      copy.warnings,
      ElementsAre("The copy can't be rigged as the sheet says, so that the two are not compared in "
                  "the water. On the copy, needle.toml:14:1: ballast \"back\" is 0.5 mm outside "
                  "the body."));
}

// An eye at the tail that the copy ends short of stays where the master's is.
TEST_F(ResolveCopy, AnEyeBeyondAShorterCopyStaysWhereTheMastersIs) {
  const CopyRig copy = on_copy(sheet_with("[[hook]]\nname = \"tail\"\nmass = 3\nmetal = \"steel\"\n"
                                          "eye = { station = 100, above_belly = 10 }\n"),
                               box_from(0, 99, 20, 30));
  ASSERT_TRUE(copy.rig);
  EXPECT_TRUE(copy.places_as_in_master);
  EXPECT_EQ(copy.rig->rig.hooks[0].eye_mm, Vec3(100, 0, -5));
  EXPECT_THAT(copy.warnings,
              ElementsAre("The copy's parts are taken to lie where the master's do, since not all "
                          "can be placed by its own skin. On the copy, needle.toml:9:1: station "
                          "100 is not on the body."));
}

// A body that the sheet draws has its places checked against its own line; a copy's file may lie
// anywhere.
TEST_F(ResolveCopy, WhereItsFileLiesIsNoMatter) {
  const auto section = [](int station) {
    return "[[section]]\nstation = " + std::to_string(station) +
           "\nwidth = 20\nabove = 15\nbelow = 15\n";
  };
  const std::string text = section(0) + section(100) + "[wood]\ndensity = 0.4\n";
  body::FramedBody copy = box_from(0, 100, 20, 30);
  copy.frame.origin_mm = Vec3(3, 40, 25);
  const CopyRig rigged = on_copy(text, copy);
  ASSERT_TRUE(rigged.rig);
  EXPECT_THAT(rigged.warnings, IsEmpty());
}

// What the sheet's places for weights ask of the master asks nothing of the copy.
TEST_F(ResolveCopy, WishesAreTheMastersAlone) {
  const CopyRig copy =
      on_copy(sheet_with("[target]\nstate = \"floats\"\n[[place]]\nname = \"p\"\nx = [96, 99]\n"
                         "z = [-2, 2]\nmass = [0, 5]\nmetal = \"lead\"\n"),
              box_from(0, 95, 20, 30));
  ASSERT_TRUE(copy.rig);
  EXPECT_TRUE(copy.rig->wishes.places.empty());
}

}  // namespace
}  // namespace trueblank::sheet
