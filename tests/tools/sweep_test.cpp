// SPDX-License-Identifier: GPL-3.0-or-later
// float --sweep: a map over one or two quantities of a sheet, and what it is refused.
#include <gmock/gmock.h>

#include <cmath>
#include <set>
#include <sstream>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::StartsWith;

class Sweeps : public Tool {
 protected:
  Sweeps() {
    write_stl("egg.stl", test_bodies::ellipsoid(80, 10, 12, 24, 24));
    write("egg.toml", sheet("12", "82, -7", "0.4"));
  }

  static std::string sheet(const std::string& mass, const std::string& at,
                           const std::string& wood) {
    return "[body]\nmesh = \"egg.stl\"\nnose = \"-x\"\nback = \"+z\"\n[wood]\ndensity = " + wood +
           "\n[[ballast]]\nname = \"keel, 1\"\nat = [" + at + "]\nmass = " + mass +
           "\nmetal = \"bismuth\"\n[[hook]]\nname = \"belly.treble\"\neye = [60, -11]\nmass = 3\n"
           "metal = \"steel\"\nhang = 15\n";
  }

  Json swept(const std::vector<std::string>& options) {
    std::vector<std::string> line = {"float", "egg.toml"};
    line.insert(line.end(), options.begin(), options.end());
    return json_of(line)["sweep"];
  }
};

TEST_F(Sweeps, AreNotDrawnUnlessAskedFor) { EXPECT_TRUE(swept({}).is_null()); }

// Law: each build of the map is a sheet of its own, and lies in one of its poses. Tolerance: two
// ways to a pose agree to 1e-9 rad, a facetted body's stiffness to 1e-7.
TEST_F(Sweeps, TellOfEachBuildWhatFloatTellsOfItsSheet) {
  const Json map = swept({"--sweep", "keel, 1.mass=8:12:2", "--sweep", "keel, 1.x=70:85:3"});
  ASSERT_EQ(map["axes"][0]["key"], "keel, 1.mass");
  ASSERT_EQ(map["axes"][1]["values"], Json({70.0, 77.5, 85.0}));
  EXPECT_EQ(map["axes"][0]["sheet_value"], 12.0);
  int checked = 0;
  for (std::size_t i = 0; i < 2; ++i) {
    for (std::size_t j = 0; j < 3; ++j) {
      const std::string mass = map["axes"][0]["values"][i].dump();
      const std::string x = map["axes"][1]["values"][j].dump();
      write("one.toml", sheet(mass, x + ", -7", "0.4"));
      const Json one = json_of({"float", "one.toml"});
      const std::size_t k = 3 * i + j;
      EXPECT_EQ(map["state"][k], one["state"]);
      EXPECT_NEAR(map["reserve_g"][k], one["reserve_g"], 1e-9);
      for (const Json& pose : one["poses"]) {
        const double tail = map["tail_down_deg"][k];
        if (std::abs(tail - pose["tail_down_deg"].get<double>()) > 1e-3) continue;
        if (pose["list_deg"].is_null() || map["list_deg"][k].is_null()) continue;
        if (std::abs(map["list_deg"][k].get<double>() - pose["list_deg"].get<double>()) > 1) {
          continue;
        }
        EXPECT_NEAR(tail, pose["tail_down_deg"], 1e-7);
        EXPECT_NEAR(map["list_deg"][k], pose["list_deg"], 1e-6);
        EXPECT_NEAR(map["least_stiffness_g_mm_per_deg"][k], pose["least_stiffness_g_mm_per_deg"],
                    1e-7);
        ++checked;
        break;
      }
    }
  }
  EXPECT_EQ(checked, 6);
}

TEST_F(Sweeps, TakeUnitsAndNamesWithDots) {
  const Json map = swept(
      {"--sweep", "belly.treble.mass=1/8 oz:0.25oz:3", "--sweep", "belly.treble.x=2 in:3in:5"});
  EXPECT_NEAR(map["axes"][0]["values"][0], 28.349523125 / 8, 1e-12);
  EXPECT_NEAR(map["axes"][1]["values"][4], 76.2, 1e-12);
  EXPECT_EQ(map["state"].size(), 15U);
  EXPECT_EQ(swept({"--sweep", "wood.density=0.3:0.5:4"})["axes"][0]["unit"], "g/cm3");
  EXPECT_EQ(swept({"--sweep=water.density=1.03:0.99:4"})["axes"][0]["values"][3], 0.99);
}

// Derivation: dry wood and water go into the reserve in straight lines.
TEST_F(Sweeps, OfDensitiesChangeTheReserveInAStraightLine) {
  for (const std::string key : {"wood.density=0.3:0.5:3", "water.density=0.99:1.03:3"}) {
    const Json reserve = swept({"--sweep", key})["reserve_g"];
    EXPECT_NEAR(reserve[0].get<double>() + reserve[2].get<double>(), 2 * reserve[1].get<double>(),
                1e-9);
    EXPECT_EQ(reserve[2] > reserve[0], key.starts_with("water"));
  }
}

TEST_F(Sweeps, DrawTheBorderAndSayBetweenWhichValuesItStands) {
  const Json map = swept({"--sweep", "keel, 1.z=-9:6:31", "--sweep", "keel, 1.mass=8:14:13"});
  ASSERT_EQ(map["border"].size(), 1U);
  for (const Json& point : map["border"][0]) ASSERT_EQ(point.size(), 2U);
  const Json stands = map["axes"][0]["stands_between"];
  ASSERT_EQ(stands.size(), 1U);
  EXPECT_EQ(stands[0][0], -9.0);
  const Json line = swept({"--sweep", "keel, 1.z=-9:6:31"});
  ASSERT_EQ(line["border"].size(), 1U);
  EXPECT_EQ(line["border"][0], Json::array({Json::array({stands[0][1]})}));
  EXPECT_THAT(run({"float", "egg.toml", "--sweep", "keel, 1.z=-9:6:31"}).out,
              AllOf(HasSubstr("of 31 builds"), HasSubstr("the sheet has -7.00 mm")));
}

TEST_F(Sweeps, LeaveOutWhatIsOutsideTheBody) {
  const Json all = json_of({"float", "egg.toml", "--sweep", "keel, 1.z=-20:0:21"});
  const Json& map = all["sweep"];
  EXPECT_TRUE(map["state"][0].is_null());
  EXPECT_TRUE(map["stands"][0].is_null());
  EXPECT_TRUE(map["reserve_g"][0].is_null());
  EXPECT_EQ(map["state"][20], "floats");
  EXPECT_THAT(all["warnings"].dump(), HasSubstr("outside the body"));
  // A hook's eye may be anywhere.
  EXPECT_EQ(swept({"--sweep", "belly.treble.z=-40:-12:3"})["state"][0], "floats");
}

// RFC 4180: a field with a comma in quotes, lines ended by CR LF.
TEST_F(Sweeps, AreWrittenAsATableToo) {
  const Json map = swept({"--sweep", "keel, 1.z=-20:0:5", "--csv", "map.csv"});
  std::istringstream lines(read("map.csv"));
  std::string line;
  std::getline(lines, line);
  EXPECT_EQ(line,
            "\"keel, 1.z_mm\",state,reserve_g,tail_down_deg,list_deg,"
            "least_stiffness_g_mm_per_deg,stands\r");
  std::getline(lines, line);
  EXPECT_EQ(line, "-20,,,,,,\r");
  for (int i = 1; i < 5; ++i) std::getline(lines, line);
  EXPECT_THAT(line, StartsWith("0,floats,"));
  std::vector<std::string> cells;
  std::istringstream row(line);
  for (std::string cell; std::getline(row, cell, ',');) cells.push_back(cell);
  ASSERT_EQ(cells.size(), 7U);
  EXPECT_EQ(std::stod(cells[2]), map["reserve_g"][4].get<double>());
  EXPECT_EQ(std::stod(cells[3]), map["tail_down_deg"][4].get<double>());
  EXPECT_EQ(cells[6], map["stands"][4].get<bool>() ? "true\r" : "false\r");
  EXPECT_FALSE(std::getline(lines, line));
}

TEST_F(Sweeps, AreTheSameBytesWhateverTheThreads) {
  std::set<std::string> results;
  for (const std::string threads : {"1", "2", "7"}) {
    const Ran result =
        run({"float", "egg.toml", "--sweep", "keel, 1.z=-9:6:40", "--sweep", "keel, 1.x=40:120:35",
             "--threads", threads, "--json", "out.json", "--csv", "out.csv"});
    EXPECT_EQ(result.exit, 0) << result.err;
    results.insert(result.out + read("out.json") + read("out.csv"));
  }
  EXPECT_EQ(results.size(), 1U);
}

TEST_F(Sweeps, ThatCanNotBeReadAreRefused) {
  for (const std::string bad :
       {"keel, 1.x", "keel, 1.x=1:2", "keel, 1.x=1:2:1", "keel, 1.x=1:2:0", "keel, 1.x=1:2:2.5",
        "keel, 1.x=a:2:3", "keel, 1.x=1 g:2:3", "keel, 1.mass=0:2:3", "keel, 1.mass=-1:2:3",
        "wood.density=0.3:0:4", "keel, 1.x=5:5:3", "keel, 1.w=1:2:3", "x=1:2:3", ".x=1:2:3",
        "wood.mass=1:2:3000000", "keel, 1.x=nan:2:3"}) {
    EXPECT_THAT(refusal({"float", "egg.toml", "--sweep", bad}),
                StartsWith("trueblank: --sweep: \"" + bad + "\" can't be swept: "));
  }
  EXPECT_NE(refusal({"float", "egg.toml", "--sweep="}), "");
  EXPECT_THAT(refusal({"float", "egg.toml", "--sweep"}), HasSubstr("needs a value"));
}

TEST_F(Sweeps, ThatTheSheetDoesNotKnowAreRefused) {
  EXPECT_EQ(refusal({"float", "egg.toml", "--sweep", "kel, 1.x=70:80:3"}),
            "trueblank: --sweep kel, 1.x: no part of the sheet is called \"kel, 1\"; did you mean "
            "keel, 1?");
  EXPECT_THAT(refusal({"float", "egg.toml", "--sweep", "lip.x=70:80:3"}),
              HasSubstr("its parts are keel, 1, belly.treble"));
  EXPECT_THAT(refusal({"float", "egg.toml", "--sweep", "keel, 1.z=20:30:3"}),
              HasSubstr("outside the body"));
  const std::string two = "keel, 1.x=70:80:3";
  EXPECT_THAT(refusal({"float", "egg.toml", "--sweep", two, "--sweep", two}),
              HasSubstr("\"keel, 1.x\" is swept twice"));
  EXPECT_THAT(refusal({"float", "egg.toml", "--sweep", two, "--sweep", "keel, 1.z=-7:0:3",
                       "--sweep", "wood.density=0.3:0.4:3"}),
              HasSubstr("more than twice"));
  EXPECT_THAT(refusal({"float", "egg.toml", "--sweep", "keel, 1.x=70:80:2000", "--sweep",
                       "keel, 1.z=-7:0:2000"}),
              HasSubstr("1000000 builds at most"));
  EXPECT_THAT(refusal({"float", "egg.toml", "--csv", "map.csv"}),
              HasSubstr("--csv is for --sweep"));
}

}  // namespace
}  // namespace trueblank::test_tool
