// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/copied_sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "invented_builds.h"
#include "sheet/build_sheet.h"
#include "sheet/contents.h"

namespace trueblank::notebook {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

const std::string everything = R"(# the old sheet
title = "Needle 165"
[body]
mesh = "a.stl"           # as scanned
units = "mm"
height = 22
baseline = { nose = [-8, 0], tail = [173, 0] }
displaced = "74.2 g"
[wood]
weighed = "31.4 g"
[finish]
thickness = 0.3
density = 1.15
[[wire]]
metal = "stainless steel"
diameter = 1.6
path = [[-8, -1], [20, -2],
        [165, 0], [173, 0]]
[[ballast]]
name = "belly"
at = ["2.75 in", -9]
mass = "9 g"
metal = "lead"
diameter = 8
axis = "upright"
[[pocket]]
at = [100, 0, 2]
diameter = 8
depth = 20
axis = "across"
[[hook]]
name = "belly treble"
eye = { station = 62, below_belly = 1 }
mass = "14 g"
metal = "steel"
hang = 20
[[outside]]
name = "lip"
at = [3, -8]
mass = 2
metal = "steel"
[line]
eye = [-8, -1]
[tolerances]
place = 0.5
[target]
tail_down = 12
reserve = "4 g"
wall_min = 4
[[place]]
name = "tail"
x = [120, 150]
above_belly = 4
mass = [0, 20]
metal = "lead"
diameter = 8
)";

class ACopy : public testing::Test {
 protected:
  ACopy() { std::ofstream(scratch.path("a.stl")) << "solid a"; }

  // As a program reads it: nothing in it may have come apart.
  [[nodiscard]] sheet::Sheet read(const std::string& text) const {
    try {
      return sheet::parse_sheet(text, scratch.path("copy.toml"));
    } catch (const geometry::InputError& error) {
      ADD_FAILURE() << geometry::one_line(error) << '\n' << text;
      throw;
    }
  }

  Scratch scratch;
};

CopyWish twice(double density_g_cm3 = 0.372) {
  return {.origin = "copied from build 12, \"Needle\n165\"",
          .new_length_mm = 330,
          .old_length_mm = 165,
          .wood_density_g_cm3 = density_g_cm3};
}

TEST_F(ACopy, AsItWasSaysWhereItIsFromAndChangesNothing) {
  const CopiedSheet copy =
      copied_sheet(everything, {.origin = "copied from build 12, \"Needle\n165\""});
  EXPECT_EQ(copy.text, "# copied from build 12, \"Needle 165\"\n" + everything);
  EXPECT_THAT(copy.warnings, IsEmpty());
  const std::string other = "\xEF\xBB\xBFtitle = \"a\"\r\n";
  EXPECT_EQ(copied_sheet(other, {.origin = "copied from build 1"}).text,
            "\xEF\xBB\xBF# copied from build 1\r\ntitle = \"a\"\r\n");
}

TEST_F(ACopy, OfTwiceTheLengthHasEveryPlaceTwiceAsFar) {
  const sheet::Sheet copied = read(copied_sheet(everything, twice()).text);
  const sheet::Sheet::Contents& copy = copied.contents();
  const auto point = [](double x, double y, double z) { return geometry::Vec3(x, y, z); };
  EXPECT_EQ(copy.hints.length_mm, 330);
  EXPECT_EQ(copy.hints.units, std::nullopt);
  EXPECT_EQ(copy.hints.height_mm, 44);
  EXPECT_EQ(copy.hints.dunk.has_value(), false);
  EXPECT_EQ(copy.baseline->nose.axes_mm, point(-16, 0, 0));
  EXPECT_EQ(copy.baseline->tail.axes_mm, point(346, 0, 0));
  ASSERT_EQ(copy.wires.at(0).path.size(), 4U);
  EXPECT_EQ(copy.wires[0].path[1].axes_mm, point(40, 0, -4));
  EXPECT_EQ(copy.wires[0].path[2].axes_mm, point(330, 0, 0));
  EXPECT_EQ(copy.ballasts.at(0).at.axes_mm, point(139.7, 0, -18));  // 2 · 2.75 · 25.4
  EXPECT_EQ(copy.pockets.at(0).at.axes_mm, point(200, 0, 4));
  EXPECT_EQ(copy.pockets[0].part.diameter_mm, 16);
  EXPECT_EQ(copy.pockets[0].part.depth_mm, 40);
  EXPECT_EQ(copy.hooks.at(0).eye.station_mm, 124);
  EXPECT_EQ(copy.hooks[0].eye.distance_mm, 2);
  EXPECT_EQ(copy.outsides.at(0).at.axes_mm, point(6, 0, -16));
  EXPECT_EQ(copy.line_eye.at->axes_mm, point(-16, 0, -2));
  EXPECT_EQ(copy.places.at(0).part.x_mm.low, 240);
  EXPECT_EQ(copy.places[0].part.x_mm.high, 300);
  EXPECT_EQ(copy.places[0].part.height_mm->low, 8);
}

TEST_F(ACopy, KeepsWhatIsBoughtAndWhatIsWished) {
  const sheet::Sheet copied = read(copied_sheet(everything, twice()).text);
  const sheet::Sheet::Contents& copy = copied.contents();
  EXPECT_EQ(copy.wires.at(0).part.diameter_mm, 1.6);
  EXPECT_EQ(copy.ballasts.at(0).part.mass_g, 9);
  EXPECT_EQ(copy.ballasts[0].part.diameter_mm, 8);
  EXPECT_EQ(copy.hooks.at(0).part.mass_g, 14);
  EXPECT_EQ(copy.hooks[0].part.hang_mm, 20);
  EXPECT_EQ(copy.outsides.at(0).part.mass_g, 2);
  EXPECT_EQ(copy.finish->part.thickness_mm, 0.3);
  EXPECT_EQ(copy.tolerances.place_mm, 0.5);
  EXPECT_EQ(copy.target->part.reserve_g, 4);
  EXPECT_EQ(copy.target->part.wall_min_mm, 4);
  EXPECT_EQ(copy.places.at(0).part.mass_g.high, 20);
  EXPECT_EQ(copy.places[0].part.diameters_mm, std::vector<double>{8});
}

TEST_F(ACopy, TakesTheDensityThatTheOldBlankHad) {
  const CopiedSheet copy = copied_sheet(everything, twice(0.37244));
  EXPECT_EQ(read(copy.text).contents().wood.density_g_cm3, 0.3724);
  EXPECT_EQ(read(copy.text).contents().wood.weighed_g, std::nullopt);
  EXPECT_THAT(copy.text, HasSubstr("density = 0.3724\n# weighed = \"31.4 g\"\n"));
}

TEST_F(ACopy, KeepsEachChangedLineAboveTheNewOne) {
  const std::string text = copied_sheet(everything, twice()).text;
  EXPECT_THAT(text, HasSubstr("# copied from build 12, \"Needle 165\"\n# the old sheet\n"));
  EXPECT_THAT(text, HasSubstr("[body]\nlength = 330\nmesh = \"a.stl\"           # as scanned\n"));
  EXPECT_THAT(text, HasSubstr("# units = \"mm\"\n# height = 22\nheight = 44\n"));
  EXPECT_THAT(text, HasSubstr("# displaced = \"74.2 g\"\n"));
  EXPECT_THAT(text, HasSubstr("# path = [[-8, -1], [20, -2],\n#         [165, 0], [173, 0]]\n"
                              "path = [[-16, -2], [40, -4],\n        [330, 0], [346, 0]]\n"));
  EXPECT_THAT(text, HasSubstr("# eye = { station = 62, below_belly = 1 }\n"
                              "eye = { station = 124, below_belly = 2 }\n"));
  EXPECT_THAT(text, HasSubstr("# at = [\"2.75 in\", -9]\nat = [139.7, -18]\n"));
}

TEST_F(ACopy, SaysWhatDoesNotScale) {
  EXPECT_THAT(
      copied_sheet(everything, twice()).warnings,
      ElementsAre(
          "The design is scaled by 2, and so the water that it displaces by 8; hooks, wire and "
          "weights are not: they keep their grams, diameters and hang, so find the weights anew.",
          "The wood's density, 0.372 g/cm³, is what the old blank's weight made it.",
          "The dunk test of the old body is left out.",
          "The target's grams and stiffness are those of the old lure."));
}

TEST_F(ACopy, OfABodyBySectionsScalesTheSections) {
  std::string drawn = "[wood]\nspecies = \"balsa\"\n";
  for (int i = 0; i < 3; ++i) {
    drawn += "[[section]]\nstation = " + std::to_string(50 * i) +
             "\nwidth = " + (i == 1 ? "20" : "0") + "\nabove = " + (i == 1 ? "10" : "0") +
             "\nbelow = " + (i == 1 ? "12\nwidest = 1\n" : "0\n");
  }
  const sheet::Sheet old = read(drawn);
  const CopiedSheet copy = copied_sheet(
      drawn, {.origin = "copied from build 1", .new_length_mm = 150, .old_length_mm = 100});
  const sheet::Sheet copied = read(copy.text);
  const auto& before = old.contents().drawn->mesh_mm.positions_mm;
  const auto& after = copied.contents().drawn->mesh_mm.positions_mm;
  const auto extent = [](const auto& positions) -> geometry::Vec3 {
    return positions.rowwise().maxCoeff() - positions.rowwise().minCoeff();
  };
  EXPECT_NEAR((extent(after) - 1.5 * extent(before)).norm(), 0, 1e-9);
  EXPECT_THAT(copy.text, Not(HasSubstr("length")));
}

TEST_F(ACopy, OfTablesInBracesKeepsThemWhole) {
  const std::string braces =
      "body = { mesh = \"a.stl\" }\n"
      "wood = { species = \"balsa\" }\n"
      "hook = [{ eye = [60, -9], mass = 14, metal = \"steel\" },\n"
      "        { eye = [150, -5], mass = 14, metal = \"steel\" }]\n";
  const CopiedSheet copy = copied_sheet(braces, twice());
  EXPECT_EQ(copy.text,
            "# copied from build 12, \"Needle 165\"\n"
            "# body = { mesh = \"a.stl\" }\n"
            "body = { length = 330, mesh = \"a.stl\" }\n"
            "wood = { species = \"balsa\" }\n"
            "# hook = [{ eye = [60, -9], mass = 14, metal = \"steel\" },\n"
            "#         { eye = [150, -5], mass = 14, metal = \"steel\" }]\n"
            "hook = [{ eye = [120, -18], mass = 14, metal = \"steel\" },\n"
            "        { eye = [300, -10], mass = 14, metal = \"steel\" }]\n");
  EXPECT_EQ(read(copy.text).hints().length_mm, 330);
}

TEST_F(ACopy, OfDottedKeysIsReadToo) {
  const std::string dotted =
      "body.mesh = \"a.stl\"\nbody.nose_point = \"0,1.5,-2\"\nwood.species = \"balsa\"\n";
  const CopiedSheet copy = copied_sheet(dotted, twice());
  EXPECT_EQ(copy.text,
            "# copied from build 12, \"Needle 165\"\n"
            "body.length = 330\n"
            "body.mesh = \"a.stl\"\n"
            "# body.nose_point = \"0,1.5,-2\"\n"
            "body.nose_point = [0, 3, -4]\n"
            "wood.species = \"balsa\"\n");
  EXPECT_EQ(read(copy.text).hints().nose_point, geometry::Vec3(0, 3, -4));
}

TEST_F(ACopy, ReplacesALengthThatWasGiven) {
  const std::string text =
      "[body]\nmesh = \"a.stl\"\nlength = \"16.5 cm\"\n[wood]\nspecies = \"balsa\"\n";
  EXPECT_THAT(copied_sheet(text, twice()).text,
              HasSubstr("# length = \"16.5 cm\"\nlength = 330\n"));
}

TEST_F(ACopy, NeedsTheOldLengthForANewOne) {
  EXPECT_EQ(refusal([] { (void)copied_sheet(everything, {.new_length_mm = 200}); }),
            "the old body's length is not known, so that its design can't be scaled; copy it as it "
            "is and scale the mesh by [body] length");
  EXPECT_EQ(
      refusal([] { (void)copied_sheet(everything, {.new_length_mm = -1, .old_length_mm = 165}); }),
      "--length: a length is more than 0; write the new body's length in mm, as --length "
      "200");
}

}  // namespace
}  // namespace trueblank::notebook
