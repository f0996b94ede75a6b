// SPDX-License-Identifier: GPL-3.0-or-later
// [target], [[place]] and the choices of a [[hook]], without a body.
#include <gmock/gmock.h>

#include <string>

#include "sheet/contents.h"
#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class Wishes : public InAFolder {};

const std::string place = "[[place]]\nx = [50, 90]\nmass = [0, 20]\nmetal = \"lead\"\n";  // 5 to 8
const std::string hook = "[[hook]]\neye = [62, -12]\nmass = 14\nmetal = \"steel\"\n";     // 5 to 8

const rig::Target& target_of(const Sheet& sheet) { return sheet.contents().target->part; }

const rig::WeightPlace& place_of(const Sheet& sheet) { return sheet.contents().places.at(0).part; }

std::string refused_target(const std::string& keys) { return refusal_with("[target]\n" + keys); }

TEST_F(Wishes, TheExamplesOfThisFileAreRightAsTheyStand) {
  EXPECT_EQ(refusal_with(place), "accepted");
  EXPECT_EQ(refusal_with(hook), "accepted");
}

TEST_F(Wishes, ATargetIsReadKeyByKey) {
  const Sheet sheet = parsed_with(R"([target]
state = "floats"
tail_down = "12 deg"
tail_down_tolerance = 0.5
list_tolerance = "2°"
reserve = "1/2 oz"
reserve_tolerance = "0.1 g"
least_stiffness_min = 2.5
wall_min = "4 mm"
prefer = "firm"
)");
  EXPECT_TRUE(sheet.has_target());
  EXPECT_FALSE(sheet.has_places());
  const rig::Target& target = target_of(sheet);
  EXPECT_EQ(target.state, rig::WantedState::floats);
  EXPECT_EQ(target.tail_down_deg, 12);
  EXPECT_EQ(target.tail_down_tolerance_deg, 0.5);
  EXPECT_EQ(target.list_tolerance_deg, 2);
  EXPECT_DOUBLE_EQ(target.reserve_g.value_or(0), 14.1747615625);
  EXPECT_EQ(target.reserve_tolerance_g, 0.1);
  EXPECT_EQ(target.least_stiffness_min_g_mm_per_deg, 2.5);
  EXPECT_EQ(target.wall_min_mm, 4);
  EXPECT_EQ(target.prefer, rig::Prefer::firm);
  EXPECT_FALSE(target.sink_rate_m_s);
}

TEST_F(Wishes, ATargetAsksForNoMoreThanItSays) {
  const Sheet sheet = parsed_with("[target]\ntail_down = -5\n");
  const rig::Target& target = target_of(sheet);
  const rig::Target unsaid;
  EXPECT_EQ(target.tail_down_deg, -5);
  EXPECT_FALSE(target.state || target.reserve_g || target.least_stiffness_min_g_mm_per_deg);
  EXPECT_EQ(target.tail_down_tolerance_deg, unsaid.tail_down_tolerance_deg);
  EXPECT_EQ(target.list_tolerance_deg, unsaid.list_tolerance_deg);
  EXPECT_EQ(target.reserve_tolerance_g, unsaid.reserve_tolerance_g);
  EXPECT_EQ(target.wall_min_mm, 0);
  EXPECT_EQ(target.prefer, rig::Prefer::light);
  EXPECT_FALSE(parsed_with("").has_target());
}

TEST_F(Wishes, WhatHasASinkRateSinks) {
  const Sheet sheet = parsed_with("[target]\nsink_rate = [0.2, \"40 cm/s\"]\n");
  EXPECT_EQ(target_of(sheet).state, rig::WantedState::sinks);
  ASSERT_TRUE(target_of(sheet).sink_rate_m_s);
  EXPECT_EQ(target_of(sheet).sink_rate_m_s->low, 0.2);
  EXPECT_DOUBLE_EQ(target_of(sheet).sink_rate_m_s->high, 0.4);
}

TEST_F(Wishes, ASuspenderMayHaveAReserveOfNothing) {
  EXPECT_EQ(target_of(parsed_with("[target]\nstate = \"suspends\"\nreserve = 0\n")).reserve_g, 0);
  EXPECT_FALSE(target_of(parsed_with("[target]\nstate = \"suspends\"\n")).reserve_g);
}

TEST_F(Wishes, TheStateAndThePreferenceAreNamed) {
  EXPECT_EQ(target_of(parsed_with("[target]\nstate = \"sinks\"\n")).state, rig::WantedState::sinks);
  const auto preferred = [](const std::string& word) {
    return target_of(parsed_with("[target]\ntail_down = 1\nprefer = \"" + word + "\"\n")).prefer;
  };
  EXPECT_EQ(preferred("light"), rig::Prefer::light);
  EXPECT_EQ(preferred("cast"), rig::Prefer::cast);
  EXPECT_EQ(preferred("sure"), rig::Prefer::sure);
  EXPECT_EQ(refused_target("state = \"hovers\"\n"),
            "needle.toml:6:9: state = \"hovers\" is not known; write one of \"floats\", "
            "\"suspends\", \"sinks\"");
  EXPECT_EQ(refused_target("tail_down = 5\nprefer = \"cheap\"\n"),
            "needle.toml:7:10: prefer = \"cheap\" is not known; write one of \"light\", \"firm\", "
            "\"cast\", \"sure\"");
}

TEST_F(Wishes, ATargetThatNamesNothingIsRefused) {
  const std::string nothing =
      "needle.toml:5:1: [target] asks for nothing; give one of state, tail_down, reserve, "
      "least_stiffness_min, sink_rate";
  EXPECT_EQ(refused_target(""), nothing);
  EXPECT_EQ(refused_target("wall_min = 4\nprefer = \"firm\"\nlist_tolerance = 2\n"), nothing);
  EXPECT_EQ(refused_target("tail_up = 4\n"),
            "needle.toml:6:1: unknown key \"tail_up\"; [target] knows state, tail_down, "
            "tail_down_tolerance, list_tolerance, reserve, reserve_tolerance, "
            "least_stiffness_min, sink_rate, prefer, wall_min");
  EXPECT_EQ(refusal_with("[[target]]\ntail_down = 12\n"),
            "needle.toml:5:1: [target] stands once, as a table; write [target] on a line of its "
            "own, its keys below it");
}

TEST_F(Wishes, AnglesAndTolerancesAreWithinReason) {
  EXPECT_EQ(refused_target("tail_down = 91\n"),
            "needle.toml:6:13: tail_down is 91; tail_down must be between -90 and 90: it is in "
            "degrees, 90 with the tail straight down");
  EXPECT_EQ(refused_target("tail_down = -90.5\n"),
            "needle.toml:6:13: tail_down is -90.5; tail_down must be between -90 and 90: it is in "
            "degrees, 90 with the tail straight down");
  EXPECT_EQ(
      refused_target("tail_down = \"12 mm\"\n"),
      "needle.toml:6:13: tail_down = \"12 mm\" is a length; an angle is wanted here (°, deg)");
  EXPECT_EQ(refused_target("tail_down = \"12\"\n"),
            "needle.toml:6:13: tail_down = \"12\" has no unit; write 12 or \"12 deg\"");
  EXPECT_EQ(refused_target("tail_down = 5\ntail_down_tolerance = 0\n"),
            "needle.toml:7:23: tail_down_tolerance is 0; tail_down_tolerance must be more than 0 "
            "and at most 90: it is in degrees");
  EXPECT_EQ(refused_target("tail_down = 5\nlist_tolerance = -1\n"),
            "needle.toml:7:18: list_tolerance is -1; list_tolerance must be more than 0 and at "
            "most 90: it is in degrees");
  EXPECT_EQ(refused_target("reserve = 5\nreserve_tolerance = 0\n"),
            "needle.toml:7:21: reserve_tolerance is 0; reserve_tolerance must be more than 0");
  EXPECT_EQ(refused_target("least_stiffness_min = 0\n"),
            "needle.toml:6:23: least_stiffness_min is 0; least_stiffness_min must be more than 0: "
            "it is in g mm per degree");
  EXPECT_EQ(refused_target("least_stiffness_min = \"2 g\"\n"),
            "needle.toml:6:23: least_stiffness_min = \"2 g\" is a mass; a stiffness in g mm per "
            "degree is wanted here, a plain number");
  EXPECT_EQ(refused_target("tail_down = 5\nwall_min = -1\n"),
            "needle.toml:7:12: wall_min is -1; wall_min must be 0 or more");
}

TEST_F(Wishes, AToleranceAloneSaysNothing) {
  EXPECT_EQ(refused_target("reserve = 5\ntail_down_tolerance = 1\n"),
            "needle.toml:7:1: tail_down_tolerance says nothing by itself; give tail_down, or "
            "remove it");
  EXPECT_EQ(
      refused_target("tail_down = 5\nreserve_tolerance = 1\n"),
      "needle.toml:7:1: reserve_tolerance says nothing by itself; give reserve, or remove it");
}

TEST_F(Wishes, AReserveAndASinkRateFitTheState) {
  EXPECT_EQ(refused_target("state = \"suspends\"\nreserve = 4\n"),
            "needle.toml:7:1: a lure that suspends has no reserve; remove it, or write state = "
            "\"floats\" or \"sinks\"");
  EXPECT_EQ(refused_target("state = \"floats\"\nreserve = 0\n"),
            "needle.toml:7:11: a lure with a reserve of 0 suspends; write state = \"suspends\" in "
            "its place, or more than 0");
  EXPECT_EQ(refused_target("reserve = \"-4 g\"\n"),
            "needle.toml:6:11: reserve is -4; reserve must be 0 or more");
  EXPECT_EQ(refused_target("state = \"floats\"\nsink_rate = [0.2, 0.4]\n"),
            "needle.toml:7:1: only a lure that sinks has a sink_rate; write state = \"sinks\", or "
            "remove sink_rate");
  EXPECT_EQ(refused_target("sink_rate = 0.3\n"),
            "needle.toml:6:13: sink_rate leaves no room; write the slowest and the fastest that "
            "will do, in m/s, as [0.2, 0.4]");
  EXPECT_EQ(refused_target("sink_rate = [0.4, 0.2]\n"),
            "needle.toml:6:13: sink_rate goes from 0.4 down to 0.2, and nothing lies between; "
            "write the lesser first, sink_rate = [0.2, 0.4]");
  EXPECT_EQ(refused_target("sink_rate = [-0.4, 0.2]\n"),
            "needle.toml:6:14: sink_rate is -0.4; sink_rate must be between 0 and 100: it is in "
            "m/s");
}

TEST_F(Wishes, APlaceIsReadKeyByKey) {
  const Sheet sheet = parsed_with(R"([[place]]
name = "belly"
x = ["2 in", 90]
y = 1.5
above_belly = [4, "1 cm"]
mass = [0, "1 oz"]
metal = "tungsten"
diameter = [8, "1/4 in", 8]
axis = "across"
from = "left"
step = "0.5 g"
)");
  EXPECT_TRUE(sheet.has_places());
  const rig::WeightPlace& read = place_of(sheet);
  EXPECT_EQ(read.name, "belly");
  EXPECT_DOUBLE_EQ(read.x_mm.low, 50.8);
  EXPECT_EQ(read.x_mm.high, 90);
  EXPECT_TRUE(read.y_mm.fixed());
  EXPECT_EQ(read.y_mm.low, 1.5);
  EXPECT_EQ(read.height_from, rig::HeightFrom::above_belly);
  ASSERT_TRUE(read.height_mm);
  EXPECT_EQ(read.height_mm->low, 4);
  EXPECT_EQ(read.height_mm->high, 10);
  EXPECT_EQ(read.mass_g.low, 0);
  EXPECT_DOUBLE_EQ(read.mass_g.high, 28.349523125);
  EXPECT_EQ(read.density_g_cm3, 19.3);
  EXPECT_THAT(read.diameters_mm, ElementsAre(::testing::DoubleEq(6.35), 8));
  EXPECT_EQ(read.axis, rig::HoleAxis::across);
  EXPECT_EQ(read.mouth, rig::Mouth::left);
  EXPECT_EQ(read.step_g, 0.5);
  EXPECT_THAT(read.stock_g, IsEmpty());
}

TEST_F(Wishes, APlaceOfFewWordsIsOnTheMiddlePlaneAtAnyHeight) {
  const rig::WeightPlace read =
      place_of(parsed_with("[[place]]\nx = 70\nmass = 9\ndensity = 11\n"));
  EXPECT_EQ(read.name, "weight");
  EXPECT_TRUE(read.x_mm.fixed());
  EXPECT_EQ(read.x_mm.low, 70);
  EXPECT_EQ(read.y_mm.low, 0);
  EXPECT_EQ(read.y_mm.high, 0);
  EXPECT_FALSE(read.height_mm);
  EXPECT_TRUE(read.mass_g.fixed());
  EXPECT_EQ(read.mass_g.low, 9);
  EXPECT_EQ(read.density_g_cm3, 11);
  EXPECT_THAT(read.diameters_mm, IsEmpty());
  EXPECT_EQ(read.axis, rig::HoleAxis::upright);
  EXPECT_FALSE(read.mouth || read.step_g);
}

TEST_F(Wishes, AHeightIsMeasuredFromTheAxisOrFromTheSkin) {
  const rig::WeightPlace axis = place_of(parsed_with(place + "z = [-12, -6]\n"));
  EXPECT_EQ(axis.height_from, rig::HeightFrom::axis);
  EXPECT_EQ(axis.height_mm->low, -12);
  const rig::WeightPlace back = place_of(parsed_with(place + "below_back = 5\n"));
  EXPECT_EQ(back.height_from, rig::HeightFrom::below_back);
  EXPECT_EQ(back.height_mm->high, 5);
  EXPECT_EQ(refusal_with(place + "z = -9\nbelow_back = 5\n"),
            "needle.toml:10:1: z and below_back can't both be given; keep one of them: each is the "
            "height");
  EXPECT_EQ(refusal_with(place + "above_belly = 5\nbelow_back = 5\n"),
            "needle.toml:10:1: above_belly and below_back can't both be given; keep one of them: "
            "each is the height");
  EXPECT_EQ(refusal_with(place + "above_belly = -5\n"),
            "needle.toml:9:15: above_belly is -5; above_belly must be 0 or more: it is measured "
            "into the body");
}

TEST_F(Wishes, TheSideOfTheHoleTellsItsAxis) {
  EXPECT_EQ(place_of(parsed_with(place + "from = \"tail\"\n")).axis, rig::HoleAxis::along);
  EXPECT_EQ(place_of(parsed_with(place + "from = \"right\"\n")).axis, rig::HoleAxis::across);
  EXPECT_EQ(place_of(parsed_with(place + "from = \"back\"\n")).axis, rig::HoleAxis::upright);
  EXPECT_EQ(
      refusal_with(place + "axis = \"upright\"\nfrom = \"tail\"\n"),
      "needle.toml:10:8: a hole with axis = \"upright\" can't be drilled from \"tail\"; along "
      "goes in from nose or tail, across from left or right, upright from belly or back");
  EXPECT_EQ(refusal_with(place + "from = \"top\"\n"),
            "needle.toml:9:8: from = \"top\" is not known; write one of \"belly\", \"back\", "
            "\"left\", \"right\", \"nose\", \"tail\"");
}

TEST_F(Wishes, StockIsWhatThereIs) {
  const std::string start = "[[place]]\nx = [50, 90]\nmetal = \"lead\"\n";  // then line 8
  const rig::WeightPlace all = place_of(parsed_with(start + "stock = [10, \"5 g\", 7, 5]\n"));
  EXPECT_THAT(all.stock_g, ElementsAre(5, 7, 10));
  EXPECT_EQ(all.mass_g.low, 5);
  EXPECT_EQ(all.mass_g.high, 10);
  const rig::WeightPlace some =
      place_of(parsed_with(start + "stock = [10, 5, 7]\nmass = [0, 8]\n"));
  EXPECT_THAT(some.stock_g, ElementsAre(5, 7)) << "of the stock what may go there";
  EXPECT_EQ(some.mass_g.low, 0) << "it may be left out";
  EXPECT_EQ(refusal_with(start + "stock = []\n"),
            "needle.toml:8:9: stock has nothing to choose from; write one value or more into its "
            "brackets, or remove it");
  EXPECT_EQ(refusal_with(start + "stock = [5, 0]\n"),
            "needle.toml:8:13: stock is 0; stock must be more than 0");
  EXPECT_EQ(refusal_with(start + "stock = [5, 7]\nmass = [8, 20]\n"),
            "needle.toml:8:9: no mass of stock lies within mass, 8 to 20 g; widen mass, add to "
            "stock, or keep one of them");
  EXPECT_EQ(refusal_with(start + "stock = [5, 7]\nmass = [0, 8]\nstep = 1\n"),
            "needle.toml:10:1: step and stock can't both be given; keep step for what is poured or "
            "cut, stock for what is bought");
}

TEST_F(Wishes, StepsLieWithinTheMass) {
  const std::string start = "[[place]]\nx = [50, 90]\nmetal = \"lead\"\n";  // then line 8
  // 0.3 is three times 0.1, though 0.3 / 0.1 is less than 3 in doubles.
  EXPECT_EQ(refusal_with(start + "mass = 0.3\nstep = 0.1\n"), "accepted");
  EXPECT_EQ(refusal_with(start + "mass = [0, 0.4]\nstep = 0.5\n"),
            "needle.toml:9:8: no whole number of steps of 0.5 g lies within mass, 0 to 0.4 g; take "
            "a smaller step, or widen mass");
  EXPECT_EQ(refusal_with(start + "mass = [1.1, 1.4]\nstep = 0.5\n"),
            "needle.toml:9:8: no whole number of steps of 0.5 g lies within mass, 1.1 to 1.4 g; "
            "take a smaller step, or widen mass");
  EXPECT_EQ(refusal_with(start + "mass = [0, 4]\nstep = 0\n"),
            "needle.toml:9:8: step is 0; step must be more than 0");
}

TEST_F(Wishes, RangesHoldSomething) {
  const std::string rest = "mass = [0, 20]\nmetal = \"lead\"\n";
  EXPECT_EQ(refusal_with("[[place]]\nx = [90, 50]\n" + rest),
            "needle.toml:6:5: x goes from 90 down to 50, and nothing lies between; write the "
            "lesser first, x = [50, 90]");
  EXPECT_EQ(refusal_with("[[place]]\nx = [50, 70, 90]\n" + rest),
            "needle.toml:6:5: x is no range; write its least and its greatest as a list of two, or "
            "one number");
  EXPECT_EQ(refusal_with("[[place]]\nx = \"50 g\"\n" + rest),
            "needle.toml:6:5: x = \"50 g\" is a mass; a length is wanted here (mm, cm, m, in, ft)");
  EXPECT_EQ(refusal_with("[[place]]\n" + rest),
            "needle.toml:5:1: [[place]] has no x; write x = [50, 90], where along the body the "
            "weight may go");
  EXPECT_EQ(refusal_with(place + "y = [3, -3]\n"),
            "needle.toml:9:5: y goes from 3 down to -3, and nothing lies between; write the lesser "
            "first, y = [-3, 3]");
  const std::string start = "[[place]]\nx = 50\nmetal = \"lead\"\n";  // then line 8
  EXPECT_EQ(refusal_with(start),
            "needle.toml:5:1: [[place]] has no mass; write mass = [0, 20], or the masses that "
            "there are, as stock = [5, 7, 10]");
  EXPECT_EQ(refusal_with(start + "mass = [0, 0]\n"),
            "needle.toml:8:8: a weight of 0 g is none; write the range that it may have, as mass = "
            "[0, 20], or remove this [[place]]");
  EXPECT_EQ(refusal_with(start + "mass = [-1, 5]\n"),
            "needle.toml:8:9: mass is -1; mass must be 0 or more");
  EXPECT_EQ(refusal_with("[[place]]\nx = 50\nmass = 5\n"),
            "needle.toml:5:1: [[place]] needs metal or density; give one of them");
  EXPECT_EQ(refusal_with(place + "diameter = []\n"),
            "needle.toml:9:12: diameter has nothing to choose from; write one value or more into "
            "its brackets, or remove it");
  EXPECT_EQ(refusal_with(place + "diameter = [8, 0]\n"),
            "needle.toml:9:16: diameter is 0; diameter must be more than 0");
}

TEST_F(Wishes, ThereAreNoMoreThanSixPlaces) {
  std::string places;
  for (int i = 0; i < 6; ++i) places += place;
  EXPECT_EQ(refusal_with(places), "accepted");
  EXPECT_EQ(refusal_with(places + place),
            "needle.toml:29:1: there are more than 6 of [[place]]; fix some of the weights as "
            "[[ballast]], or remove some");
}

TEST_F(Wishes, APlaceHasANameAmongTheParts) {
  const Sheet sheet = parsed_with(place + place + place + "name = \"weight 2\"\n");
  EXPECT_EQ(sheet.contents().places[0].part.name, "weight");
  EXPECT_EQ(sheet.contents().places[1].part.name, "weight 3");
  EXPECT_EQ(sheet.contents().places[2].part.name, "weight 2");
  EXPECT_EQ(refusal_with(hook + "name = \"belly\"\n" + place + "name = \"belly\"\n"),
            "needle.toml:14:1: the name \"belly\" is taken already, at needle.toml:9:1; give each "
            "part a name of its own");
}

TEST_F(Wishes, AHookMayComeInSizesAndHangElsewhere) {
  const Sheet sheet = parsed_with(hook + "sizes = [\"18 g\", 9]\neye_x = [50, 75]\n" + hook);
  const WrittenHook& read = sheet.contents().hooks[0];
  EXPECT_TRUE(read.has_choice());
  EXPECT_THAT(read.sizes_g, ElementsAre(9, 14, 18)) << "its own mass is one of them";
  ASSERT_TRUE(read.eye_x_mm);
  EXPECT_EQ(read.eye_x_mm->low, 50);
  EXPECT_EQ(read.eye_x_mm->high, 75);
  EXPECT_FALSE(sheet.contents().hooks[1].has_choice());
  EXPECT_FALSE(parsed_with(hook + "sizes = [14]\n").contents().hooks[0].has_choice());
  EXPECT_EQ(refusal_with(hook + "sizes = []\n"),
            "needle.toml:9:9: sizes has nothing to choose from; write one value or more into its "
            "brackets, or remove it");
  EXPECT_EQ(refusal_with(hook + "sizes = [9, -1]\n"),
            "needle.toml:9:13: sizes is -1; sizes must be more than 0");
  EXPECT_EQ(refusal_with(hook + "eye_x = [75, 50]\n"),
            "needle.toml:9:9: eye_x goes from 75 down to 50, and nothing lies between; write the "
            "lesser first, eye_x = [50, 75]");
}

std::string refused_without_target(std::string_view more) {
  try {
    require_target(parsed_with(more));
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "accepted";
}

TEST_F(Wishes, WeightsAreFoundForATargetByWhatMayChange) {
  const std::string target = "[target]\ntail_down = 5\n";
  EXPECT_EQ(refused_without_target(place),
            "needle.toml:1:1: [target] is missing; write [target] and below it how the lure is to "
            "lie, as state = \"floats\", tail_down = 12");
  EXPECT_EQ(refused_without_target(hook + target),
            "needle.toml:9:1: there is a [target], and nothing that may be changed for it; write a "
            "[[place]] for each weight to be found, or sizes or eye_x in a [[hook]]");
  EXPECT_EQ(refused_without_target(place + target), "accepted");
  EXPECT_EQ(refused_without_target(hook + "sizes = [9]\n" + target), "accepted");
  EXPECT_EQ(refused_without_target(hook + "eye_x = [50, 60]\n" + target), "accepted");
}

TEST_F(Wishes, TheTextIsKeptAsItWas) {
  const std::string text = "\xEF\xBB\xBF" + sheet_with("# caf\u00E9 \r\n" + place);
  EXPECT_EQ(parse_sheet(text, "needle.toml").text(), text);
}

}  // namespace
}  // namespace trueblank::sheet
