// SPDX-License-Identifier: GPL-3.0-or-later
// What compare says of a copy and of many, on pairs whose differences are planted.
#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using test_bodies::Mat3;
using test_bodies::TriangleMesh;
using test_bodies::Vec3;
using ::testing::HasSubstr;
using ::testing::StartsWith;
using Words = std::vector<std::string>;

const char* const sheet = R"(
[body]
mesh = "master.ply"
nose = "-x"
back = "+z"
[wood]
density = 0.36
[[wire]]
metal = "stainless steel"
diameter = 1.6
path = [[-6, 0], [146, 0]]
[[ballast]]
name = "belly weight"
at = [75, -7]
mass = 9
metal = "lead"
)";

class Compare : public Tool {
 protected:
  Compare() : master(test_bodies::pencil(4000)) { write_ply("master.ply", master); }

  [[nodiscard]] Mat3 rows_of(const Json& matrix) const {
    Mat3 turn;
    for (int i = 0; i < 3; ++i) {
      for (int k = 0; k < 3; ++k) turn(i, k) = matrix[i][k].get<double>();
    }
    return turn;
  }

  [[nodiscard]] Vec3 shift_of(const Json& matrix) const {
    return {matrix[0][3].get<double>(), matrix[1][3].get<double>(), matrix[2][3].get<double>()};
  }

  // The copy's pose in the master's file axes, as planted: turn and shift put it away from there.
  void expect_pose(const Json& json, const Mat3& turn, const Vec3& shift_mm, double scale = 1) {
    const Mat3 found = rows_of(json["alignment"]);
    const Mat3 back = turn.transpose() / scale;
    // To 0.01° and 0.01 mm, as the copy is clean.
    EXPECT_LT((found - back).norm(), 2 * 0.01 * std::numbers::pi / 180);
    EXPECT_LT((shift_of(json["alignment"]) + back * shift_mm).norm(),
              0.01 + 2e-4 * shift_mm.norm());
  }

  TriangleMesh master;
  const Words axes = {"--nose", "-x", "--back", "+z"};

  [[nodiscard]] Words with_axes(Words words) const {
    words.insert(words.end(), axes.begin(), axes.end());
    return words;
  }
};

// A smooth bump on the right flank.
TriangleMesh bumped(TriangleMesh mesh, double height_mm, double station_mm) {
  for (Eigen::Index i = 0; i < mesh.positions_mm.cols(); ++i) {
    const Vec3 p = mesh.positions_mm.col(i);
    const double off = std::hypot(p.x() - station_mm, p.z());
    if (p.y() > 0 && off < 12) {
      mesh.positions_mm(1, i) += height_mm * std::pow(std::cos(off * std::numbers::pi / 24), 2);
    }
  }
  return mesh;
}

TEST_F(Compare, ABodyAndItselfDifferByNothing) {
  const Json json = json_of(with_axes({"compare", "master.ply", "master.ply"}));
  EXPECT_NEAR(json["volume_change_mm3"].get<double>(), 0, 1e-9 * 4e4);  // laid on to rounding
  EXPECT_LT(json["deviation_mm"]["other_onto_body"]["rms"].get<double>(), 1e-9);
  EXPECT_TRUE(json["copies"][0]["differences"].empty());
  EXPECT_FALSE(json["copies"][0]["mirrored"].get<bool>());
  EXPECT_TRUE(json["together"].is_null());
}

TEST_F(Compare, ATurnedAndMovedCopyWithABumpIsLaidWhereItBelongs) {
  const Mat3 turn = test_bodies::random_turn(4);
  const Vec3 shift(120, -35, 60);
  write_ply("copy.ply", test_bodies::moved(bumped(master, 0.8, 60), turn, shift));
  const Json json = json_of(with_axes({"compare", "master.ply", "copy.ply"}));
  expect_pose(json, turn, shift);
  const Json& deviation = json["deviation_mm"];
  EXPECT_NEAR(deviation["other_onto_body"]["max_proud"].get<double>(), 0.8, 0.05);
  // What stands out of the master lies inside the copy as the master sees it.
  EXPECT_NEAR(deviation["body_onto_other"]["max_shy"].get<double>(), -0.8, 0.05);
  // The bump's volume: ∫ h·cos²(πr/24) 2πr dr over r < 12, the flank being nearly square to it.
  const double expected = 0.8 * std::numbers::pi * 144 * (0.5 - 2 / std::pow(std::numbers::pi, 2));
  EXPECT_NEAR(json["volume_change_mm3"].get<double>(), expected, 0.1 * expected);
  const Json& places = json["copies"][0]["differences"];
  ASSERT_EQ(places.size(), 1U);
  EXPECT_EQ(places[0]["side"], "right");
  EXPECT_NEAR(places[0]["at_mm"][0].get<double>(), 60, 3);
  EXPECT_GT(json["centroid_shift_mm"][1].get<double>(), 0);
}

TEST_F(Compare, AMirroredCopyIsTold) {
  const TriangleMesh lopsided = bumped(master, 2, 50);
  write_ply("lopsided.ply", lopsided);
  write_ply("image.ply", test_bodies::moved(test_bodies::mirrored_y(lopsided),
                                            test_bodies::random_turn(9), Vec3(5, 5, 5)));
  const Json json = json_of(with_axes({"compare", "lopsided.ply", "image.ply"}));
  const Json& copy = json["copies"][0];
  EXPECT_TRUE(copy["mirrored"].get<bool>());
  EXPECT_LT(rows_of(json["alignment"]).determinant(), 0);
  EXPECT_LT(copy["deviation_mm"]["other_onto_body"]["rms"].get<double>(), 0.02);
  EXPECT_THAT(copy["warnings"].dump(), HasSubstr("mirror image"));
}

// The back 40 mm are missing; a dent of 0.6 mm at 60 mm is all that differs.
TEST_F(Compare, APartIsComparedAsFarAsItGoes) {
  const Mat3 turn = test_bodies::random_turn(6);
  const Vec3 shift(-20, 15, 4);
  const TriangleMesh part =
      test_bodies::without(bumped(master, -0.6, 60), [](const Vec3& p) { return p.x() > 100; });
  write_ply("part.ply", test_bodies::moved(part, turn, shift));
  const Json json = json_of(with_axes({"compare", "master.ply", "part.ply"}));
  expect_pose(json, turn, shift);
  const Json& copy = json["copies"][0];
  EXPECT_NEAR(copy["body_compared_share"].get<double>(), 0.7, 0.08);
  EXPECT_THAT(copy["warnings"].dump(), HasSubstr("It is a part"));
  ASSERT_EQ(copy["differences"].size(), 1U);
  // As of the bump above, but that it lies inward.
  const double volume_mm3 = copy["differences"][0]["volume_mm3"].get<double>();
  const double expected = 0.6 * std::numbers::pi * 144 * (0.5 - 2 / std::pow(std::numbers::pi, 2));
  EXPECT_NEAR(volume_mm3, -expected, 0.1 * expected);
  EXPECT_THAT(run(with_axes({"compare", "master.ply", "part.ply", "--quiet"})).out,
              StartsWith("The copy is a part of its master"));
}

TEST_F(Compare, ACopyInInchesIsReadAsSuch) {
  write_ply("inches.ply", test_bodies::moved(master, Mat3::Identity(), Vec3::Zero(), 1 / 25.4));
  const Json guessed = json_of(with_axes({"compare", "master.ply", "inches.ply"}));
  EXPECT_EQ(guessed["copies"][0]["input"]["scale_from"], "guessed");
  EXPECT_NEAR(guessed["volume_change_mm3"].get<double>(), 0, 1e-3);
  const Json said =
      json_of(with_axes({"compare", "master.ply", "inches.ply", "--other-units", "in"}));
  EXPECT_EQ(said["copies"][0]["input"]["scale_from"], "units");
  EXPECT_LT(said["deviation_mm"]["other_onto_body"]["rms"].get<double>(), 1e-3);
}

TEST_F(Compare, ShrinkageIsTakenOffOnRequestOnly) {
  TriangleMesh shrunk = master;
  shrunk.positions_mm.row(0) *= 0.995;
  shrunk.positions_mm.row(1) *= 0.992;
  shrunk.positions_mm.row(2) *= 0.992;
  const double volume_factor = 0.995 * 0.992 * 0.992;
  write_ply("cast.ply", test_bodies::moved(shrunk, test_bodies::random_turn(2), Vec3(1, 2, 3)));
  const Json as_is = json_of(with_axes({"compare", "master.ply", "cast.ply"}));
  EXPECT_EQ(as_is["copies"][0]["fitted_scale"].get<double>(), 1);
  EXPECT_TRUE(as_is["copies"][0]["stretch"].is_null());
  const Json fitted = json_of(with_axes({"compare", "master.ply", "cast.ply", "--fit-scale"}));
  const Json& stretch = fitted["copies"][0]["stretch"];
  EXPECT_NEAR(stretch["along"]["shrinkage_percent"].get<double>(), 0.5, 0.02);
  EXPECT_NEAR(stretch["across"]["shrinkage_percent"].get<double>(), 0.8, 0.05);
  EXPECT_NEAR(stretch["upright"]["shrinkage_percent"].get<double>(), 0.8, 0.05);
  EXPECT_LT(fitted["deviation_mm"]["other_onto_body"]["rms"].get<double>(),
            as_is["deviation_mm"]["other_onto_body"]["rms"].get<double>());
  // Its volume is its own, fitted or not.
  for (const Json* json : {&as_is, &fitted}) {
    EXPECT_NEAR((*json)["copies"][0]["changes"]["volume_percent"].get<double>(),
                100 * (volume_factor - 1), 1e-3);
  }
}

TEST_F(Compare, ALimitFailsByItsWorstPlace) {
  write_ply("copy.ply", bumped(master, 0.5, 80));
  const Words command = with_axes({"compare", "master.ply", "copy.ply", "--json", "-"});
  const auto with = [&](const char* limit) {
    Words words = command;
    words.insert(words.end(), {"--limit", limit});
    const Ran ran = run(words);
    EXPECT_EQ(ran.err, "");
    expect_valid("compare", Json::parse(ran.out));
    return std::pair(ran.exit, Json::parse(ran.out)["copies"][0]["profile"]);
  };
  const auto [fails, outside] = with("0.3");
  EXPECT_EQ(fails, 1);
  EXPECT_FALSE(outside["passed"].get<bool>());
  ASSERT_EQ(outside["places"].size(), 1U);
  EXPECT_NEAR(outside["places"][0]["greatest_mm"].get<double>(), 0.5, 0.03);
  EXPECT_NEAR(outside["places"][0]["at_mm"][0].get<double>(), 80, 3);
  EXPECT_NEAR(outside["zone_mm"].get<double>(), 0.6, 1e-12);
  const auto [keeps, within] = with("0.6");
  EXPECT_EQ(keeps, 0);
  EXPECT_TRUE(within["passed"].get<bool>());
}

// Source: Archimedes. A skin thicker by t all over displaces the water of its volume more, and
// holds its wood more: with no other change the reserve grows by (water − wood)·volume.
TEST_F(Compare, InTheWaterALargerCopyCarriesMoreAndAWeightRestoresIt) {
  write("sheet.toml", sheet);
  write_ply("copy.ply",
            test_bodies::moved(master, test_bodies::random_turn(3), Vec3(10, 0, 0), 1.006));
  const Json json = json_of({"compare", "master.ply", "copy.ply", "--sheet", "sheet.toml"});
  const Json& copy = json["copies"][0];
  const Json& water = copy["water"];
  const double grown_mm3 = json["volume_change_mm3"].get<double>();
  constexpr double fresh_15_g_cm3 = 0.999102;  // EOS-80
  EXPECT_NEAR(copy["changes"]["volume_percent"].get<double>(), 100 * (std::pow(1.006, 3) - 1),
              1e-6);
  EXPECT_NEAR(water["change"]["reserve_g"].get<double>(),
              grown_mm3 / 1000 * (fresh_15_g_cm3 - 0.36), 0.01);
  EXPECT_NEAR(water["change"]["mass_g"].get<double>(), grown_mm3 / 1000 * 0.36, 0.01);
  const Json& restored = water["restored"];
  ASSERT_TRUE(restored["needed"].get<bool>());
  ASSERT_FALSE(restored["ways"].empty());
  const Json& way = restored["ways"][0];
  EXPECT_TRUE(way["met"].get<bool>());
  EXPECT_NEAR(way["then"]["reserve_g"].get<double>(), water["body"]["reserve_g"].get<double>(),
              0.02);
  EXPECT_NEAR(way["then"]["tail_down_deg"].get<double>(),
              water["body"]["tail_down_deg"].get<double>(), 0.1);
  const Ran quiet = run({"compare", "master.ply", "copy.ply", "--sheet", "sheet.toml", "--quiet"});
  EXPECT_THAT(quiet.out, StartsWith("The copy is 1.8 % larger than its master"));
  EXPECT_THAT(quiet.out, HasSubstr("more reserve"));
  EXPECT_THAT(quiet.out, HasSubstr("to restore it."));
}

TEST_F(Compare, ManyCopiesOfOneMouldAreToldFromScatterAndABadOneIsSkipped) {
  const Mat3 turn = test_bodies::random_turn(5);
  for (int i = 0; i < 3; ++i) {
    write_ply("copy" + std::to_string(i) + ".ply",
              test_bodies::moved(bumped(master, 0.6, 70), turn, Vec3(i, 0, 0)));
  }
  write("broken.stl", "solid broken\nfacet normal 0 0\n");
  const Words command = with_axes({"compare", "master.ply", "copy0.ply", "broken.stl", "copy1.ply",
                                   "copy2.ply", "--limit", "0.7"});
  Words to_json = command;
  to_json.insert(to_json.end(), {"--json", "-"});
  const Ran ran = run(to_json);
  EXPECT_EQ(ran.exit, 1);
  const Json json = Json::parse(ran.out);
  expect_valid("compare", json);
  EXPECT_EQ(json["copies"].size(), 3U);
  ASSERT_EQ(json["skipped"].size(), 1U);
  EXPECT_EQ(json["skipped"][0]["file"], "broken.stl");
  EXPECT_EQ(json["together"]["verdict"], "mould");
  ASSERT_FALSE(json["together"]["patches"].empty());
  EXPECT_NEAR(json["together"]["patches"][0]["at_mm"][0].get<double>(), 70, 3);
  // By place: the bump lies on the right flank, and the copies are alike.
  const Json& slice = json["by_place"][4];
  EXPECT_LT(slice["from_mm"].get<double>(), 75);
  EXPECT_GT(slice["right"]["mean_mm"].get<double>(), 0.05);
  EXPECT_LT(slice["right"]["spread_mm"].get<double>(), 1e-3);
  EXPECT_LT(std::abs(slice["left"]["mean_mm"].get<double>()), 0.01);
  EXPECT_TRUE(json["alignment"].is_null());
  const Ran text = run(command);
  EXPECT_EQ(text.exit, 1);
  EXPECT_THAT(text.out, HasSubstr("It is the mould"));
  EXPECT_THAT(text.out, HasSubstr("Skipped"));
}

TEST_F(Compare, TheSameBytesComeOutOfOneThreadAndOfMany) {
  write_ply("copy.ply", test_bodies::moved(bumped(master, 0.4, 90), test_bodies::random_turn(7),
                                           Vec3(1, 1, 1)));
  std::string first;
  for (const char* threads : {"1", "2", "7"}) {
    const Ran ran = run(with_axes(
        {"compare", "master.ply", "copy.ply", "copy.ply", "--json", "-", "--threads", threads}));
    EXPECT_EQ(ran.exit, 0);
    if (first.empty()) first = ran.out;
    EXPECT_EQ(ran.out, first);
  }
}

TEST_F(Compare, FilesAreWrittenBesideIt) {
  write_ply("copy.ply", test_bodies::moved(bumped(master, 0.4, 90), test_bodies::random_turn(7),
                                           Vec3(1, 1, 1)));
  const Ran ran = run(with_axes({"compare", "master.ply", "copy.ply", "--map", "map.ply",
                                 "--aligned", "laid.stl", "--csv", "stations.csv"}));
  EXPECT_EQ(ran.exit, 0);
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(read("stations.csv"), StartsWith("x_mm,body_left_half_width_mm,"));
  // The copy as it lies on the master is the master but for the bump.
  const Json laid = json_of(with_axes({"compare", "master.ply", "laid.stl"}));
  EXPECT_NEAR(laid["deviation_mm"]["other_onto_body"]["max_proud"].get<double>(), 0.4, 0.03);
  EXPECT_TRUE(exists("map.ply"));
}

TEST_F(Compare, BadInputGetsOneLine) {
  write("broken.stl", "solid broken\nfacet normal 0 0\n");
  EXPECT_THAT(refusal({"compare"}), StartsWith("trueblank: compare: BODY is missing"));
  EXPECT_THAT(refusal({"compare", "master.ply"}),
              StartsWith("trueblank: compare: OTHER is missing"));
  EXPECT_THAT(refusal({"compare", "master.ply", "broken.stl"}), HasSubstr("broken.stl"));
  EXPECT_THAT(refusal({"compare", "master.ply", "nowhere.stl"}), HasSubstr("nowhere.stl"));
  EXPECT_THAT(refusal({"compare", "master.ply", "master.ply", "--limit", "0"}),
              StartsWith("trueblank: --limit"));
  EXPECT_THAT(refusal({"compare", "master.ply", "master.ply", "--other-units", "feet"}),
              StartsWith("trueblank: --other-units"));
  EXPECT_THAT(refusal({"compare", "master.ply", "master.ply", "master.ply", "--aligned", "a.stl"}),
              HasSubstr("--aligned writes one copy"));
  EXPECT_THAT(refusal({"compare", "-", "-"}), HasSubstr("standard input"));
  EXPECT_THAT(refusal({"compare", "master.ply", "master.ply", "--map", "master.ply"}),
              HasSubstr("master.ply"));
}

}  // namespace
}  // namespace trueblank::test_tool
