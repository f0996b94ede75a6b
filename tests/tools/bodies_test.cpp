// SPDX-License-Identifier: GPL-3.0-or-later
// check, weigh and mirror on bodies whose answers are known, from file to JSON.
#include "support/bodies.h"

#include <gmock/gmock.h>

#include <numbers>

#include "support/in_one_line.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class Check : public Tool {};

class Weigh : public Tool {};

class Mirror : public Tool {};

bool has_mended(const Json& json) { return !json["mended"].empty(); }

std::string all_warnings(const Json& json) {
  std::string all;
  for (const Json& warning : json["warnings"]) all += warning.get<std::string>() + '\n';
  return all;
}

TEST_F(Check, ASoundBoxIsSound) {
  write_stl("box.stl", test_bodies::box(100, 20, 30));
  const Json json = json_of({"check", "box.stl"});
  EXPECT_EQ(json["closed"], true);
  EXPECT_EQ(json["oriented"], true);
  EXPECT_EQ(json["pieces"], 1);
  EXPECT_EQ(json["open_loops"], 0);
  EXPECT_EQ(json["self_intersections"], 0);
  EXPECT_FALSE(has_mended(json));
  EXPECT_NEAR(json["size_mm"]["length"].get<double>(), 100, 1e-4);
  EXPECT_NEAR(json["size_mm"]["width"].get<double>(), 30, 1e-4);
  EXPECT_NEAR(json["size_mm"]["height"].get<double>(), 20, 1e-4);
  EXPECT_EQ(json["input"]["facets"], 12);
  EXPECT_EQ(json["input"]["vertices"], 8);
  EXPECT_EQ(json["input"]["scale_from"], "assumed");
  EXPECT_EQ(json["input"]["file"], "box.stl");
  EXPECT_THAT(run({"check", "box.stl"}).out,
              ::testing::StartsWith("Sound: one closed body, 100.0 × 30.0 × 20.0 mm.\n"));
}

TEST_F(Check, AnOpenMeshIsFilledAndSaysSo) {
  const auto open = test_bodies::without(test_bodies::ellipsoid(80, 10, 12, 40, 40),
                                         [](const auto& at) { return at.z() < -11; });
  write_stl("open.stl", open);
  const Json json = json_of({"check", "open.stl"});
  EXPECT_EQ(json["closed"], false);
  EXPECT_EQ(json["open_loops"], 1);
  EXPECT_TRUE(has_mended(json));
  EXPECT_THAT(all_warnings(json), HasSubstr("hole"));
  EXPECT_THAT(run({"check", "open.stl"}).out, HasSubstr("Mended"));
}

TEST_F(Check, LeftOpenItIsStillExitZero) {
  write_stl("open.stl", test_bodies::without(test_bodies::box(100, 20, 30),
                                             [](const auto& at) { return at.x() > 49; }));
  const Json json = json_of({"check", "open.stl", "--mend", "none"});
  EXPECT_EQ(json["closed"], false);
  EXPECT_THAT(run({"check", "open.stl", "--mend", "none"}).out, ::testing::StartsWith("Open: "));
}

TEST_F(Check, AnInsideOutMeshIsTurned) {
  write_stl("turned.stl", test_bodies::inside_out(test_bodies::box(100, 20, 30)));
  const Json json = json_of({"check", "turned.stl"});
  EXPECT_EQ(json["closed"], true);
  EXPECT_TRUE(has_mended(json));
  EXPECT_THAT(all_warnings(json), HasSubstr("inside"));
  EXPECT_NEAR(json_of({"weigh", "turned.stl"})["volume_mm3"].get<double>(), 60000, 1e-3);
}

TEST_F(Check, OfTwoBodiesTheGreatestIsKeptAndTheOtherNamed) {
  const auto small =
      test_bodies::moved(test_bodies::box(10, 10, 10), test_bodies::Mat3::Identity(), {0, 0, 100});
  write_stl("two.stl", test_bodies::joined(small, test_bodies::box(100, 20, 30)));
  const Json json = json_of({"check", "two.stl"});
  EXPECT_EQ(json["pieces"], 2);
  EXPECT_NE(all_warnings(json), "");
  EXPECT_NEAR(json["size_mm"]["length"].get<double>(), 100, 1e-4);
  EXPECT_NEAR(json_of({"weigh", "two.stl"})["volume_mm3"].get<double>(), 60000, 1e-3);
}

TEST_F(Check, AMapMarksWhatWasMadeUp) {
  write_stl("open.stl", test_bodies::without(test_bodies::ellipsoid(80, 10, 12, 40, 40),
                                             [](const auto& at) { return at.z() < -11; }));
  ASSERT_EQ(run({"check", "open.stl", "--map", "map.ply"}).exit, 0);
  EXPECT_THAT(read("map.ply").substr(0, 1000), HasSubstr("measured"));
  EXPECT_EQ(json_of({"check", "map.ply"})["closed"], true);
}

// A body whose longest extent is outside 20 to 1000 mm, and which exactly one of m, in and cm
// brings into 60 to 300 mm, is taken to be in that unit.
TEST_F(Check, GuessesAUnitOnlyWhereOneFits) {
  struct Case {
    double length;
    double mm_per_unit;
    const char* from;
  };

  for (const Case& c :
       {Case{6.5, 25.4, "guessed"},  // 165 mm as in; 65 mm as cm fits too: see below
        Case{0.165, 1000, "guessed"}, Case{165, 1, "assumed"}, Case{1500, 1, "assumed"}}) {
    write_stl("body.stl", test_bodies::box(c.length, c.length / 6, c.length / 8));
    const Json json = json_of({"check", "body.stl"});
    if (c.length == 6.5) {  // both in and cm would do: so neither is taken
      EXPECT_EQ(json["input"]["scale_from"], "assumed");
      EXPECT_EQ(json["input"]["scale_mm_per_unit"], 1.0);
      continue;
    }
    EXPECT_EQ(json["input"]["scale_from"], c.from) << c.length;
    EXPECT_EQ(json["input"]["scale_mm_per_unit"], c.mm_per_unit) << c.length;
    if (std::string(c.from) == "guessed") {
      EXPECT_FALSE(json["warnings"].empty()) << c.length;
    }
  }
  // 4 units: 101.6 mm in inches, 40 mm in cm, 4 m: only inches fit. 15: only cm (150 mm).
  write_stl("body.stl", test_bodies::box(4, 0.6, 0.5));
  EXPECT_EQ(json_of({"check", "body.stl"})["input"]["scale_mm_per_unit"], 25.4);
  write_stl("body.stl", test_bodies::box(15, 2, 1.5));
  EXPECT_EQ(json_of({"check", "body.stl"})["input"]["scale_mm_per_unit"], 10.0);
}

TEST_F(Check, UnitsAndLengthSetTheScale) {
  write_stl("box.stl", test_bodies::box(4, 0.6, 0.5));
  const Json units = json_of({"check", "box.stl", "--units", "cm"});
  EXPECT_EQ(units["input"]["scale_from"], "units");
  EXPECT_NEAR(units["size_mm"]["length"].get<double>(), 40, 1e-4);
  for (const std::string length : {"165.1", "165.1mm", "6.5 in", "16.51 cm", "6 1/2 in"}) {
    const Json json = json_of({"check", "box.stl", "--length", length});
    EXPECT_EQ(json["input"]["scale_from"], "length");
    EXPECT_NEAR(json["size_mm"]["length"].get<double>(), 165.1, 1e-3) << length;
  }
}

// Source: a box l, w, h has volume lwh, inertia V(w²+h²)/12 and so on about its middle.
TEST_F(Weigh, ABoxHasItsClosedForm) {
  write_stl("box.stl", test_bodies::box(100, 20, 30));
  const Json json = json_of({"weigh", "box.stl", "--density", "0.5"});
  const double v = 60000;
  EXPECT_NEAR(json["volume_mm3"].get<double>(), v, 1e-9 * v);  // floats hold these sides exactly
  EXPECT_NEAR(json["area_mm2"].get<double>(), 2 * (2000 + 3000 + 600), 1e-9 * 11200);
  const double squares[] = {v * (400 + 900) / 12, v * (10000 + 900) / 12, v * (10000 + 400) / 12};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(json["centroid_mm"][i].get<double>(), 0, 1e-9);
    for (std::size_t k = 0; k < 3; ++k) {
      EXPECT_NEAR(json["inertia_mm5"][i][k].get<double>(), i == k ? squares[i] : 0,
                  1e-9 * squares[1]);
      EXPECT_NEAR(json["inertia_g_mm2"][i][k].get<double>(),
                  0.0005 * json["inertia_mm5"][i][k].get<double>(), 1e-6);
    }
  }
  EXPECT_NEAR(json["principal_mm5"][0].get<double>(), squares[0], 1e-9 * squares[0]);
  EXPECT_NEAR(json["principal_mm5"][1].get<double>(), squares[2], 1e-9 * squares[2]);
  EXPECT_NEAR(json["principal_mm5"][2].get<double>(), squares[1], 1e-9 * squares[1]);
  EXPECT_NEAR(std::abs(json["principal_axes"][1][2].get<double>()), 1, 1e-9);
  EXPECT_EQ(json["cavity_mm3"], 0.0);
  EXPECT_NEAR(json["mass_g"].get<double>(), 30, 1e-8);
  EXPECT_EQ(json["density_g_cm3"], 0.5);
}

TEST_F(Weigh, AMassGivesTheDensity) {
  write_stl("box.stl", test_bodies::box(100, 20, 30));
  for (const std::string mass : {"30", "30 g", "0.03 kg"}) {
    const Json json = json_of({"weigh", "box.stl", "--mass", mass});
    EXPECT_NEAR(json["density_g_cm3"].get<double>(), 0.5, 1e-9) << mass;
  }
  // Source: 1 oz = 28.349523125 g, exactly (international yard and pound agreement, 1959).
  const Json json = json_of({"weigh", "box.stl", "--mass", "1/2 oz"});
  EXPECT_NEAR(json["mass_g"].get<double>(), 28.349523125 / 2, 1e-12);
  EXPECT_NEAR(json_of({"weigh", "box.stl", "--density", "370 kg/m3"})["mass_g"].get<double>(), 22.2,
              1e-8);
  EXPECT_FALSE(json_of({"weigh", "box.stl"}).contains("mass_g"));
}

TEST_F(Weigh, ACavityIsTakenOff) {
  write_stl("hollow.stl",
            test_bodies::joined(test_bodies::box(100, 20, 30),
                                test_bodies::inside_out(test_bodies::box(50, 10, 10))));
  const Json json = json_of({"weigh", "hollow.stl"});
  EXPECT_NEAR(json["volume_mm3"].get<double>(), 55000, 1e-3);
  EXPECT_NEAR(json["cavity_mm3"].get<double>(), 5000, 1e-3);
}

// 1 % of length is 3.0301 % of volume.
TEST_F(Weigh, LengthScalesTheVolumeByItsCube) {
  write_stl("box.stl", test_bodies::box(100, 20, 30));
  EXPECT_NEAR(json_of({"weigh", "box.stl", "--length", "101"})["volume_mm3"].get<double>(),
              60000 * 1.01 * 1.01 * 1.01, 0.01);
}

// Source: an ellipsoid of two halves of widths b_l and b_r has half volumes 2/3·π·a·b·c each; the
// wide side stands out by up to b_r − b_l against the plane y = 0.
class TwoHalves : public Tool {
 protected:
  TwoHalves() {
    test_bodies::TriangleMesh mesh = test_bodies::ellipsoid(82.5, 11, 14, 60, 60);
    for (Eigen::Index i = 0; i < mesh.positions_mm.cols(); ++i) {
      if (mesh.positions_mm(1, i) > 0) mesh.positions_mm(1, i) *= 11.5 / 11;
    }
    write_ply("halves.ply", mesh);
  }

  const std::vector<std::string> command = {"mirror", "halves.ply", "--nose",  "-x",
                                            "--back", "+z",         "--plane", "0,1,0,0"};
};

TEST_F(TwoHalves, VolumesAndGreatestDeviation) {
  const Json json = json_of(command);
  EXPECT_EQ(json["plane_from"], "given");
  const double left = 2.0 / 3 * std::numbers::pi * 82.5 * 11 * 14;
  const double right = left * 11.5 / 11;
  // 60 facets round an ellipse leave 0.2 % of its area out, 60 rings along it as much again.
  EXPECT_NEAR(json["left_volume_mm3"].get<double>(), left, 5e-3 * left);
  EXPECT_NEAR(json["right_volume_mm3"].get<double>(), right, 5e-3 * right);
  EXPECT_NEAR(json["right_volume_mm3"].get<double>() / json["left_volume_mm3"].get<double>(),
              11.5 / 11, 1e-9);
  EXPECT_NEAR(json["deviation_mm"]["max_proud"].get<double>(), 0.5, 0.005);
  EXPECT_NEAR(json["deviation_mm"]["max_shy"].get<double>(), -0.5, 0.005);
  EXPECT_GE(json["deviation_mm"]["p95"].get<double>(),
            json["deviation_mm"]["mean_abs"].get<double>());
}

TEST_F(TwoHalves, TheTextNamesTheFlankAndThatItLifts) {
  const Ran result = run(command);
  EXPECT_EQ(result.exit, 0) << result.err;
  EXPECT_THAT(result.out, HasSubstr("proudest 0.50 mm on the right flank at"));
  EXPECT_THAT(test_text::in_one_line(result.out), HasSubstr("a proud flank lifts its own"));
}

TEST_F(TwoHalves, ALimitDecidesTheExitCode) {
  std::vector<std::string> tight = command;
  tight.insert(tight.end(), {"--limit", "0.3", "--json", "out.json"});
  EXPECT_EQ(run(tight).exit, 1);
  EXPECT_TRUE(exists("out.json"));  // done all the same
  std::vector<std::string> loose = command;
  loose.insert(loose.end(), {"--limit", "0.6mm"});
  EXPECT_EQ(run(loose).exit, 0);
}

TEST_F(TwoHalves, StationsByStepAndByNumber) {
  Json json = json_of(command);
  ASSERT_EQ(json["stations"].size(), 16U);  // 10, 20 ... 160 of 165
  EXPECT_DOUBLE_EQ(json["stations"][0]["x_mm"].get<double>(), 10);
  std::vector<std::string> some = command;
  some.insert(some.end(), {"--stations", "3"});
  json = json_of(some);
  ASSERT_EQ(json["stations"].size(), 3U);
  const Json& middle = json["stations"][1];
  EXPECT_NEAR(middle["x_mm"].get<double>(), 82.5, 1e-6);
  EXPECT_NEAR(middle["left_half_width_mm"].get<double>(), 11, 0.02);
  EXPECT_NEAR(middle["right_half_width_mm"].get<double>(), 11.5, 0.02);
  EXPECT_NEAR(middle["height_mm"].get<double>(), 28, 0.05);
  EXPECT_NEAR(middle["left_area_mm2"].get<double>(), std::numbers::pi * 11 * 14 / 2, 1);
  some.back() = "50mm";
  json = json_of(some);
  ASSERT_EQ(json["stations"].size(), 3U);
  EXPECT_DOUBLE_EQ(json["stations"][2]["x_mm"].get<double>(), 150);
  some.back() = "0.0001mm";
  EXPECT_THAT(refusal(some), HasSubstr("stations"));
}

TEST_F(Mirror, ATurnedBodyIsTrue) {
  write_ply("glider.ply", test_bodies::moved(test_bodies::glider(3000), test_bodies::random_turn(7),
                                             {30, -500, 12}));
  const Json json = json_of({"mirror", "glider.ply"});
  EXPECT_EQ(json["plane_from"], "shape");
  EXPECT_EQ(json["well_determined"], true);
  EXPECT_TRUE(json["frame"]["guessed"].get<bool>());
  EXPECT_LT(json["deviation_mm"]["p95"].get<double>(), 1e-6);
  const test_bodies::Vec3 planted = test_bodies::random_turn(7).col(1);
  const Json& normal = json["plane"]["normal"];
  const double along = planted.x() * normal[0].get<double>() +
                       planted.y() * normal[1].get<double>() +
                       planted.z() * normal[2].get<double>();
  EXPECT_NEAR(std::abs(along), 1, 1e-9);
  EXPECT_THAT(run({"mirror", "glider.ply"}).out, ::testing::StartsWith("True to 0.00 mm"));
}

// Turned on a lathe, nose at z = 0.
test_bodies::TriangleMesh round_body() {
  return test_bodies::turned({{0, 0}, {4, 5}, {8, 40}, {7, 100}, {0, 150}}, 64);
}

TEST_F(Mirror, ARoundBodyGetsNoFigure) {
  write_stl("needle.stl", round_body());
  const Json json = json_of({"mirror", "needle.stl"});
  EXPECT_EQ(json["well_determined"], false);
  EXPECT_TRUE(json["plane"].is_null());
  EXPECT_TRUE(json["deviation_mm"].is_null());
  EXPECT_TRUE(json["left_volume_mm3"].is_null());
  EXPECT_FALSE(json["candidates"].empty());
  EXPECT_TRUE(json["stations"].empty());
  const Ran result = run({"mirror", "needle.stl", "--map", "map.ply"});
  EXPECT_EQ(result.exit, 0);
  EXPECT_THAT(result.out, HasSubstr("--split-line"));
  EXPECT_THAT(result.out, HasSubstr("--back"));
  EXPECT_THAT(result.out, HasSubstr("No map was written"));
  EXPECT_THAT(result.out, Not(HasSubstr("True to")));
  EXPECT_FALSE(exists("map.ply"));
  EXPECT_EQ(run({"mirror", "needle.stl", "--limit", "5"}).exit, 1);
}

TEST_F(Mirror, ARoundBodyWithABackIsMeasured) {
  write_stl("needle.stl", round_body());
  const Json json = json_of({"mirror", "needle.stl", "--nose", "-z", "--back", "+x"});
  EXPECT_EQ(json["plane_from"], "back");
  EXPECT_EQ(json["well_determined"], false);
  EXPECT_NEAR(std::abs(json["plane"]["normal"][1].get<double>()), 1, 1e-6);
  EXPECT_FALSE(json["deviation_mm"].is_null());
}

}  // namespace
}  // namespace trueblank::test_tool
