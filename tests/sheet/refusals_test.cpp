// SPDX-License-Identifier: GPL-3.0-or-later
#include <string>

#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

class Refusals : public InAFolder {};

const std::string hook = "[[hook]]\neye = [62, -12]\nmass = 14\nmetal = \"steel\"\n";    // 5 to 8
const std::string ballast = "[[ballast]]\nat = [70, -9]\nmass = 9\nmetal = \"lead\"\n";  // 5 to 8
const std::string wire = "[[wire]]\ndiameter = 1.6\nmetal = \"steel\"\n";                // 5 to 7

TEST_F(Refusals, TheExamplesOfThisFileAreRightAsTheyStand) {
  EXPECT_EQ(refusal_with(hook), "accepted");
  EXPECT_EQ(refusal_with(ballast), "accepted");
  EXPECT_EQ(refusal_with(wire + "path = [[0, 0], [165, 0]]\n"), "accepted");
}

TEST_F(Refusals, ADunkTestTellsAVolume) {
  const std::string body = "[body]\nmesh = \"box.stl\"\n";
  const std::string wood = "[wood]\ndensity = 0.4\n";
  EXPECT_EQ(refusal(body + "push = 42.8\n" + wood),
            "needle.toml:3:1: push alone does not tell what the blank displaces; weigh the bare "
            "blank and give weighed or halves in [wood], or give displaced");
  EXPECT_EQ(refusal(body + "displaced_water = { kind = \"sea\" }\n" + wood),
            "needle.toml:3:1: displaced_water says nothing by itself; give displaced or push, or "
            "remove it");
  EXPECT_EQ(refusal(body + "scanned = \"finished\"\n" + wood),
            "needle.toml:3:1: scanned = \"finished\" needs to know how thick the coat is; write "
            "[finish] with thickness, or remove scanned");
  EXPECT_EQ(refusal(body + "cavity = \"water\"\n" + wood),
            "needle.toml:3:10: cavity = \"water\" is not known; write one of \"air\", \"flooded\"");
}

TEST_F(Refusals, UnknownKeysComeWithTheNearestKnownOne) {
  EXPECT_EQ(refusal_with(hook + "hnag = 20\n"),
            "needle.toml:9:1: unknown key \"hnag\"; did you mean \"hang\"?");
  EXPECT_EQ(refusal_with("[wood1]\n"),
            "needle.toml:5:1: unknown key \"wood1\"; did you mean \"wood\"?");
  EXPECT_EQ(refusal_with("[[hooks]]\n"),
            "needle.toml:5:1: unknown key \"hooks\"; did you mean \"hook\"?");
  EXPECT_EQ(refusal_with("[water]\ntemprature = 15\n"),
            "needle.toml:6:1: unknown key \"temprature\"; did you mean \"temperature\"?");
  EXPECT_EQ(refusal_with(hook + "colour = 1\n"),
            "needle.toml:9:1: unknown key \"colour\"; [[hook]] knows name, eye, mass, metal, "
            "density, hang, size_up, sizes, eye_x");
  EXPECT_EQ(refusal("colour = 1\n"),
            "needle.toml:1:1: unknown key \"colour\"; a sheet knows sheet, title, body, section, "
            "wood, finish, water, tank, wire, ballast, pocket, hook, outside, tolerances, line, "
            "target, place");
  EXPECT_EQ(refusal_with("[[ballast]]\nat = { station = 70, over_belly = 6 }\n"),
            "needle.toml:6:22: unknown key \"over_belly\"; did you mean \"above_belly\"?");
  EXPECT_EQ(refusal_with("mend = \"none\"\n"),
            "needle.toml:5:1: unknown key \"mend\"; [wood] knows species, density, weighed, "
            "halves, balance");
}

TEST_F(Refusals, OnlyVersionOneIsKnown) {
  const std::string tail = "the sheet is of a version that is not known here; write sheet = 1";
  EXPECT_EQ(refusal("sheet = 2\n"), "needle.toml:1:9: " + tail);
  EXPECT_EQ(refusal("sheet = \"1\"\n"), "needle.toml:1:9: " + tail);
  EXPECT_EQ(refusal("sheet = 1\n" + sheet_with("")), "accepted");
}

TEST_F(Refusals, BodyAndWoodAreRequired) {
  EXPECT_EQ(refusal("title = \"x\"\n"),
            "needle.toml:1:1: [body] is missing; write [body] and below it mesh = \"file.stl\"");
  EXPECT_EQ(refusal("\n[body]\nlength = 165\n"),
            "needle.toml:2:1: [body] has no mesh; write mesh = \"file.stl\", beside the sheet");
  EXPECT_EQ(refusal("[body]\nmesh = \"needle.stl\"\n"),
            "needle.toml:1:1: [wood] is missing; write [wood] and below it species, density, "
            "weighed or halves");
  EXPECT_EQ(refusal("[body]\nmesh = \"needle.stl\"\n[wood]\n"),
            "needle.toml:3:1: [wood] needs species, density, weighed or halves; give one of them");
}

TEST_F(Refusals, TheMeshMustBeThere) {
  EXPECT_EQ(refusal("[wood]\ndensity = 0.4\n[body]\nlength = 165\nmesh = \"nedle.stl\"\n"),
            "needle.toml:5:1: there is no file \"nedle.stl\"; mesh is looked for beside the sheet: "
            "mend its name or its folder");
  std::filesystem::create_directory("scans");
  EXPECT_EQ(refusal("[wood]\ndensity = 0.4\n[body]\nmesh = \"scans\"\n"),
            "needle.toml:4:1: \"scans\" is a folder; name the mesh file in it");
  EXPECT_EQ(refusal("[body]\nmesh = \"\"\n"),
            "needle.toml:2:8: mesh is empty; write something between its quotes, or remove it");
  EXPECT_EQ(refusal("[body]\nmesh = 5\n"),
            "needle.toml:2:8: mesh is a number; a text in quotes is wanted here");
  EXPECT_EQ(refusal("[wood]\ndensity = 0.4\n[body]\nmesh = \"needle.stl\\u0000.txt\"\n"),
            "needle.toml:4:1: there is no file \"needle.stl .txt\"; mesh is looked for beside the "
            "sheet: mend its name or its folder");
}

TEST_F(Refusals, HintsOfTheBodyMustMakeSense) {
  const std::string start = "[body]\nmesh = \"needle.stl\"\n";  // then line 3
  EXPECT_EQ(refusal(start + "units = \"yd\"\n"),
            "needle.toml:3:9: units = \"yd\" is not known; write one of mm, cm, m, in");
  EXPECT_EQ(refusal(start + "length = 0\n"),
            "needle.toml:3:10: length is 0; length must be more than 0");
  EXPECT_EQ(
      refusal(start + "length = \"14 g\"\n"),
      "needle.toml:3:10: length = \"14 g\" is a mass; a length is wanted here (mm, cm, m, in, "
      "ft)");
  const std::string direction =
      " is no direction; write an axis of the file, \"+x\" to \"-z\", or a vector such as "
      "\"0.3,-0.9,0.1\"";
  EXPECT_EQ(refusal(start + "nose = \"left\"\n"), "needle.toml:3:8: nose" + direction);
  EXPECT_EQ(refusal(start + "back = 1\n"), "needle.toml:3:8: back" + direction);
  EXPECT_EQ(refusal(start + "nose = [0, 0, 0]\n"), "needle.toml:3:8: nose" + direction);
  EXPECT_EQ(refusal(start + "nose = [1, 0]\n"), "needle.toml:3:8: nose" + direction);
  EXPECT_EQ(refusal(start + "nose_point = [1, 2]\n"),
            "needle.toml:3:14: nose_point is no point of the mesh file; write [x, y, z] in the "
            "file's axes, in mm");
  EXPECT_EQ(refusal(start + "nose_point = \"1,2,x\"\n"),
            "needle.toml:3:14: nose_point is no point of the mesh file; write [x, y, z] in the "
            "file's axes, in mm");
  EXPECT_EQ(refusal(start + "nose_point = [0, 0, 0]\nnose = \"-x\"\n"),
            "needle.toml:4:1: nose and nose_point can't both be given; keep one of them");
}

TEST_F(Refusals, TheWoodIsGivenInOneWay) {
  const std::string start = "[body]\nmesh = \"needle.stl\"\n[wood]\n";  // then line 4
  EXPECT_EQ(refusal(start + "species = \"teak\"\ndensity = 0.6\n"),
            "needle.toml:5:1: species and density can't both be given; keep the density if it was "
            "measured, else the species");
  EXPECT_EQ(refusal(start + "weighed = 31.4\ndensity = 0.6\n"),
            "needle.toml:5:1: density and weighed can't both be given; keep weighed: the density "
            "follows from the body's volume");
  EXPECT_EQ(refusal(start + "species = \"balsam\"\n"),
            "needle.toml:4:11: unknown wood \"balsam\"; did you mean \"balsa\"? otherwise give "
            "density in g/cm3");
  EXPECT_EQ(refusal(start + "species = \"ironwood tree\"\n"),
            "needle.toml:4:11: unknown wood \"ironwood tree\"; give density in g/cm3, or one of: "
            "western redcedar, American basswood, yellow-poplar, eastern white pine, western white "
            "pine, sugar pine, northern white-cedar, white ash, sugar maple, American beech, white "
            "oak, teak, Spanish-cedar, balsa, jelutong, true mahogany, obeche, paulownia");
  EXPECT_EQ(
      refusal(start + "density = 370\n"),
      "needle.toml:4:11: density is 370; density must be more than 0 and at most 25: it is in "
      "g/cm3");
  EXPECT_EQ(refusal(start + "weighed = \"-3 g\"\n"),
            "needle.toml:4:11: weighed is -3; weighed must be more than 0");
}

TEST_F(Refusals, TheWaterIsGivenInOneWay) {
  EXPECT_EQ(refusal_with("[water]\nkind = \"sea\"\nsalinity = 35\n"),
            "needle.toml:7:1: kind and salinity can't both be given; keep one of them");
  EXPECT_EQ(refusal_with("[water]\nkind = \"sea\"\ndensity = 1.03\n"),
            "needle.toml:7:1: kind and density can't both be given; keep one of them");
  EXPECT_EQ(refusal_with("[water]\ndensity = 1.03\nsalinity = 35\n"),
            "needle.toml:7:1: salinity and density can't both be given; keep one of them");
  EXPECT_EQ(refusal_with("[water]\nkind = \"brackish\"\n"),
            "needle.toml:6:8: kind = \"brackish\" is not known; write one of \"fresh\", \"sea\"");
  EXPECT_EQ(refusal_with("[water]\ntemperature = 59\n"),
            "needle.toml:6:15: temperature is 59; temperature must be between -2 and 40: it is in "
            "°C");
  EXPECT_EQ(refusal_with("[water]\nsalinity = -1\n"),
            "needle.toml:6:12: salinity is -1; salinity must be between 0 and 42: it is practical "
            "salinity, 35 in the sea");
  EXPECT_EQ(refusal_with("[water]\nsalinity = \"35 g\"\n"),
            "needle.toml:6:12: salinity = \"35 g\" is a mass; a salinity is wanted here, a plain "
            "number");
  EXPECT_EQ(refusal_with("[water]\ndensity = 1025\n"),
            "needle.toml:6:11: density is 1025; density must be more than 0 and at most 25: it is "
            "in g/cm3");
  EXPECT_EQ(refusal_with("[[water]]\n"),
            "needle.toml:5:1: [water] stands once, as a table; write [water] on a line of its own, "
            "its keys below it");
}

TEST_F(Refusals, EveryPartHasAMetalOrADensity) {
  const std::string start = "[[hook]]\neye = [62, -12]\nmass = 14\n";
  EXPECT_EQ(refusal_with(start),
            "needle.toml:5:1: [[hook]] needs metal or density; give one of them");
  EXPECT_EQ(refusal_with("[[ballast]]\nat = [62, -12]\nmass = 14\n"),
            "needle.toml:5:1: [[ballast]] needs metal or density; give one of them");
  EXPECT_EQ(refusal_with("[[wire]]\ndiameter = 1\npath = [[0, 0], [1, 0]]\n"),
            "needle.toml:5:1: [[wire]] needs metal or density; give one of them");
  EXPECT_EQ(refusal_with(hook + "density = 7.85\n"),
            "needle.toml:9:1: metal and density can't both be given; keep one of them");
  EXPECT_EQ(
      refusal_with(start + "metal = \"leed\"\n"),
      "needle.toml:8:9: unknown metal \"leed\"; did you mean \"lead\"? otherwise give density "
      "in g/cm3");
  EXPECT_EQ(
      refusal_with(start + "metal = \"kryptonite\"\n"),
      "needle.toml:8:9: unknown metal \"kryptonite\"; give density in g/cm3, or one of: lead, "
      "tungsten, tungsten alloy class 1, tungsten alloy class 2, tungsten alloy class 3, "
      "tungsten alloy class 4, steel, stainless steel, stainless steel 304, stainless steel "
      "316, stainless spring wire, brass, zinc, tin, bismuth, bismuth-tin alloy, glass, "
      "epoxy, polyurethane resin, ABS, PLA");
  EXPECT_EQ(refusal_with(start + "density = 0\n"),
            "needle.toml:8:11: density is 0; density must be more than 0 and at most 25: it is in "
            "g/cm3");
}

TEST_F(Refusals, MassesAndDiametersAreMoreThanNothing) {
  const std::string start = "[[hook]]\neye = [62, -12]\nmetal = \"steel\"\n";
  EXPECT_EQ(refusal_with(start), "needle.toml:5:1: [[hook]] has no mass; write mass = \"14 g\"");
  EXPECT_EQ(refusal_with(start + "mass = -14\n"),
            "needle.toml:8:8: mass is -14; mass must be more than 0");
  EXPECT_EQ(refusal_with(start + "mass = 0\n"),
            "needle.toml:8:8: mass is 0; mass must be more than 0");
  EXPECT_EQ(refusal_with(start + "mass = nan\n"),
            "needle.toml:8:8: mass is not a finite number; write a plain number");
  EXPECT_EQ(refusal_with(start + "mass = inf\n"),
            "needle.toml:8:8: mass is not a finite number; write a plain number");
  EXPECT_EQ(refusal_with(start + "mass = 1e300\n"),
            "needle.toml:8:8: mass is beyond measure; mass must be less than a tonne");
  EXPECT_EQ(refusal_with(start + "mass = true\n"),
            "needle.toml:8:8: mass is true or false; a mass is wanted here");
  EXPECT_EQ(refusal_with(start + "mass = 2020-01-01\n"),
            "needle.toml:8:8: mass is a date; a mass is wanted here");
  EXPECT_EQ(refusal_with(start + "mass = \"14\"\n"),
            "needle.toml:8:8: mass = \"14\" has no unit; write 14 or \"14 g\"");
  EXPECT_EQ(
      refusal_with(start + "mass = \"14 grains\"\n"),
      "needle.toml:8:8: mass = \"14 grains\" has an unknown unit \"grains\"; a mass is wanted "
      "here (g, kg, oz, lb)");
  EXPECT_EQ(refusal_with(start + "mass = \"0,5 oz\"\n"),
            "needle.toml:8:8: mass = \"0,5 oz\" has a decimal comma; write a point");
  EXPECT_EQ(refusal_with(start + "mass = \"1/0 oz\"\n"),
            "needle.toml:8:8: mass = \"1/0 oz\" divides by nought; a mass is wanted here (g, kg, "
            "oz, lb)");
  EXPECT_EQ(refusal_with(start + "mass = \"heavy\"\n"),
            "needle.toml:8:8: mass = \"heavy\" is no number with a unit; a mass is wanted here (g, "
            "kg, oz, lb)");
  EXPECT_EQ(
      refusal_with(hook + "hang = -2\n"),
      "needle.toml:9:8: hang is -2; hang must be 0 or more: it is measured down from the eye");
  EXPECT_EQ(refusal_with(hook + "hang = \"14 g\"\n"),
            "needle.toml:9:8: hang = \"14 g\" is a mass; a length is wanted here (mm, cm, m, in, "
            "ft)");
  EXPECT_EQ(refusal_with(ballast + "diameter = 0\n"),
            "needle.toml:9:12: diameter is 0; diameter must be more than 0");
  EXPECT_EQ(refusal_with(ballast + "axis = \"up\"\n"),
            "needle.toml:9:8: axis = \"up\" is not known; write one of \"along\", \"across\", "
            "\"upright\"");
  EXPECT_EQ(refusal_with("[[wire]]\nmetal = \"steel\"\npath = [[0, 0], [165, 0]]\n"),
            "needle.toml:5:1: [[wire]] has no diameter; write diameter = 1.6 or what yours has, in "
            "mm");
}

TEST_F(Refusals, PointsHaveOneOfTheirForms) {
  const std::string start = "[[ballast]]\nmass = 9\nmetal = \"lead\"\n";  // then line 8
  const std::string forms =
      "at is no point; write [x, y, z], [x, z] or { station = 70, above_belly = 6 }";
  EXPECT_EQ(refusal_with(start),
            "needle.toml:5:1: [[ballast]] has no at; write [x, z], [x, y, z] or { station = 70, "
            "above_belly = 6 }");
  EXPECT_EQ(refusal_with(start + "at = 70\n"), "needle.toml:8:6: " + forms);
  EXPECT_EQ(refusal_with(start + "at = [70]\n"), "needle.toml:8:6: " + forms);
  EXPECT_EQ(refusal_with(start + "at = [1, 2, 3, 4]\n"), "needle.toml:8:6: " + forms);
  EXPECT_EQ(refusal_with(start + "at = [70, true]\n"),
            "needle.toml:8:11: at is true or false; a length is wanted here");
  EXPECT_EQ(refusal_with(start + "at = { above_belly = 6 }\n"),
            "needle.toml:8:6: at has no station; give the distance from the nose, in mm");
  const std::string heights =
      "needle.toml:8:6: at has a station, and not exactly one height; give one of above_belly, "
      "below_belly, below_back, above_back";
  EXPECT_EQ(refusal_with(start + "at = { station = 70 }\n"), heights);
  EXPECT_EQ(refusal_with(start + "at = { station = 70, above_belly = 6, below_back = 9 }\n"),
            heights);
}

TEST_F(Refusals, AWireGoesFromPointToPoint) {
  EXPECT_EQ(
      refusal_with(wire),
      "needle.toml:5:1: [[wire]] has no path; write path = [[-8, -1], [165, 0]], from one end "
      "to the other");
  EXPECT_EQ(refusal_with(wire + "path = 5\n"),
            "needle.toml:8:8: path is a number; a list of points is wanted here");
  EXPECT_EQ(
      refusal_with(wire + "path = [[0, 0]]\n"),
      "needle.toml:8:8: a path has fewer than two points; give the points from one end to the "
      "other");
  EXPECT_EQ(
      refusal_with(wire + "path = []\n"),
      "needle.toml:8:8: a path has fewer than two points; give the points from one end to the "
      "other");
  EXPECT_EQ(refusal_with(wire + "path = [0, 165]\n"),
            "needle.toml:8:9: path is no point; write [x, y, z], [x, z] or { station = 70, "
            "above_belly = 6 }");
  EXPECT_EQ(refusal_with(wire + "path = [[0, 0], [165, 0], [165, 0, 0]]\n"),
            "needle.toml:8:27: points 2 and 3 of the path are the same; remove one of them");
  EXPECT_EQ(refusal_with("[wire]\n"),
            "needle.toml:5:1: [[wire]] may stand several times; write [[wire]] in double brackets, "
            "its keys below it");
}

TEST_F(Refusals, NamesAreGivenOnce) {
  EXPECT_EQ(refusal_with("[[hook]]\nname = \"belly\"\neye = [62, -12]\nmass = 14\nmetal = "
                         "\"steel\"\n[[ballast]]\nname = \"belly\"\nat = [70, -9]\nmass = 9\nmetal "
                         "= \"lead\"\n"),
            "needle.toml:11:1: the name \"belly\" is taken already, at needle.toml:6:1; give each "
            "part a name of its own");
  EXPECT_EQ(refusal_with(hook + "name = \"wood\"\n"),
            "needle.toml:9:1: \"wood\" is the body's own name; give this part another");
}

TEST_F(Refusals, HalvesAreTheWholeWood) {
  const std::string start = "[body]\nmesh = \"needle.stl\"\n[wood]\n";  // then line 4
  const std::string both = "halves = { left = \"15.9 g\", right = 15.5 }\n";
  EXPECT_EQ(refusal(start + both), "accepted");
  EXPECT_EQ(refusal(start + both + "species = \"teak\"\n"),
            "needle.toml:5:1: species and halves can't both be given; keep halves: the density "
            "follows from the body's volume");
  EXPECT_EQ(refusal(start + both + "density = 0.4\n"),
            "needle.toml:5:1: density and halves can't both be given; keep halves: the density "
            "follows from the body's volume");
  EXPECT_EQ(refusal(start + "weighed = 31\n" + both),
            "needle.toml:5:1: weighed and halves can't both be given; keep halves: together they "
            "are the blank");
  EXPECT_EQ(refusal(start + "halves = 31\n"),
            "needle.toml:4:10: halves is a number; a table in braces is wanted here");
  EXPECT_EQ(refusal(start + "halves = { left = 15 }\n"),
            "needle.toml:4:10: halves has no right; write halves = { left = \"15.9 g\", right = "
            "\"15.5 g\" }");
  EXPECT_EQ(refusal(start + "halves = { left = 15, right = 0 }\n"),
            "needle.toml:4:31: right is 0; right must be more than 0");
  EXPECT_EQ(refusal(start + "halves = { left = 15, rihgt = 15 }\n"),
            "needle.toml:4:23: unknown key \"rihgt\"; did you mean \"right\"?");
  EXPECT_EQ(refusal(start + "density = 0.4\nbalance = \"78 g\"\n"),
            "needle.toml:5:11: balance = \"78 g\" is a mass; a length is wanted here (mm, cm, m, "
            "in, ft)");
}

TEST_F(Refusals, AFinishHasAThicknessAndOneMass) {
  EXPECT_EQ(refusal_with("[finish]\nthickness = 0.3\ndensity = 1.15\n"), "accepted");
  EXPECT_EQ(refusal_with("[finish]\nthickness = 0.3\nweighed = \"3.4 g\"\n"), "accepted");
  EXPECT_EQ(refusal_with("[finish]\ndensity = 1.15\n"),
            "needle.toml:5:1: [finish] has no thickness; write thickness = 0.3 or what yours has, "
            "in mm");
  EXPECT_EQ(refusal_with("[finish]\nthickness = 0.3\n"),
            "needle.toml:5:1: [finish] needs density or weighed; give one of them");
  EXPECT_EQ(
      refusal_with("[finish]\nthickness = 0.3\ndensity = 1.15\nweighed = 3\n"),
      "needle.toml:8:1: density and weighed can't both be given; keep weighed if the coat was "
      "weighed, else density");
  const std::string range =
      "; thickness must be more than 0 and at most 5: it is in mm, on one side";
  for (const char* thickness : {"0", "-0.3", "5.1", "300"}) {
    EXPECT_EQ(
        refusal_with("[finish]\ndensity = 1.15\nthickness = " + std::string(thickness) + "\n"),
        "needle.toml:7:13: thickness is " + std::string(thickness) + range);
  }
  EXPECT_EQ(refusal_with("[finish]\ndensity = 1.15\nthickness = nan\n"),
            "needle.toml:7:13: thickness is not a finite number; write a plain number");
  EXPECT_EQ(refusal_with("[finish]\nmetal = \"epoxy\"\n"),
            "needle.toml:6:1: unknown key \"metal\"; [finish] knows thickness, density, weighed");
  EXPECT_EQ(
      refusal_with("[finish]\nthickness = 0.3\ndensity = 1.15\n" + hook + "name = \"finish\"\n"),
      "needle.toml:12:1: \"finish\" is the coat's own name; give this part another");
}

TEST_F(Refusals, ABaselineHasTwoEnds) {
  const std::string start = "[wood]\ndensity = 0.4\n[body]\nmesh = \"needle.stl\"\n";  // then 5
  EXPECT_EQ(refusal(start + "baseline = { nose = [-8, -1], tail = [173, 0] }\n"), "accepted");
  const std::string mend =
      "; write baseline = { nose = [-8, 0], tail = [173, 0] }, each end a point";
  EXPECT_EQ(refusal(start + "baseline = { nose = [-8, -1] }\n"),
            "needle.toml:5:1: baseline has no tail" + mend);
  EXPECT_EQ(refusal(start + "baseline = { tail = [173, -1] }\n"),
            "needle.toml:5:1: baseline has no nose" + mend);
  EXPECT_EQ(refusal(start + "baseline = [[-8, -1], [173, 0]]\n"),
            "needle.toml:5:12: baseline is a list; a table in braces is wanted here");
  EXPECT_EQ(refusal(start + "baseline = { nose = [8, 0], tail = [8, 0, 0] }\n"),
            "needle.toml:5:1: nose and tail of the baseline are the same point; give its two ends, "
            "the nose eye and the tail eye");
  EXPECT_EQ(refusal(start + "baseline = { nose = 8, tail = [8, 0, 0] }\n"),
            "needle.toml:5:21: nose is no point; write [x, y, z], [x, z] or { station = 70, "
            "above_belly = 6 }");
}

TEST_F(Refusals, AWireMayBeWeighed) {
  const std::string path = "path = [[0, 0], [165, 0]]\n";
  EXPECT_EQ(refusal_with("[[wire]]\nmetal = \"steel\"\nweighed = \"6.1 g\"\n" + path), "accepted");
  EXPECT_EQ(refusal_with(wire + "weighed = \"6.1 g\"\n" + path), "accepted");
  EXPECT_EQ(refusal_with(wire + "weighed = 0\n" + path),
            "needle.toml:8:11: weighed is 0; weighed must be more than 0");
  EXPECT_EQ(refusal_with("[[wire]]\nweighed = 6\n" + path),
            "needle.toml:5:1: [[wire]] needs metal or density; give one of them");
}

TEST_F(Refusals, APocketIsAHole) {
  const std::string hole =  // 5 to 9
      "[[pocket]]\nat = [70, -2]\ndiameter = 8\ndepth = 20\naxis = \"upright\"\n";
  for (const char* filling :
       {"\"nothing\"", "\"water\"", "\"epoxy\"", "\"Lead\"", "0.3", "\"300 kg/m3\""}) {
    EXPECT_EQ(refusal_with(hole + "filled = " + filling + "\n"), "accepted") << filling;
  }
  EXPECT_EQ(refusal_with(hole + "filled = \"foam\"\n"),
            "needle.toml:10:10: filled = \"foam\" is not known; write one of \"nothing\", "
            "\"water\", \"epoxy\", another stuff of the table, or a density");
  EXPECT_EQ(refusal_with(hole + "filled = \"\"\n"),
            "needle.toml:10:10: filled = \"\" is not known; write one of \"nothing\", "
            "\"water\", \"epoxy\", another stuff of the table, or a density");
  EXPECT_EQ(refusal_with(hole + "filled = \"3 g\"\n"),
            "needle.toml:10:10: filled = \"3 g\" is a mass; a density is wanted here (g/cm3, "
            "kg/m3)");
  EXPECT_EQ(refusal_with(hole + "filled = true\n"),
            "needle.toml:10:10: filled is true or false; a density is wanted here");
  EXPECT_EQ(refusal_with(hole + "filled = -1\n"),
            "needle.toml:10:10: filled is -1; filled must be more than 0 and at most 25: it is in "
            "g/cm3");
  EXPECT_EQ(refusal_with("[[pocket]]\ndiameter = 8\ndepth = 20\naxis = \"upright\"\n"),
            "needle.toml:5:1: [[pocket]] has no at; write [x, z], [x, y, z] or { station = 70, "
            "above_belly = 6 }");
  EXPECT_EQ(refusal_with("[[pocket]]\nat = [70, -2]\ndepth = 20\naxis = \"upright\"\n"),
            "needle.toml:5:1: [[pocket]] has no diameter; write diameter = 8 or what yours has, in "
            "mm");
  EXPECT_EQ(refusal_with("[[pocket]]\nat = [70, -2]\ndiameter = 8\naxis = \"upright\"\n"),
            "needle.toml:5:1: [[pocket]] has no depth; write depth = 20, the whole length of the "
            "hole");
  EXPECT_EQ(refusal_with("[[pocket]]\nat = [70, -2]\ndiameter = 8\ndepth = 20\n"),
            "needle.toml:5:1: [[pocket]] has no axis; write axis = \"along\", \"across\" or "
            "\"upright\"");
  EXPECT_EQ(refusal_with("[[pocket]]\nat = [70, -2]\ndiameter = 8\ndepth = 0\n"),
            "needle.toml:8:9: depth is 0; depth must be more than 0");
  EXPECT_EQ(refusal_with(hole + "mass = 3\n"),
            "needle.toml:10:1: unknown key \"mass\"; [[pocket]] knows name, at, diameter, depth, "
            "axis, filled");
  EXPECT_EQ(refusal_with("[pocket]\n"),
            "needle.toml:5:1: [[pocket]] may stand several times; write [[pocket]] in double "
            "brackets, its keys below it");
}

TEST_F(Refusals, AnOutsidePartHasAPointAMassAndAStuff) {
  EXPECT_EQ(refusal_with("[[outside]]\nat = [-8, -12]\nmass = 3\ndensity = 1.2\n"), "accepted");
  EXPECT_EQ(refusal_with("[[outside]]\nat = [-8, -12]\ndensity = 1.2\n"),
            "needle.toml:5:1: [[outside]] has no mass; write mass = \"9 g\"");
  EXPECT_EQ(refusal_with("[[outside]]\nmass = 3\ndensity = 1.2\n"),
            "needle.toml:5:1: [[outside]] has no at; write [x, z], [x, y, z] or { station = 70, "
            "above_belly = 6 }");
  EXPECT_EQ(refusal_with("[[outside]]\nat = [-8, -12]\nmass = 3\n"),
            "needle.toml:5:1: [[outside]] needs metal or density; give one of them");
  EXPECT_EQ(refusal_with("[[outside]]\nhang = 3\n"),
            "needle.toml:6:1: unknown key \"hang\"; [[outside]] knows name, at, mass, metal, "
            "density");
}

TEST_F(Refusals, TheNextSizeOfHookIsHeavier) {
  EXPECT_EQ(refusal_with(hook + "size_up = \"16 g\"\n"), "accepted");
  const std::string must =
      "; size_up must be more than mass: it is what the next larger size weighs";
  EXPECT_EQ(refusal_with(hook + "size_up = 14\n"),
            "needle.toml:9:11: size_up is 14, and mass is 14" + must);
  EXPECT_EQ(refusal_with(hook + "size_up = 12.5\n"),
            "needle.toml:9:11: size_up is 12.5, and mass is 14" + must);
  EXPECT_EQ(refusal_with(hook + "size_up = -1\n"),
            "needle.toml:9:11: size_up is -1; size_up must be more than 0");
}

TEST_F(Refusals, TheTankIsAWaterLikeAnyOther) {
  EXPECT_EQ(refusal_with("[tank]\nkind = \"salty\"\n"),
            "needle.toml:6:8: kind = \"salty\" is not known; write one of \"fresh\", \"sea\"");
  EXPECT_EQ(refusal_with("[tank]\ndensity = 1.03\nsalinity = 35\n"),
            "needle.toml:7:1: salinity and density can't both be given; keep one of them");
  EXPECT_EQ(refusal_with("[tank]\ncolour = 1\n"),
            "needle.toml:6:1: unknown key \"colour\"; [tank] knows kind, salinity, density, "
            "temperature");
  EXPECT_EQ(refusal_with("[[tank]]\n"),
            "needle.toml:5:1: [tank] stands once, as a table; write [tank] on a line of its own, "
            "its keys below it");
}

TEST_F(Refusals, TolerancesAreNoughtOrMore) {
  EXPECT_EQ(refusal_with("[tolerances]\nmass = 0\nplace = 0\nwood_density = 0\nscale = 0\n"),
            "accepted");
  EXPECT_EQ(refusal_with("[tolerances]\nmass = -0.1\n"),
            "needle.toml:6:8: mass is -0.1; mass must be 0 or more");
  EXPECT_EQ(refusal_with("[tolerances]\nplace = \"-1 mm\"\n"),
            "needle.toml:6:9: place is -1; place must be 0 or more");
  const std::string range = " must be between 0 and 20: it is one standard deviation in percent";
  EXPECT_EQ(refusal_with("[tolerances]\nwood_density = 30\n"),
            "needle.toml:6:16: wood_density is 30; wood_density" + range);
  EXPECT_EQ(refusal_with("[tolerances]\nscale = \"-1 %\"\n"),
            "needle.toml:6:9: scale is -1; scale" + range);
  EXPECT_EQ(refusal_with("[tolerances]\nscale = \"1 mm\"\n"),
            "needle.toml:6:9: scale = \"1 mm\" is a length; a percentage is wanted here (%)");
  EXPECT_EQ(refusal_with("[tolerances]\nscale = \"1\"\n"),
            "needle.toml:6:9: scale = \"1\" has no unit; write 1 or \"1 %\"");
  EXPECT_EQ(refusal_with("[tolerances]\nmass = inf\n"),
            "needle.toml:6:8: mass is not a finite number; write a plain number");
  EXPECT_EQ(refusal_with("[tolerances]\ndensity = 3\n"),
            "needle.toml:6:1: unknown key \"density\"; [tolerances] knows mass, place, "
            "wood_density, scale");
}

TEST_F(Refusals, TheLineIsTiedToSomething) {
  const std::string named = hook + "name = \"belly treble\"\n";  // 5 to 9
  EXPECT_EQ(refusal_with(named + "[line]\neye = \"belly treble\"\n"), "accepted");
  EXPECT_EQ(refusal_with("[line]\neye = [-8, 0]\n"), "accepted");
  EXPECT_EQ(refusal_with(wire + "path = [[0, 0], [165, 0]]\n[line]\neye = \"nose\"\n"), "accepted");
  EXPECT_EQ(refusal_with(named + "[line]\neye = \"bely treble\"\n"),
            "needle.toml:11:7: no hook is named \"bely treble\"; did you mean \"belly treble\"?");
  EXPECT_EQ(refusal_with(named + "[line]\neye = \"tail\"\n"),
            "needle.toml:11:7: no hook is named \"tail\"; write a point, the name of a hook, or "
            "\"nose\" for the wire's foremost end");
  EXPECT_EQ(refusal_with(named + "[line]\neye = \"nose\"\n"),
            "needle.toml:11:7: eye = \"nose\" is the foremost end of a wire, and there is no wire; "
            "write eye as a point or as the name of a hook");
  EXPECT_EQ(refusal_with("[line]\n"),
            "needle.toml:5:1: [line] has no eye; write eye = \"nose\", the name of a hook, or a "
            "point");
  EXPECT_EQ(refusal_with("[line]\neye = 5\n"),
            "needle.toml:6:7: eye is no point; write [x, y, z], [x, z] or { station = 70, "
            "above_belly = 6 }");
}

TEST_F(Refusals, ShowWhatCantBeShownAsSpaces) {
  EXPECT_EQ(refusal_with("[[hook]]\nmass = \"\\u001b[2J\\u0007\\u009b 14 g\"\neye = [1, 2]\n"),
            "needle.toml:6:8: mass = \" [2J   14 g\" is no number with a unit; a mass is wanted "
            "here (g, kg, oz, lb)");
  EXPECT_EQ(refusal_with("[[hook]]\nmass = \"" + std::string(100, 'x') + "\"\neye = [1, 2]\n"),
            "needle.toml:6:8: mass = \"" + std::string(60, 'x') +
                "...\" is no number with a unit; a mass is wanted here (g, kg, oz, lb)");
}

}  // namespace
}  // namespace trueblank::sheet
