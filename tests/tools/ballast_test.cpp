// SPDX-License-Identifier: GPL-3.0-or-later
// ballast from sheet to plan, as a user runs it.
#include <gmock/gmock.h>

#include <filesystem>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;

// An ellipsoid of 80, 10 and 12 mm: 40.2 cm³, in water of 1 g/cm³ and wood of 0.5 g/cm³.
class Wanted : public Tool {
 protected:
  Wanted() { write_ply("egg.ply", test_bodies::ellipsoid(80, 10, 12, 24, 24)); }

  static std::string head() {
    return "title = \"Egg\"\n[body]\nmesh = \"egg.ply\"\nnose = \"-x\"\nback = \"+z\"\n[wood]\n"
           "density = 0.5\n[water]\ndensity = 1.0\n";
  }

  static std::string place() {
    return "[[place]]\nname = \"belly\"\nx = [60, 110]\nz = [-9, -2]\nmass = [0, 25]\n"
           "metal = \"tungsten\"\ndiameter = 12\naxis = \"upright\"\n";
  }

  static std::string target(const std::string& more = "") {
    return "[target]\nstate = \"floats\"\ntail_down = 4\nreserve = \"6 g\"\n"
           "reserve_tolerance = 0.1\nwall_min = 1.5\n" +
           more;
  }

  void write_sheet(const std::string& text) { write("egg.toml", text); }
};

// Source: what floats with a reserve R on a body of volume V in water ρ carries, net of the wood
// that the weight takes the place of, m(1 − ρ_wood/ρ_metal) = V(ρ − ρ_wood) − R. Here prefer is
// "light", so the least mass is taken that the reserve's tolerance allows.
TEST_F(Wanted, OneWeightHasTheMassThatItsReserveLeavesRoomFor) {
  write_sheet(head() + target() + place());
  const Json json = json_of({"ballast", "egg.toml"});
  EXPECT_EQ(json["met"], true);
  ASSERT_EQ(json["weights"].size(), 1U);
  const double volume_cm3 =
      geometry::moments(test_bodies::closed(test_bodies::ellipsoid(80, 10, 12, 24, 24)))
          .volume_mm3 /
      1000;
  const double reserve_g = json["result"]["reserve_g"].get<double>();
  EXPECT_NEAR(reserve_g, 6, 0.1 + 1e-9);
  const double mass_g = (volume_cm3 * (1 - 0.5) - reserve_g) / (1 - 0.5 / 19.3);
  EXPECT_NEAR(json["weights"][0]["mass_g"].get<double>(), mass_g, 1e-6);
  EXPECT_NEAR(
      json["result"]["poses"][json["pose"].get<std::size_t>()]["tail_down_deg"].get<double>(), 4,
      1);
}

TEST_F(Wanted, FloatSaysTheSameOfTheWrittenSheetToTheLastDigit) {
  write_sheet(head() + target() + place() +
              "[[hook]]\nname = \"belly treble\"\neye = [70, -12]\nmass = 2\nmetal = \"steel\"\n"
              "hang = 10\nsizes = [2, 3]\n");
  const Json json = json_of({"ballast", "egg.toml", "--write", "plan.toml"});
  EXPECT_EQ(json_of({"float", "plan.toml"}), json["result"]);
  EXPECT_THAT(read("plan.toml"), HasSubstr("# [[place]]"));
}

TEST_F(Wanted, APlanWrittenToAnotherFolderFindsItsMesh) {
  write_sheet(head() + target() + place());
  std::filesystem::create_directory(path("plans"));
  const Json json = json_of({"ballast", "egg.toml", "--write", "plans/plan.toml"});
  EXPECT_EQ(json_of({"float", "plans/plan.toml"}), json["result"]);
}

TEST_F(Wanted, InAnotherWoodTheSheetSaysSo) {
  write_sheet(head() + target() + place());
  const Json json =
      json_of({"ballast", "egg.toml", "--wood", "western redcedar", "--write", "plan.toml"});
  EXPECT_THAT(read("plan.toml"), HasSubstr("species = \"western redcedar\"\n# density = 0.5\n"));
  EXPECT_EQ(json_of({"float", "plan.toml"}), json["result"]);
  EXPECT_GT(json["added_g"].get<double>(),
            json_of({"ballast", "egg.toml"})["added_g"].get<double>());
}

TEST_F(Wanted, WhatCantBeMetExitsWithOneAndSaysWhy) {
  write_sheet(head() + target("least_stiffness_min = 500\n") + place());
  const Ran ran = run({"ballast", "egg.toml", "--write", "plan.toml", "--json", "plan.json"});
  EXPECT_EQ(ran.exit, 1);
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(ran.out, StartsWith("Not met; the nearest is "));
  const Json json = Json::parse(read("plan.json"));
  expect_valid("ballast", json);
  EXPECT_EQ(json["met"], false);
  EXPECT_TRUE(exists("plan.toml"));
}

TEST_F(Wanted, FilesAreWrittenAndNamed) {
  write_sheet(head() + target() + place());
  const Ran ran = run({"ballast", "egg.toml", "--plan", "plan.svg", "--paper", "letter"});
  EXPECT_EQ(ran.exit, 0);
  EXPECT_THAT(ran.out, HasSubstr("Written: plan.svg\n"));
  EXPECT_THAT(read("plan.svg"), HasSubstr("Drilling plan: Egg"));
  EXPECT_EQ(run({"ballast", "egg.toml", "--plan", "plan.pdf"}).exit, 0);
  EXPECT_THAT(read("plan.pdf"), StartsWith("%PDF-1.4"));
}

TEST_F(Wanted, IsTheSameWhateverTheThreads) {
  write_sheet(head() + target() + place());
  const Ran one = run({"ballast", "egg.toml", "--threads", "1", "--json", "-"});
  const Ran five = run({"ballast", "egg.toml", "--threads", "5", "--json", "-"});
  EXPECT_EQ(one.exit, 0);
  EXPECT_EQ(five.exit, 0) << five.err;
  EXPECT_EQ(one.out, five.out);
}

// Source: the sheet itself with wood of 0.53 g/cm³ for 0.5, floated: what it then does is what is
// seen, so that much must come out as the change of the wood's density.
TEST_F(Wanted, ALureThatIsHeavierThanItsSheetIsExplainedByItsWood) {
  const std::string weight =
      "[[ballast]]\nname = \"belly\"\nat = [88, -5]\nmass = 9\nmetal = \"tungsten\"\n"
      "[tolerances]\nmass = 0.02\nplace = 0.3\nscale = 0.02\nwood_density = 5\n";
  std::string heavier = head();
  heavier.replace(heavier.find("density = 0.5\n"), 14, "density = 0.53\n");
  write("heavier.toml", heavier + weight);
  const double reserve_g = json_of({"float", "heavier.toml"})["reserve_g"].get<double>();
  write_sheet(head() + weight);
  // Lead stuck on outside sinks it once its own weight in water is the reserve.
  const double sank_with_g = reserve_g / (1 - 1 / 11.34);
  const Ran ran = run(
      {"ballast", "egg.toml", "--seen", "sank_with=" + std::to_string(sank_with_g), "--json", "-"});
  EXPECT_EQ(ran.exit, 0);
  const Json json = Json::parse(ran.out);
  expect_valid("ballast", json);
  ASSERT_FALSE(json["seen"]["changes"].empty());
  const Json& first = json["seen"]["changes"][0];
  EXPECT_THAT(first["what"].get<std::string>(), HasSubstr("wood"));
  EXPECT_NEAR(first["by"].get<double>(), 6, 0.5);
  // It lies as foretold, only deeper, and nothing that can be added makes it lighter.
  EXPECT_TRUE(json["seen"]["remedies"].empty());
}

// Source: the sheet itself with the tub's water in place of its own, floated; nothing is off. The
// density by EOS-80's table, between 1026.95 at 10 and 1025.97 kg/m³ at 15 °C.
TEST_F(Wanted, WhatTheTubShowsIsHeldAgainstTheTubsWater) {
  const std::string weight =
      "[[ballast]]\nname = \"belly\"\nat = [88, -5]\nmass = 9\nmetal = \"tungsten\"\n";
  std::string in_sea = head();
  in_sea.replace(in_sea.find("density = 1.0\n"), 14, "kind = \"sea\"\ntemperature = 12\n");
  write("sea.toml", in_sea + weight);
  const Json sea = json_of({"float", "sea.toml"});
  const std::string tail = std::to_string(sea["poses"][0]["tail_down_deg"].get<double>());
  write_sheet(head() + weight);
  const Json json =
      json_of({"ballast", "egg.toml", "--seen", "tail_down=" + tail + ",water=sea,temperature=12"});
  EXPECT_LT(json["seen"]["sigmas"].get<double>(), 1e-3);
  EXPECT_NEAR(json["seen"]["by_sheet"]["reserve_g"].get<double>(), sea["reserve_g"].get<double>(),
              1e-9);
  EXPECT_NEAR(json["seen"]["water_density_g_cm3"].get<double>(), 1.0266, 1e-4);
}

TEST_F(Wanted, AListIsMendedByAWeightOnTheOtherSide) {
  write_sheet(head() +
              "[[ballast]]\nname = \"belly\"\nat = [88, -5]\nmass = 9\nmetal = \"tungsten\"\n");
  const Json json = json_of({"ballast", "egg.toml", "--seen", "list=3"});
  ASSERT_FALSE(json["seen"]["remedies"].empty());
  EXPECT_LT(json["seen"]["remedies"][0]["at_mm"][1].get<double>(), 0);
}

TEST_F(Wanted, WhatCantBeUsedIsRefusedInOneLine) {
  write_sheet(head() + place());
  EXPECT_THAT(refusal({"ballast", "egg.toml"}), HasSubstr("[target] is missing"));
  write_sheet(head() + target());
  EXPECT_THAT(refusal({"ballast", "egg.toml"}), HasSubstr("nothing that may be changed"));
  write_sheet(head() + target() + place());
  const auto refused = [&](const std::vector<std::string>& more) {
    std::vector<std::string> all{"ballast", "egg.toml"};
    all.insert(all.end(), more.begin(), more.end());
    return refusal(all);
  };
  EXPECT_EQ(refused({"--wood", "oakum"}),
            "trueblank: --wood: \"oakum\" is not a wood in the table; write a name such as western "
            "redcedar, or a density in g/cm3");
  EXPECT_THAT(refused({"--wood", "-0.4"}), StartsWith("trueblank: --wood: "));
  EXPECT_THAT(refused({"--seen", "tail=4"}), StartsWith("trueblank: --seen: \"tail=4\""));
  EXPECT_THAT(refused({"--seen", "list=2,list=3"}), StartsWith("trueblank: --seen: "));
  EXPECT_EQ(refused({"--seen", "tail_down=95"}),
            "trueblank: --seen tail_down: \"95\" is not such an angle; write degrees, such as "
            "12.5");
  EXPECT_THAT(refused({"--seen", "sank_with=0"}), StartsWith("trueblank: --seen sank_with: "));
  EXPECT_THAT(refused({"--seen", "water=fresh"}), StartsWith("trueblank: --seen: "));
  EXPECT_EQ(refused({"--seen", "list=3,temperature=15"}),
            "trueblank: --seen temperature: \"15\" is not of use here; write water=fresh or "
            "water=sea beside it");
  EXPECT_THAT(refused({"--seen", "list=3,water=sweet"}), StartsWith("trueblank: --seen water: "));
  EXPECT_EQ(refused({"--seen", "list=3,water=sea,temperature=60"}),
            "trueblank: --seen temperature: \"60\" is not the temperature of a water; write -2 to "
            "40 degC");
  EXPECT_THAT(refused({"--write", "plan.txt"}), HasSubstr("does not end in .toml"));
  EXPECT_THAT(refused({"--plan", "plan.png"}), HasSubstr("does not end in .svg or .pdf"));
  EXPECT_EQ(refused({"--paper", "a4"}),
            "trueblank: ballast: --paper is for --plan, which is not given; add --plan, or leave "
            "--paper out");
  EXPECT_EQ(refused({"--seed", "3"}),
            "trueblank: ballast: --seed is for --tolerances, which is not given; add --tolerances, "
            "or leave --seed out");
  EXPECT_EQ(refused({"--seen", "list=3", "--write", "plan.toml"}),
            "trueblank: ballast: --write goes with a plan, and --seen explains a lure that is "
            "built; leave one of them out");
  EXPECT_THAT(refused({"--woods=yes"}), HasSubstr("takes no value"));
  EXPECT_THAT(refused({"--nose", "+x"}), HasSubstr("the sheet has it inside"));
  EXPECT_THAT(refused({"--write", "egg.toml"}), HasSubstr("would overwrite"));
  EXPECT_THAT(refusal({"ballast", "none.toml"}), HasSubstr("none.toml"));
  EXPECT_THAT(refusal({"ballast"}), HasSubstr("SHEET is missing"));
}

}  // namespace
}  // namespace trueblank::test_tool
