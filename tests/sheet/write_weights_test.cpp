// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/write_weights.h"

#include <gmock/gmock.h>

#include <cmath>
#include <random>

#include "framed_bodies.h"
#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

using geometry::Vec3;
using ::testing::HasSubstr;
using ::testing::Not;

class SheetsWithWeights : public InAFolder {};

ResolvedRig resolved(std::string_view text) {
  return resolve(parse_sheet(text, "needle.toml"), plank());
}

// A law: the sheet with weights gives the old one's rig with these weights after its own and these
// hooks, to the last bit.
void expect_written(const std::string& text, const std::vector<FoundWeight>& weights,
                    const std::vector<ChangedHook>& hooks) {
  SCOPED_TRACE(text);
  const ResolvedRig before = resolved(text);
  const std::string written = with_weights(text, weights, hooks);
  SCOPED_TRACE(written);
  const ResolvedRig after = resolved(written);
  EXPECT_FALSE(parse_sheet(written, "needle.toml").has_places());
  ASSERT_EQ(after.rig.ballasts.size(), before.rig.ballasts.size() + weights.size());
  for (std::size_t i = 0; i < after.rig.ballasts.size(); ++i) {
    const std::size_t own = before.rig.ballasts.size();
    const rig::Ballast& wanted = i < own ? before.rig.ballasts[i] : weights[i - own].ballast;
    const rig::Ballast& found = after.rig.ballasts[i];
    EXPECT_EQ(found.name, wanted.name);
    EXPECT_EQ(found.at_mm, wanted.at_mm);
    EXPECT_EQ(found.mass_g, wanted.mass_g);
    EXPECT_EQ(found.density_g_cm3, wanted.density_g_cm3);
    EXPECT_EQ(found.diameter_mm, wanted.diameter_mm);
    EXPECT_EQ(found.axis, wanted.axis);
  }
  std::vector<rig::Hook> wanted = before.rig.hooks;
  for (const ChangedHook& change : hooks) {
    if (change.mass_g) wanted[change.hook].mass_g = *change.mass_g;
    if (change.eye_mm) wanted[change.hook].eye_mm = *change.eye_mm;
  }
  ASSERT_EQ(after.rig.hooks.size(), wanted.size());
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    EXPECT_EQ(after.rig.hooks[i].name, wanted[i].name);
    EXPECT_EQ(after.rig.hooks[i].eye_mm, wanted[i].eye_mm);
    EXPECT_EQ(after.rig.hooks[i].mass_g, wanted[i].mass_g);
    EXPECT_EQ(after.rig.hooks[i].hang_mm, wanted[i].hang_mm);
    EXPECT_EQ(after.rig.hooks[i].density_g_cm3, wanted[i].density_g_cm3);
  }
  EXPECT_EQ(after.rig.wood_density_g_cm3, before.rig.wood_density_g_cm3);
  EXPECT_EQ(after.rig.wires.size(), before.rig.wires.size());
}

FoundWeight lead(std::size_t place, const std::string& name, const Vec3& at_mm, double mass_g) {
  return {.place = place,
          .ballast = {.name = name, .at_mm = at_mm, .mass_g = mass_g, .density_g_cm3 = 11.34}};
}

constexpr std::string_view whole_sheet = R"(# A plank, second try
[body]
mesh = "needle.stl"   # beside this

[wood]
density = 0.4

[[ballast]]
name = "nose"
at = [12, -9]
mass = 1
metal = "tin"

[[place]] # under the belly
name = "belly"
x = [50,   # as far as the wire
     90]
z = [-12, -6]

# no more than this
mass = [0, 20]
metal = "lead"
diameter = 8

[[hook]]
name = "treble"
eye = { station = 62, below_belly = 1 }   # recessed
mass = "14 g"
size_up = "16 g"
metal = "steel"
sizes = ["9 g", "18 g"]
eye_x = [50, 75]

[target]
tail_down = 12
)";

TEST_F(SheetsWithWeights, AreTheOldTextButForWhatWasFound) {
  const std::string written =
      with_weights(whole_sheet,
                   {{.place = 0,
                     .ballast = {.name = "belly",
                                 .at_mm = {71.25, 0, -8.5},
                                 .mass_g = 9.5,
                                 .density_g_cm3 = 11.34,
                                 .diameter_mm = 8,
                                 .axis = rig::HoleAxis::upright}}},
                   {{.hook = 0, .mass_g = 18, .eye_mm = Vec3(70.5, 0, -16)}});
  EXPECT_EQ(written, R"(# A plank, second try
[body]
mesh = "needle.stl"   # beside this

[wood]
density = 0.4

[[ballast]]
name = "nose"
at = [12, -9]
mass = 1
metal = "tin"

# [[place]] # under the belly
# name = "belly"
# x = [50,   # as far as the wire
#      90]
# z = [-12, -6]

# no more than this
# mass = [0, 20]
# metal = "lead"
# diameter = 8

[[hook]]
name = "treble"
# eye = { station = 62, below_belly = 1 }   # recessed
eye = [70.5, 0, -16]   # recessed
# mass = "14 g"
mass = 18
# size_up = "16 g"
metal = "steel"
sizes = ["9 g", "18 g"]
eye_x = [50, 75]

[target]
tail_down = 12

[[ballast]]
name = "belly"
at = [71.25, 0, -8.5]
mass = 9.5
metal = "lead"
diameter = 8
axis = "upright"
)");
}

TEST_F(SheetsWithWeights, GiveTheSameRigToTheLastBit) {
  std::mt19937_64 random(5);
  std::uniform_real_distribution<double> even(0, 1);
  for (int i = 0; i < 200; ++i) {
    const Vec3 at(1 + 98 * even(random), 18 * even(random) - 9, 28 * even(random) - 14);
    FoundWeight weight = lead(0, "belly", at, std::pow(10, 6 * even(random) - 5));
    if (i % 3 == 0) weight.ballast.density_g_cm3 = 1 + 20 * even(random);
    if (i % 2 == 0) weight.ballast.diameter_mm = 10 * even(random) + 1e-9;
    if (i % 5 != 0) weight.ballast.axis = static_cast<rig::HoleAxis>(i % 3);
    const ChangedHook hook{.hook = 0,
                           .mass_g = 1 + 15 * even(random),
                           .eye_mm = Vec3(100 * even(random), even(random) * 1e-7, -15)};
    expect_written(std::string(whole_sheet), {weight}, {hook});
  }
}

TEST_F(SheetsWithWeights, MayBeWrittenInAnyOfTomlsForms) {
  const std::string body = "[body]\nmesh = \"needle.stl\"\n[wood]\ndensity = 0.4\n";
  const std::string place = "[[place]]\nx = [50, 90]\nmass = [0, 20]\nmetal = \"lead\"\n";
  const std::string places_in_a_list =
      "place = [ { x = [50, 90], mass = [0, 20], metal = \"lead\" },\n  # a remark ]\n"
      "  { name = \"b # ] \", x = 20, mass = 2, density = 9 } ]\n";
  const std::string ballast_in_a_list =
      "ballast = [ { at = [20, 0], mass = 1, metal = \"lead\" } ]\n";
  const FoundWeight found = lead(0, "weight", {70, 0, -9}, 5);
  const std::string end = "# the end";
  for (const std::string& text :
       {body + place,
        body + place + end,      // whose last line has no end
        body + place + "y = 0",  // nor has the place's last
        place + body,            // the first table
        body + place + "[[ballast]]\nat = [20, 0]\nmass = 1\nmetal = \"lead\"\n",
        places_in_a_list + body, ballast_in_a_list + body + place, "ballast = []\n" + body + place,
        "ballast = [ { at = [20, 0], mass = 1, metal = \"lead\" }, # a remark\n ]\n" + body + place,
        "\xEF\xBB\xBF" + place + body,
        body +
            "[target] # caf\u00E9\ntail_down = 2\n  [[ place ]]\n\t\"x\" = [ 50, 90 ]\nmass = [0, "
            "20]\nmetal = 'lead'\nname = 'weight'\n"}) {
    expect_written(text, {found}, {});
    std::string with_carriage_returns;
    for (const char c : text) with_carriage_returns += c == '\n' ? "\r\n" : std::string(1, c);
    expect_written(with_carriage_returns, {found}, {});
    const std::string written = with_weights(with_carriage_returns, {found}, {});
    for (std::size_t i = 1; i < written.size(); ++i) {
      EXPECT_TRUE(written[i] != '\n' || written[i - 1] == '\r') << written;
    }
    expect_written(text, {}, {});
  }
  expect_written(body + place + place,
                 {lead(1, "weight 2", {70, 0, -9}, 5), lead(0, "weight", {80, 0, 1}, 2)}, {});
}

TEST_F(SheetsWithWeights, ChangeHooksInAnyOfTomlsForms) {
  const std::string body = "[body]\nmesh = \"needle.stl\"\n[wood]\ndensity = 0.4\n";
  const std::string rest = "metal = \"steel\"\n";
  const std::string place = "[[place]]\nx = [50, 90]\nmass = [0, 20]\nmetal = \"lead\"\n";
  const std::string second = "[[hook]]\neye = [30, -15]\nmass = 2\nmetal = \"steel\"\n";
  const Vec3 eye(70.5, 0.25, -16);
  const std::string in_a_list =
      "hook = [ { eye = [62, -16], mass = 14, metal = \"steel\" },\n"
      "  { size_up = 15, eye.station = 62, mass = 14, 'eye'.below_belly = 1, metal = \"steel\" },\n"
      "  { name = \"\"\"two\nlines, {\"\"\", eye = [62,\n -16], metal = \"steel\", mass = \"14 "
      "g\", "
      "size_up = \"15 g\" } ]\n";
  for (const std::string& text :
       {body + "[[hook]]\neye = [62, -16]\nmass = 14\n" + rest + second,
        body + "[[hook]]\neye = [\n  62, # along\n  -16 ]\nmass = 14 # as weighed\n" + rest +
            second,
        body + "[[hook]]\neye.station = 62\nmass = 14\neye.below_belly = 1\n" + rest + second,
        body + "[[hook]]\nsize_up = 15\nmass = 14\n" + rest +
            "[hook.eye]\nstation = 62\nbelow_belly = 1\n" + second,
        "[[hook]]\nmass = 14\n" + rest + body + "[hook.eye]\nstation = 62\nbelow_belly = 1\n" +
            second,
        in_a_list + body}) {
    for (const std::size_t index : {0U, 1U}) {
      expect_written(text, {}, {{.hook = index, .mass_g = 18, .eye_mm = eye}});
      expect_written(text, {}, {{.hook = index, .mass_g = 18}});
      expect_written(text, {}, {{.hook = index, .eye_mm = eye}});
      expect_written(text + place, {lead(0, "weight", {70, 0, -9}, 5)},
                     {{.hook = index, .mass_g = 13.5, .eye_mm = eye}});
    }
    expect_written(text, {},
                   {{.hook = 0, .mass_g = 18, .eye_mm = eye},
                    {.hook = 1, .mass_g = 19, .eye_mm = Vec3(30, 0, -16)}});
  }
  expect_written(
      in_a_list + body, {},
      {{.hook = 1, .mass_g = 18, .eye_mm = eye}, {.hook = 2, .mass_g = 18, .eye_mm = eye}});
}

TEST_F(SheetsWithWeights, LeaveAloneWhatStaysAsItIs) {
  const std::string text =
      sheet_with("[[hook]]\neye = [62, -16]\nmass = \"14 g\"\nmetal = \"steel\"\n");
  EXPECT_EQ(with_weights(text, {}, {}), text);
  EXPECT_EQ(with_weights(text, {}, {{.hook = 0, .mass_g = 14, .eye_mm = Vec3(62, 0, -16)}}), text);
}

TEST_F(SheetsWithWeights, CallAMetalAsThePlaceDoesWhereItIsThat) {
  const std::string place = "[[place]]\nx = [50, 90]\nmass = [0, 20]\n";
  const FoundWeight found = lead(0, "say \"belly\" \\", {70, 0, -9}, 5);
  const std::string by_name = with_weights(sheet_with(place + "metal = \"Lead\"\n"), {found}, {});
  EXPECT_THAT(by_name, HasSubstr("\nmetal = \"Lead\"\n"));
  EXPECT_THAT(by_name, HasSubstr("\nname = \"say \\\"belly\\\" \\\\\"\n"));
  EXPECT_EQ(parse_sheet(by_name, "needle.toml").has_places(), false);
  const std::string by_density = with_weights(sheet_with(place + "density = 11.34\n"), {found}, {});
  EXPECT_THAT(by_density, HasSubstr("\ndensity = 11.34\n"));
  EXPECT_THAT(by_density.substr(by_density.find("[[ballast]]")), Not(HasSubstr("metal")));
}

}  // namespace
}  // namespace trueblank::sheet
