// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/materials.h"
#include "sheet/contents.h"
#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

class Sheets : public InAFolder {};

constexpr std::string_view full_sheet = R"(sheet = 1
title = "Needle 165, cedar, second try"

[body]
mesh   = "needle.stl"
length = 165
units  = "cm"
nose   = "-x"
back   = "+z"

[wood]
species = "western redcedar"

[water]
kind = "sea"
temperature = 12

[[wire]]
metal = "stainless steel"
diameter = 1.6
path = [[-8, -1], [20, -2], [165, 0, 0.5], { station = 150, above_belly = 2 }]

[[ballast]]
name = "belly"
at = [70, -9]
mass = "9 g"
metal = "lead"
diameter = "1/4 in"
axis = "upright"

[[hook]]
name = "belly treble"
eye = { station = 62, below_belly = 1, right = 0.5 }
mass = "1/2 oz"
metal = "steel"
hang = 20

[[hook]]
name = "tail ring"
eye = ["0.5 in", 0, "-1 cm"]
mass = 1
density = 7.9
)";

TEST_F(Sheets, AreReadKeyByKey) {
  const Sheet sheet = parse_sheet(full_sheet, "needle.toml");
  EXPECT_EQ(sheet.path(), "needle.toml");
  EXPECT_EQ(sheet.title(), "Needle 165, cedar, second try");
  EXPECT_EQ(sheet.mesh_path(), "needle.stl");
  EXPECT_EQ(sheet.hints().length_mm, 165);
  EXPECT_EQ(sheet.hints().units, body::Unit::cm);
  ASSERT_TRUE(sheet.hints().nose && sheet.hints().back);
  EXPECT_EQ(*sheet.hints().nose, -Vec3::UnitX());
  EXPECT_EQ(*sheet.hints().back, Vec3::UnitZ());
  EXPECT_EQ(sheet.wood_name(), "western redcedar");

  const Sheet::Contents& contents = sheet.contents();
  EXPECT_EQ(contents.wood.density_g_cm3, rig::find_wood("western redcedar")->density_g_cm3);
  EXPECT_EQ(contents.water.salinity, 35);
  EXPECT_EQ(contents.water.temperature_c, 12);
  EXPECT_DOUBLE_EQ(contents.water.density_g_cm3, rig::water_density_kg_m3(35, 12) / 1000);

  ASSERT_EQ(contents.wires.size(), 1U);
  const WrittenWire& wire = contents.wires[0];
  EXPECT_EQ(wire.part.name, "wire");
  EXPECT_EQ(wire.part.density_g_cm3, 7.9);
  EXPECT_EQ(wire.part.diameter_mm, 1.6);
  ASSERT_EQ(wire.path.size(), 4U);
  EXPECT_EQ(wire.path[0].axes_mm, Vec3(-8, 0, -1)) << "of two numbers the second is z";
  EXPECT_EQ(wire.path[2].axes_mm, Vec3(165, 0, 0.5));
  EXPECT_EQ(wire.path[3].from, Place::From::above_belly);

  ASSERT_EQ(contents.ballasts.size(), 1U);
  const WrittenBallast& ballast = contents.ballasts[0];
  EXPECT_EQ(ballast.part.name, "belly");
  EXPECT_EQ(ballast.part.mass_g, 9);
  EXPECT_EQ(ballast.part.density_g_cm3, 11.34);
  EXPECT_DOUBLE_EQ(ballast.part.diameter_mm.value_or(0), 6.35);
  EXPECT_EQ(ballast.part.axis, rig::HoleAxis::upright);
  EXPECT_EQ(ballast.at.axes_mm, Vec3(70, 0, -9));

  ASSERT_EQ(contents.hooks.size(), 2U);
  const WrittenHook& treble = contents.hooks[0];
  EXPECT_DOUBLE_EQ(treble.part.mass_g, 14.1747615625);
  EXPECT_EQ(treble.part.hang_mm, 20);
  EXPECT_EQ(treble.eye.from, Place::From::below_belly);
  EXPECT_EQ(treble.eye.station_mm, 62);
  EXPECT_EQ(treble.eye.distance_mm, 1);
  EXPECT_EQ(treble.eye.right_mm, 0.5);
  EXPECT_EQ(contents.hooks[1].eye.axes_mm, Vec3(12.7, 0, -10));
  EXPECT_EQ(contents.hooks[1].part.hang_mm, 0);
}

TEST_F(Sheets, HaveFreshWaterOfFifteenDegreesWhereNoneIsGiven) {
  const Sheet sheet = parsed_with("");
  EXPECT_DOUBLE_EQ(sheet.contents().water.density_g_cm3, rig::water_density_kg_m3(0, 15) / 1000);
  EXPECT_EQ(sheet.title(), "");
  EXPECT_EQ(sheet.wood_name(), "");
}

TEST_F(Sheets, TakeAWaterBySalinityOrByDensity) {
  const Sheet brackish = parsed_with("[water]\nsalinity = 7\ntemperature = \"8 °C\"\n");
  EXPECT_DOUBLE_EQ(brackish.contents().water.density_g_cm3, rig::water_density_kg_m3(7, 8) / 1000);
  const Sheet given = parsed_with("[water]\ndensity = \"1012 kg/m3\"\n");
  EXPECT_DOUBLE_EQ(given.contents().water.density_g_cm3, 1.012);
  EXPECT_TRUE(given.contents().water.density_given);
  EXPECT_DOUBLE_EQ(parsed_with("[water]\nkind = \"fresh\"\n").contents().water.density_g_cm3,
                   rig::water_density_kg_m3(0, 15) / 1000);
}

constexpr std::string_view sheet_with_everything_else = R"([body]
mesh = "needle.stl"
baseline = { nose = [-8, -1], tail = { station = 165, below_back = 2 } }

[wood]
halves = { left = "15.9 g", right = 15.5 }
balance = "7.8 cm"

[finish]
thickness = 0.3
density = 1.15

[tank]
kind = "sea"

[[wire]]
metal = "stainless steel"
path = [[-8, -1], [165, 0]]
weighed = "6.1 g"

[[pocket]]
name = "rattle"
at = { station = 60, above_belly = 9 }
diameter = 8
depth = "2 cm"
axis = "across"

[[pocket]]
at = [90, 1, 2]
diameter = 3
depth = 5
axis = "along"
filled = "water"

[[hook]]
name = "belly treble"
eye = [62, -12]
mass = 14
metal = "steel"
size_up = "1/2 lb"

[[outside]]
name = "lip"
at = [-5, -10]
mass = "2.5 g"
density = 1.2

[tolerances]
mass = "0.2 g"
place = 0.5
wood_density = "5 %"
scale = 0.25

[line]
eye = "belly treble"
)";

TEST_F(Sheets, AreReadKeyByKeyInAllTheirTables) {
  const Sheet sheet = parse_sheet(sheet_with_everything_else, "needle.toml");
  const Sheet::Contents& contents = sheet.contents();
  ASSERT_TRUE(contents.baseline);
  EXPECT_EQ(contents.baseline->nose.axes_mm, Vec3(-8, 0, -1));
  EXPECT_EQ(contents.baseline->tail.from, Place::From::below_back);
  ASSERT_TRUE(contents.wood.halves);
  EXPECT_EQ(contents.wood.halves->left_g, 15.9);
  EXPECT_EQ(contents.wood.halves->right_g, 15.5);
  EXPECT_EQ(contents.wood.balance_mm, 78);
  ASSERT_TRUE(contents.finish);
  EXPECT_EQ(contents.finish->part.thickness_mm, 0.3);
  EXPECT_EQ(contents.finish->part.density_g_cm3, 1.15);
  EXPECT_FALSE(contents.finish->part.weighed_g);
  EXPECT_EQ(contents.tank.salinity, 35);
  EXPECT_EQ(contents.tank.temperature_c, 20) << "a tank stands in a room";
  EXPECT_EQ(contents.water.temperature_c, 15);
  EXPECT_EQ(contents.wires[0].part.weighed_g, 6.1);
  EXPECT_EQ(contents.wires[0].part.diameter_mm, 0) << "follows once the body is there";

  ASSERT_EQ(contents.pockets.size(), 2U);
  EXPECT_EQ(contents.pockets[0].part.name, "rattle");
  EXPECT_EQ(contents.pockets[0].at.from, Place::From::above_belly);
  EXPECT_EQ(contents.pockets[0].part.diameter_mm, 8);
  EXPECT_EQ(contents.pockets[0].part.depth_mm, 20);
  EXPECT_EQ(contents.pockets[0].part.axis, rig::HoleAxis::across);
  EXPECT_EQ(contents.pockets[0].part.filling_density_g_cm3, 0);
  EXPECT_FALSE(contents.pockets[0].part.filled_with_water);
  EXPECT_EQ(contents.pockets[1].part.name, "pocket");
  EXPECT_TRUE(contents.pockets[1].part.filled_with_water);
  EXPECT_EQ(contents.pockets[1].part.axis, rig::HoleAxis::along);

  EXPECT_DOUBLE_EQ(contents.hooks[0].part.size_up_g.value_or(0), 226.796185);
  ASSERT_EQ(contents.outsides.size(), 1U);
  EXPECT_EQ(contents.outsides[0].part.name, "lip");
  EXPECT_EQ(contents.outsides[0].part.mass_g, 2.5);
  EXPECT_EQ(contents.outsides[0].part.density_g_cm3, 1.2);
  EXPECT_EQ(contents.outsides[0].at.axes_mm, Vec3(-5, 0, -10));
  EXPECT_EQ(contents.tolerances.mass_g, 0.2);
  EXPECT_EQ(contents.tolerances.place_mm, 0.5);
  EXPECT_EQ(contents.tolerances.wood_density_percent, 5);
  EXPECT_EQ(contents.tolerances.scale_percent, 0.25);
  EXPECT_EQ(contents.line_eye.hook, "belly treble");
  EXPECT_FALSE(contents.line_eye.at);
}

TEST_F(Sheets, HaveTheUsualScatterAndATubOfFreshWaterWhereNothingIsSaid) {
  const Sheet sheet = parsed_with("[tolerances]\nplace = 2\n");
  const Sheet::Contents& contents = sheet.contents();
  EXPECT_EQ(contents.tolerances.mass_g, 0.1);
  EXPECT_EQ(contents.tolerances.place_mm, 2);
  EXPECT_EQ(contents.tolerances.wood_density_percent, 3);
  EXPECT_EQ(contents.tolerances.scale_percent, 0.5);
  EXPECT_EQ(contents.tank.salinity, 0);
  EXPECT_DOUBLE_EQ(contents.tank.density_g_cm3, rig::water_density_kg_m3(0, 20) / 1000);
  EXPECT_FALSE(contents.finish);
  EXPECT_FALSE(contents.baseline);
}

TEST_F(Sheets, FillAPocketWithAStuffOrADensity) {
  const auto filled = [](const std::string& with) {
    return parsed_with(
               "[[pocket]]\nat = [1, 1]\ndiameter = 1\ndepth = 1\naxis = \"along\"\n"
               "filled = " +
               with + "\n")
        .contents()
        .pockets[0]
        .part.filling_density_g_cm3;
  };
  EXPECT_EQ(filled("\"epoxy\""), 1.15);
  EXPECT_EQ(filled("\"nothing\""), 0);
  EXPECT_EQ(filled("0.25"), 0.25);
  EXPECT_EQ(filled("\"250 kg/m3\""), 0.25);
}

// The density that is written is the density that counts, to the last bit.
TEST_F(Sheets, KeepEveryDensityToTheLastBit) {
  for (const char* text : {"0.37", "0.1", "1.0299999999999998", "7.8500000000000005"}) {
    const double value = std::stod(text);
    const std::string line = "density = " + std::string(text) + "\n";
    const Sheet sheet =
        parsed_with("[water]\n" + line + "[[hook]]\neye = [1, 1]\nmass = 1\n" + line);
    EXPECT_EQ(sheet.contents().water.density_g_cm3, value);
    EXPECT_EQ(sheet.contents().hooks[0].part.density_g_cm3, value);
  }
  for (const rig::Wood& wood : rig::woods()) {
    const Sheet sheet = parse_sheet(
        "[body]\nmesh = \"needle.stl\"\n[wood]\nspecies = \"" + std::string(wood.name) + "\"\n",
        "needle.toml");
    EXPECT_EQ(sheet.contents().wood.density_g_cm3, wood.density_g_cm3);
    EXPECT_EQ(sheet.wood_name(), wood.name);
  }
  for (const rig::Material& metal : rig::materials()) {
    const Sheet sheet = parsed_with("[[hook]]\neye = [1, 1]\nmass = 1\nmetal = \"" +
                                    std::string(metal.name) + "\"\n");
    EXPECT_EQ(sheet.contents().hooks[0].part.density_g_cm3, metal.density_g_cm3);
  }
}

TEST_F(Sheets, NameThePartsThatHaveNoName) {
  const std::string wire = "[[wire]]\ndiameter = 1\nmetal = \"steel\"\npath = [[0, 0], [9, 0]]\n";
  const std::string hook = "[[hook]]\neye = [1, 1]\nmass = 1\nmetal = \"steel\"\n";
  const std::string ballast = "[[ballast]]\nat = [1, 1]\nmass = 1\nmetal = \"lead\"\n";
  const Sheet sheet = parsed_with(wire + wire + wire + "name = \"wire 2\"\n" + hook + hook +
                                  "name = \"\"\n" + ballast);
  const Sheet::Contents& contents = sheet.contents();
  EXPECT_EQ(contents.wires[0].part.name, "wire");
  EXPECT_EQ(contents.wires[1].part.name, "wire 3") << "wire 2 is taken";
  EXPECT_EQ(contents.wires[2].part.name, "wire 2");
  EXPECT_EQ(contents.hooks[0].part.name, "hook");
  EXPECT_EQ(contents.hooks[1].part.name, "hook 2");
  EXPECT_EQ(contents.ballasts[0].part.name, "ballast");
}

TEST_F(Sheets, KeepASpeciesBesideAWeighedBlankForItsName) {
  const Sheet sheet = parse_sheet(
      "[body]\nmesh = \"needle.stl\"\n[wood]\nspecies = \"Basswood\"\nweighed = \"31.4 g\"\n",
      "needle.toml");
  EXPECT_EQ(sheet.wood_name(), "American basswood");
  EXPECT_EQ(sheet.contents().wood.weighed_g, 31.4);
}

TEST_F(Sheets, TakeDirectionsAsTextsOrLists) {
  const Sheet sheet = parse_sheet(
      "[body]\nmesh = \"needle.stl\"\nback = [0, 3, 4]\nnose_point = [\"1 cm\", 2, -3]\n[wood]\n"
      "density = 0.4\n",
      "needle.toml");
  ASSERT_TRUE(sheet.hints().back && sheet.hints().nose_point);
  EXPECT_LT((*sheet.hints().back - Vec3(0, 0.6, 0.8)).norm(), 1e-15);
  EXPECT_EQ(*sheet.hints().nose_point, Vec3(10, 2, -3));
  const Sheet text = parse_sheet(
      "[body]\nmesh = \"needle.stl\"\nnose_point = \"1.5, 2,-3\"\n[wood]\ndensity = 0.4\n",
      "needle.toml");
  EXPECT_EQ(*text.hints().nose_point, Vec3(1.5, 2, -3));
}

TEST_F(Sheets, MakeControlCharactersInTitlesAndNamesHarmless) {
  const Sheet sheet = parse_sheet(
      "title = \"a\\u001b[31mb\\nc\"\n" +
          sheet_with("[[hook]]\nname = \"t\\u0007\"\neye = [1, 1]\nmass = 1\nmetal = \"steel\"\n"),
      "needle.toml");
  EXPECT_EQ(sheet.title(), "a [31mb c");
  EXPECT_EQ(sheet.contents().hooks[0].part.name, "t ");
}

TEST_F(Sheets, LookForTheMeshInTheirOwnFolder) {
  std::filesystem::create_directory("Köder");
  std::ofstream("Köder/nädel.toml") << "[body]\nmesh = \"../needle.stl\"\n[wood]\ndensity = 0.4\n";
  const Sheet sheet = read_sheet("Köder/nädel.toml");
  EXPECT_EQ(sheet.mesh_path(), "Köder/../needle.stl");
  const std::string absolute = std::filesystem::absolute("needle.stl").string();
  EXPECT_EQ(parse_sheet("[body]\nmesh = '" + absolute + "'\n[wood]\ndensity = 0.4\n", "a/b.toml")
                .mesh_path(),
            absolute);
}

TEST_F(Sheets, ThatAreMissingOrFoldersOrEndlessAreRefused) {
  const auto refused = [](const std::string& path) {
    try {
      const Sheet sheet = read_sheet(path);
    } catch (const geometry::InputError& error) {
      return geometry::one_line(error);
    }
    return std::string("accepted");
  };
  EXPECT_EQ(refused("nowhere.toml"),
            "nowhere.toml: there is no such file; check the name and the folder");
  EXPECT_EQ(refused("."), ".: this is a folder, not a file; name the build sheet in it");
  EXPECT_EQ(refused("/dev/zero"),
            "/dev/zero:1:1: this is too big for a build sheet (over 1 MB); give the sheet, not the "
            "mesh that it names");
  EXPECT_EQ(refused("no\nwhere"), "no where: there is no such file; check the name and the folder");
}

}  // namespace
}  // namespace trueblank::sheet
