// SPDX-License-Identifier: GPL-3.0-or-later
// float on rigs with all that a sheet can hold, from sheet to JSON, against closed forms of a block
// of 100 × 20 × 30 mm (60 cm³).
#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>

#include "support/bodies.h"
#include "support/in_one_line.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using test_text::in_one_line;
using ::testing::HasSubstr;
using ::testing::StartsWith;
using Vec3 = Eigen::Vector3d;

constexpr double degree = M_PI / 180;

class Block : public Tool {
 protected:
  Block() { write_stl("block.stl", test_bodies::box(100, 20, 30)); }

  void write_sheet(const std::string& rest) {
    write("lure.toml", "[body]\nmesh = \"block.stl\"\nnose = \"-x\"\nback = \"+z\"\n" + rest);
  }

  Json floated(const std::string& rest) {
    write_sheet(rest);
    Json json = json_of({"float", "lure.toml"});
    EXPECT_THAT(json.dump(), ::testing::Not(::testing::ContainsRegex("-0[,}.]0?[,}]")));
    return json;
  }

  std::string said(const std::vector<std::string>& options = {}) {
    std::vector<std::string> line = {"float", "lure.toml"};
    line.insert(line.end(), options.begin(), options.end());
    const Ran result = run(line);
    EXPECT_EQ(result.exit, 0) << result.err;
    return in_one_line(result.out);
  }
};

Vec3 vec(const Json& json) {
  return {json.at(0).get<double>(), json.at(1).get<double>(), json.at(2).get<double>()};
}

// 90 g on the middle, a weight below it: it falls level, broad side (100 × 20 mm) down.
constexpr const char* level_sinker =
    "[wood]\ndensity = 1\n[water]\ndensity = 1.0\n[[ballast]]\nname = \"keel\"\n"
    "at = [50, 0, -6]\nmass = \"40 g\"\ndensity = 4\n";

// Source: U = √(2W/(ρ C A)); broadside C from 0.6 to 1.2 (cylinders across the flow, Matthews,
// Aeronautical Engineer's Data Book, 2002, fig. 5.13).
TEST_F(Block, FallsAtTheRateOfItsDrag) {
  const Json json = floated(level_sinker);
  EXPECT_EQ(json["state"], "sinks");
  EXPECT_NEAR(json["reserve_g"].get<double>(), -30, 1e-9);
  const double newton = 0.030 * 9.80665;
  const auto rate = [&](double c) { return std::sqrt(2 * newton / (1000 * c * 2000e-6)); };
  EXPECT_NEAR(json["sink"]["rate_m_s"][0].get<double>(), rate(1.2), 1e-6);
  EXPECT_NEAR(json["sink"]["rate_m_s"][1].get<double>(), rate(0.6), 1e-6);
  EXPECT_NEAR(json["sink"]["tail_down_deg"][0].get<double>(), 0, 1e-6);
  EXPECT_NEAR(json["sink"]["tail_down_deg"][1].get<double>(), 0, 1e-6);
  EXPECT_EQ(json["sink"]["slow"], false);
  EXPECT_THAT(said({"--quiet"}),
              StartsWith("Sinks: 30.0 g in water; it sinks at an estimated 0.50 to 0.70 m/s, level "
                         "while falling. Set free under water it first hangs back up, level"));
}

// In the closed form: up along D(B − e) − M(G − e), with M = 90 g, D = 60 g.
TEST_F(Block, HangsOnItsLineAsMomentsSay) {
  const Json json = floated(level_sinker + std::string("[line]\neye = [0, 0, 10]\n"));
  const Vec3 eye(0, 0, 10);
  const Vec3 B(50, 0, 0);
  const Vec3 G(50, 0, -6 * 30.0 / 90);
  const Vec3 up = (60 * (B - eye) - 90 * (G - eye));
  const Json& line = json["tight_line"];
  EXPECT_NEAR((vec(line["up"]) - up.normalized()).norm(), 0, 1e-9);
  EXPECT_NEAR(line["tension_g"].get<double>(), 30, 1e-9);
  EXPECT_EQ(line["holds_down"], false);
  EXPECT_NEAR(line["stiffness_g_mm_per_deg"].get<double>(), up.norm() * degree, 1e-9);
  EXPECT_NEAR(line["tail_down_deg"].get<double>(), std::asin(-up.normalized().x()) / degree, 1e-9);
  EXPECT_THAT(said({"--quiet"}), HasSubstr("On a tight line from the line eye it hangs"));
}

TEST_F(Block, WithoutAWireOrALineThereIsNoTightLine) {
  EXPECT_TRUE(floated("[wood]\ndensity = 0.5\n").at("tight_line").is_null());
}

// EOS-80, Unesco 44, 1983: fresh water of 12 °C has 0.9994996 g/cm³, of 20 °C 0.9982063.
TEST_F(Block, SaysWhichWaterFlipsIt) {
  const Json json = floated("[wood]\ndensity = 0.9994996\n[water]\nkind = \"sea\"\n");
  ASSERT_EQ(json["water_flips"].size(), 1U);
  EXPECT_EQ(json["water_flips"][0]["salinity"], 0.0);
  EXPECT_NEAR(json["water_flips"][0]["temperature_c"].get<double>(), 12, 1e-3);
  EXPECT_NEAR(json["hovers_in_g_cm3"].get<double>(), 0.9994996, 1e-9);
  EXPECT_EQ(json["waters"].size(), 10U);
  EXPECT_EQ(json["state"], "floats");
  EXPECT_EQ(json["tank"]["state"], "suspends");
  EXPECT_NEAR(json["tank"]["reserve_g"].get<double>(), 60 * (0.9982063 - 0.9994996), 1e-5);
  EXPECT_THAT(said(), HasSubstr("fresh water colder than 12.0 °C; in warmer fresh water it sinks"));
  EXPECT_THAT(said(), HasSubstr("In the tub (fresh, 20 °C) it sinks"));
}

TEST_F(Block, TheTankIsTheSheets) {
  const Json json = floated("[wood]\ndensity = 0.5\n[tank]\nsalinity = 35\ntemperature = 4\n");
  EXPECT_EQ(json["tank"]["salinity"], 35.0);
  EXPECT_EQ(json["tank"]["temperature_c"], 4.0);
  EXPECT_NEAR(json["tank"]["density_g_cm3"].get<double>(), 1.0277863, 1e-6);
  EXPECT_NEAR(json["tank"]["reserve_g"].get<double>(), 60 * (1.0277863 - 0.5), 1e-5);
  EXPECT_THAT(said(), HasSubstr("In the tub (sea, 4 °C): 31.7 g in reserve"));
}

// A metal of density m in place of wood w adds 1 − w/m a gram; outside in water of 1 g/cm³, 1 −
// 1/m.
TEST_F(Block, SaysHowMuchMetalMakesItSuspend) {
  const Json json = floated("[wood]\ndensity = 0.5\n[water]\ndensity = 1.0\n");
  EXPECT_EQ(json["to_hover"]["add"], true);
  EXPECT_NEAR(json["to_hover"]["net_g"].get<double>(), 30, 1e-9);
  const Json& lead = json["to_hover"]["metals"][0];
  EXPECT_EQ(lead["metal"], "lead");
  EXPECT_NEAR(lead["in_wood_g"].get<double>(), 30 / (1 - 0.5 / 11.34), 1e-9);
  EXPECT_NEAR(lead["outside_g"].get<double>(), 30 / (1 - 1 / 11.34), 1e-9);
  EXPECT_EQ(json["to_hover"]["metals"][1]["metal"], "bismuth");
  EXPECT_THAT(said(), HasSubstr("more lead or 31.6 g more bismuth in its wood"));
}

constexpr const char* everything =
    "baseline = { nose = [0, 0], tail = [100, 10] }\n"
    "[wood]\nhalves = { left = \"14 g\", right = \"15 g\" }\n"
    "[finish]\nthickness = 0.3\nweighed = \"2 g\"\n"
    "[water]\ndensity = 1.0\n"
    "[[wire]]\nmetal = \"stainless steel\"\ndiameter = 1.6\npath = [[-8, 0], [108, 0]]\n"
    "[[ballast]]\nname = \"belly\"\nat = [60, -9]\nmass = \"6 g\"\nmetal = \"bismuth\"\n"
    "[[pocket]]\nname = \"slot\"\nat = [30, 4]\ndiameter = 4\ndepth = 10\naxis = \"across\"\n"
    "filled = \"epoxy\"\n"
    "[[pocket]]\nname = \"rattle\"\nat = [80, 6]\ndiameter = 6\ndepth = 12\naxis = \"along\"\n"
    "[[hook]]\nname = \"treble\"\neye = [50, -16]\nmass = \"5 g\"\nmetal = \"steel\"\nhang = 15\n"
    "size_up = \"7 g\"\n"
    "[[outside]]\nname = \"lip\"\nat = [-4, -10]\nmass = \"1 g\"\ndensity = 1.2\n";

TEST_F(Block, WithEveryPartItsMassesAddUp) {
  const Json json = floated(everything);
  const std::vector<std::pair<std::string, std::string>> order = {
      {"wood", "wood"},   {"finish", "finish"}, {"wire", "wire"},  {"belly", "ballast"},
      {"slot", "pocket"}, {"treble", "hook"},   {"lip", "outside"}};
  ASSERT_EQ(json["mass_parts"].size(), order.size());
  double sum = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const Json& part = json["mass_parts"][i];
    EXPECT_EQ(part["name"], order[i].first);
    EXPECT_EQ(part["kind"], order[i].second);
    EXPECT_NEAR(json["mass_by_kind_g"][order[i].second].get<double>(), part["mass_g"].get<double>(),
                1e-12);
    sum += part["mass_g"].get<double>();
  }
  EXPECT_NEAR(sum, json["mass_g"].get<double>(), 1e-9);
  EXPECT_NEAR(json["mass_by_kind_g"]["wire"].get<double>(), M_PI * 0.64 * 116 * 7.9e-3, 1e-9);
  EXPECT_NEAR(json["mass_by_kind_g"]["pocket"].get<double>(), M_PI * 4 * 10 * 1.15e-3, 1e-6);
  EXPECT_NEAR(json["mass_by_kind_g"]["finish"].get<double>(), 2, 1e-12);
  const Json& bench = json["bench"];
  EXPECT_NEAR(bench["blank_balance_station_mm"].get<double>(), 50, 1e-9);
  EXPECT_NEAR(bench["rigged_balance_station_mm"].get<double>(),
              json["centre_of_mass_mm"][0].get<double>(), 1e-9);
  EXPECT_NEAR(bench["rigged_dry_mass_g"].get<double>(), sum, 1e-9);
}

TEST_F(Block, WithEveryPartItsTextTellsThem) {
  write_sheet(everything);
  const std::string text = said();
  for (const char* part : {"2.0 g finish", "0.14 g in pockets", "1.0 g outside parts",
                           "by the line from nose eye to tail eye", "If the treble is lost it",
                           "If the treble is one size up (7.0 g) it"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
  EXPECT_THAT(said({"--imperial", "--verbose"}), HasSubstr("1.0 g (0.035 oz) outside parts"));
}

// asin(−up·b), b from nose eye to tail eye.
TEST_F(Block, ABaselineIsAnAngleOfItsOwn) {
  const Json json = floated(everything);
  const Vec3 b = Vec3(100, 0, 10).normalized();
  for (const Json& pose : json["poses"]) {
    EXPECT_NEAR(pose["tail_down_baseline_deg"].get<double>(),
                std::asin(-vec(pose["up"]).dot(b)) / degree, 1e-9);
  }
  const Json without = floated("[wood]\ndensity = 0.5\n");
  EXPECT_FALSE(without["poses"][0].contains("tail_down_baseline_deg"));
}

TEST_F(Block, WaterInAPocketIsLeftOutOnTheBench) {
  const Json json = floated(
      "[wood]\ndensity = 0.5\n[water]\ndensity = 1.0\n[[pocket]]\nname = \"well\"\nat = [25, 0]\n"
      "diameter = 10\ndepth = 10\naxis = \"upright\"\nfilled = \"water\"\n");
  const double hole_cm3 = M_PI * 25 * 10 / 1000;
  EXPECT_NEAR(json["mass_g"].get<double>(), 30 + 0.5 * hole_cm3, 1e-6);
  EXPECT_NEAR(json["bench"]["rigged_dry_mass_g"].get<double>(), 30 - 0.5 * hole_cm3, 1e-6);
  EXPECT_NEAR(json["bench"]["rigged_balance_station_mm"].get<double>(),
              (30 * 50 - 0.5 * hole_cm3 * 25) / (30 - 0.5 * hole_cm3), 1e-6);
}

// What a gram more of a weight in the wood, of a hook in the water and of the wood takes from the
// reserve.
TEST_F(Block, AGramMoreTakesItsNetWeightFromTheReserve) {
  const Json all = floated(
      "[wood]\ndensity = 0.5\n[water]\ndensity = 1.0\n[[ballast]]\nname = \"keel\"\n"
      "at = [50, 0, -8]\nmass = \"15 g\"\nmetal = \"bismuth\"\n[[hook]]\nname = \"treble\"\n"
      "eye = [50, -16]\nmass = \"5 g\"\nmetal = \"steel\"\n")["sensitivity"];
  ASSERT_EQ(all["parts"].size(), 2U);
  EXPECT_NEAR(all["parts"][0]["per_g"]["reserve_g"].get<double>(), -(1 - 0.5 / 9.79), 1e-9);
  EXPECT_NEAR(all["parts"][1]["per_g"]["reserve_g"].get<double>(), -(1 - 1 / 7.85), 1e-9);
  EXPECT_NEAR(all["parts"][0]["per_mm"]["z"]["reserve_g"].get<double>(), 0, 1e-9);
  // The keel's hole is no wood: 60 cm³ less its volume, a percent of it.
  EXPECT_NEAR(all["wood_density_per_percent"]["reserve_g"].get<double>(), -0.005 * (60 - 15 / 9.79),
              1e-9);
  ASSERT_EQ(all["hooks"].size(), 2U);
  EXPECT_EQ(all["hooks"][0]["change"], "lost");
  EXPECT_EQ(all["hooks"][1]["assumed"], true);
  EXPECT_NEAR(all["hooks"][1]["mass_g"].get<double>(), 6.25, 1e-12);
}

TEST_F(Block, EveryCautionStandsBesideItsCause) {
  write_sheet(
      "[wood]\ndensity = 0.9\n[water]\ndensity = 1.0\n[[outside]]\nname = \"wound lead\"\n"
      "at = [50, -16]\nmass = \"5 g\"\nmetal = \"lead\"\n");
  EXPECT_THAT(said(), HasSubstr("Lead: wash your hands"));
  EXPECT_THAT(said(), HasSubstr("Little reserve"));
}

}  // namespace
}  // namespace trueblank::test_tool
