// SPDX-License-Identifier: GPL-3.0-or-later
// What mirror says beyond plane and deviation: patches, sanding, the water, a second scan, files.
#include <gmock/gmock.h>

#include <cmath>
#include <numbers>
#include <sstream>
#include <utility>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;
using Words = std::vector<std::string>;

Words joined(Words words, const Words& more) {
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

// A true body with a bump of 0.8 mm on its right flank, as a scan without noise has it.
test_bodies::TriangleMesh bumped() {
  test_bodies::TriangleMesh mesh = test_bodies::ellipsoid(70, 10, 13, 50, 50);
  for (Eigen::Index i = 0; i < mesh.positions_mm.cols(); ++i) {
    const test_bodies::Vec3 p = mesh.positions_mm.col(i);
    const double off = std::hypot(p.x() - 10, p.z());
    if (p.y() > 0 && off < 12)
      mesh.positions_mm(1, i) += 0.8 * std::pow(std::cos(off * std::numbers::pi / 24), 2);
  }
  return mesh;
}

const char* const two_halves_sheet = R"(
[body]
mesh = "halves.ply"
nose = "-x"
back = "+z"
[wood]
density = 0.4
[[ballast]]
name = "belly"
at = [82.5, -9]
mass = 9
metal = "lead"
)";

class MirrorTrue : public Tool {
 protected:
  MirrorTrue() { write_ply("halves.ply", test_bodies::two_halves(82.5, 11, 11.5, 14, 50, 50)); }

  [[nodiscard]] double number(const Json& json, const std::string& key) {
    return json.at(key).get<double>();
  }

  // Source: an ellipsoid of two halves of widths b_l, b_r about the plane between them: half
  // volumes 2/3·π·a·b·c; wood to remove 2/3·π·a·c·|b_r − b_l|; greatest deviation |b_r − b_l|.
  const double remove_mm3 = 2.0 / 3 * std::numbers::pi * 82.5 * 14 * 0.5;
  const Words command = {"mirror", "halves.ply", "--nose",  "-x",
                         "--back", "+z",         "--plane", "0,1,0,0"};
};

TEST_F(MirrorTrue, TwoHalvesAskForTheWoodOfTheClosedForm) {
  write_ply("halves.ply", test_bodies::two_halves(82.5, 11, 11.5, 14, 100, 100));
  const Json json = json_of(command);
  const Json& sanding = json["sanding"];
  EXPECT_NEAR(remove_mm3, 1209.513172, 1e-6);
  // 0.2 %: the facets' share, and what of the rim no patch reaches.
  EXPECT_NEAR(number(sanding, "remove_mm3"), remove_mm3, 2e-3 * remove_mm3);
  EXPECT_NEAR(number(sanding, "remove_raw_mm3"), remove_mm3, 2e-3 * remove_mm3);
  EXPECT_EQ(number(sanding, "left_mm3"), 0);
  EXPECT_NEAR(number(sanding, "right_mm3"), number(sanding, "remove_mm3"), 1e-9 * remove_mm3);
  EXPECT_NEAR(number(sanding, "deepest_mm"), 0.5, 0.002);
  EXPECT_NEAR(number(sanding, "volume_after_mm3"),
              number(json, "left_volume_mm3") + number(json, "right_volume_mm3") -
                  number(sanding, "remove_mm3"),
              1e-6);
  EXPECT_TRUE(sanding["remove_g"].is_null());
  EXPECT_TRUE(json["plane_uncertainty"].is_null());  // it was given
  EXPECT_TRUE(json["turning_moment_g_mm"].is_null());
  EXPECT_TRUE(json["again"].is_null());
  EXPECT_TRUE(json["roundness"].empty());
}

TEST_F(MirrorTrue, TwoHalvesAreOnePatch) {
  const Json json = json_of(command);
  ASSERT_EQ(json["patches"].size(), 1U);
  const Json& patch = json["patches"][0];
  EXPECT_EQ(patch["side"], "right");
  EXPECT_THAT(patch["name"].get<std::string>(), StartsWith("right flank"));
  EXPECT_NEAR(number(patch, "greatest_mm"), 0.5, 0.002);
  EXPECT_NEAR(patch["at_mm"][1].get<double>(), 11.5, 0.03);
  EXPECT_NEAR(number(patch, "volume_mm3"), number(json["sanding"], "remove_mm3"), 1e-6);
  EXPECT_TRUE(patch["wood_g"].is_null());
  EXPECT_TRUE(patch["list_deg"].is_null());
}

// Source: half an ellipse of half width b and height 2c has the area πbc/2 and its centroid at
// 4b/(3π); so two halves have theirs at (b_r² − b_l²)/(b_r + b_l) · 4/(3π).
TEST_F(MirrorTrue, StationsTellAreasAndMiddles) {
  write_ply("halves.ply", test_bodies::two_halves(82.5, 11, 11.5, 14, 100, 100));
  const Json json = json_of(joined(command, {"--stations", "1"}));
  ASSERT_EQ(json["stations"].size(), 1U);
  const Json& middle = json["stations"][0];
  EXPECT_NEAR(number(middle, "area_difference_mm2"), std::numbers::pi * 0.5 * 14 / 2, 0.02);
  EXPECT_NEAR(number(middle, "centre_offset_mm"), 0.5 * 4 / (3 * std::numbers::pi), 1e-3);
  EXPECT_NEAR(number(middle, "belly_mm"), 14, 0.01);
  EXPECT_NEAR(number(middle, "back_mm"), 14, 0.01);
  ASSERT_EQ(middle["half_widths"].size(), 5U);  // at −10, −5, 0, 5 and 10 mm
  for (const Json& one : middle["half_widths"]) {
    const double z = number(one, "z_mm");
    const double narrower = std::sqrt(1 - z * z / (14 * 14));
    EXPECT_NEAR(number(one, "left_mm"), 11 * narrower, 0.02) << z;
    EXPECT_NEAR(number(one, "right_mm"), 11.5 * narrower, 0.02) << z;
  }
}

// What makes this lure list is its wider half alone: with that half sanded down it is its own
// mirror image, and lies level. So the list that the patch adds is the list that there is, but for
// what is of second order in the width (and a hundredth that 50 flat facets round it put in).
TEST_F(MirrorTrue, ThePatchAddsTheListThatThereIs) {
  write("halves.toml", two_halves_sheet);
  double off_before = 0;
  for (const double wider_mm : {0.2, 0.4}) {
    write_ply("halves.ply", test_bodies::two_halves(82.5, 11, 11 + wider_mm, 14, 50, 50));
    const Json json = json_of(joined(command, {"--sheet", "halves.toml"}));
    const double there_is = number(json["sanding_plan"], "list_before_deg");
    EXPECT_LT(there_is, -0.1);  // the right flank is lifted
    const double off = number(json, "list_deg") / there_is - 1;
    EXPECT_LT(std::abs(off), 0.3 * wider_mm) << there_is;
    if (off_before != 0) {
      EXPECT_NEAR(off / off_before, 2, 0.4);
    }
    off_before = off;
  }
}

TEST_F(MirrorTrue, PatchesAndStationsAddUpToTheWhole) {
  write("halves.toml", two_halves_sheet);
  const Json json = json_of(joined(command, {"--sheet", "halves.toml"}));
  double of_patches = 0;
  double of_stations = 0;
  for (const Json& patch : json["patches"]) of_patches += number(patch, "turning_moment_g_mm");
  for (const Json& one : json["stations"]) of_stations += number(one, "turning_moment_g_mm");
  const double whole = number(json, "turning_moment_g_mm");
  EXPECT_LT(whole, 0);  // a proud flank under water lifts its side
  EXPECT_NEAR(of_patches, whole, 1e-9 * std::abs(whole));
  EXPECT_NEAR(of_stations, whole, 1e-9 * std::abs(whole));
  const Json& patch = json["patches"][0];
  EXPECT_NEAR(number(patch, "wood_g"), 0.4e-3 * number(patch, "volume_mm3"), 1e-9);
  EXPECT_NEAR(number(json["sanding"], "remove_g"), number(patch, "wood_g"), 1e-9);
  EXPECT_NEAR(number(json["sanding"], "mass_after_g"),
              0.4e-3 * number(json["sanding"], "volume_after_mm3"), 1e-9);
  const Json& plan = json["sanding_plan"];
  ASSERT_EQ(plan["to_level"].size(), 1U);
  EXPECT_LT(std::abs(number(plan, "list_after_deg")),
            0.2 * std::abs(number(plan, "list_before_deg")));  // second order: see above
  EXPECT_THAT(run(joined(command, {"--sheet", "halves.toml", "--quiet"})).out,
              HasSubstr(" In the water it lists "));
}

TEST_F(MirrorTrue, HalvesOfUnlikeWeightCountToo) {
  const std::string even = two_halves_sheet;
  const std::string halves = "halves = { left = 10.0, right = 11.0 }";
  write("halves.toml", std::string(even).replace(even.find("density = 0.4"), 13, halves));
  const Json json = json_of(joined(command, {"--sheet", "halves.toml"}));
  ASSERT_FALSE(json["halves"].is_null());
  EXPECT_GT(number(json["halves"], "turning_moment_g_mm"), 0);  // the heavier right goes down
  EXPECT_NEAR(number(json, "turning_moment_g_mm"),
              number(json["halves"], "turning_moment_g_mm") +
                  number(json["patches"][0], "turning_moment_g_mm"),
              1e-9);
}

TEST_F(MirrorTrue, BestSandLosesNoMoreThanTheFittedPlane) {
  write_ply("bumped.ply", bumped());
  const Words plain = {"mirror", "bumped.ply", "--nose", "-x", "--back", "+z"};
  const Json fitted = json_of(plain);
  const Json best = json_of(joined(plain, {"--best-sand"}));
  EXPECT_EQ(fitted["plane_from"], "shape");
  EXPECT_EQ(best["plane_from"], "best-sand");
  // Raw figures are by columns, good to a thousandth.
  EXPECT_LE(number(best["sanding"], "remove_raw_mm3"),
            1.001 * number(fitted["sanding"], "remove_raw_mm3"));
  EXPECT_FALSE(fitted["plane_uncertainty"].is_null());
}

TEST_F(MirrorTrue, TheWiresEyesGiveThePlane) {
  write_stl("round.stl", test_bodies::turned({{0, 0}, {4, 5}, {8, 40}, {7, 100}, {0, 150}}, 64));
  const Json json = json_of(
      {"mirror", "round.stl", "--nose", "-z", "--back", "1,1,0", "--eyes", "0,0,-3", "0,0,160"});
  EXPECT_EQ(json["plane_from"], "split-line");
  const Json& normal = json["plane"]["normal"];
  EXPECT_NEAR(std::abs(normal[0].get<double>()), std::numbers::sqrt2 / 2, 1e-9);
  EXPECT_NEAR(normal[0].get<double>(), -normal[1].get<double>(), 1e-9);
  EXPECT_FALSE(json["roundness"].empty());
  EXPECT_THAT(refusal({"mirror", "round.stl", "--eyes", "0,0,-3", "0,0,160"}),
              HasSubstr("give --back, or a third point"));
  EXPECT_THAT(refusal({"mirror", "round.stl", "--back", "+z", "--eyes", "0,0,-3", "0,0,160"}),
              HasSubstr("nearly along the line of the two eyes"));
}

// A second scan that is the first one, turned, has the flaw at the same place of the body.
TEST_F(MirrorTrue, ASecondScanTellsBodyFromScanner) {
  write_ply("bumped.ply", bumped());
  write_ply("again.ply", test_bodies::moved(bumped(), test_bodies::random_turn(3), {9, -40, 100}));
  const Json json =
      json_of({"mirror", "bumped.ply", "--nose", "-x", "--back", "+z", "--again", "again.ply"});
  const Json& again = json["again"];
  EXPECT_EQ(again["file"], "again.ply");
  EXPECT_LT(number(again, "rms_mm"), 0.01);
  EXPECT_NEAR(number(again["body_mm"], "rms"), number(json["deviation_mm"], "rms"), 0.01);
  EXPECT_LT(number(again["scanner_mm"], "rms"), 0.01);
  EXPECT_THAT(
      run({"mirror", "bumped.ply", "--nose", "-x", "--back", "+z", "--again", "again.ply"}).out,
      HasSubstr("stays with the body"));
  EXPECT_THAT(refusal({"mirror", "bumped.ply", "--again", "missing.ply"}),
              HasSubstr("missing.ply"));
}

// Both files are a tenth too small; what the blank displaces tells so of either.
TEST_F(MirrorTrue, TheSecondScanIsScaledByTheDunkTestToo) {
  const geometry::TriangleMesh whole = bumped();
  geometry::TriangleMesh small = whole;
  small.positions_mm *= 0.9;
  write_ply("small.ply", small);
  write_ply("again.ply", test_bodies::moved(small, test_bodies::random_turn(3), {9, -40, 100}));
  const double displaced_g =
      0.99821 * geometry::moments(test_bodies::closed(whole)).volume_mm3 / 1000;
  const Json json = json_of({"mirror", "small.ply", "--nose", "-x", "--back", "+z", "--displaced",
                             std::to_string(displaced_g), "--again", "again.ply"});
  EXPECT_LT(number(json["again"], "rms_mm"), 0.01);
  EXPECT_LT(number(json["again"]["scanner_mm"], "rms"), 0.01);
}

TEST_F(MirrorTrue, TheTargetIsTrueAndHasWhatIsLeft) {
  write_ply("halves.ply", test_bodies::two_halves(82.5, 11, 11.5, 14, 100, 100));
  ASSERT_EQ(run(joined(command, {"--target", "target.ply", "--json", "j.json"})).exit, 0);
  const Json before = Json::parse(read("j.json"));
  const Json after =
      json_of({"mirror", "target.ply", "--nose", "-x", "--back", "+z", "--plane", "0,1,0,0"});
  EXPECT_LT(number(after["deviation_mm"], "p95"), 0.01);
  EXPECT_NEAR(number(after, "left_volume_mm3") + number(after, "right_volume_mm3"),
              number(before["sanding"], "volume_after_mm3"),
              0.02 * remove_mm3);  // flat facets stand off each other by that much here
  ASSERT_EQ(run(joined(command, {"--target", "target.STL"})).exit, 0);
  EXPECT_EQ(json_of({"check", "target.STL"})["closed"], true);
}

TEST_F(MirrorTrue, TheTableHasTheStationsOfTheJson) {
  ASSERT_EQ(run(joined(command, {"--csv", "stations.csv", "--json", "j.json"})).exit, 0);
  const Json json = Json::parse(read("j.json"));
  std::istringstream lines(read("stations.csv"));
  std::string line;
  ASSERT_TRUE(std::getline(lines, line));
  EXPECT_THAT(line, StartsWith("x_mm,left_half_width_mm,right_half_width_mm,height_mm,"));
  const auto columns = std::count(line.begin(), line.end(), ',');
  for (const Json& station : json["stations"]) {
    ASSERT_TRUE(std::getline(lines, line));
    EXPECT_EQ(std::count(line.begin(), line.end(), ','), columns);
    std::istringstream cells(line);
    for (const char* key :
         {"x_mm", "left_half_width_mm", "right_half_width_mm", "height_mm", "left_area_mm2",
          "right_area_mm2", "area_difference_mm2", "centre_offset_mm", "belly_mm", "back_mm"}) {
      std::string cell;
      std::getline(cells, cell, ',');
      EXPECT_NEAR(std::stod(cell), number(station, key), 5.1e-4) << key;
    }
  }
  EXPECT_FALSE(std::getline(lines, line));
}

TEST_F(MirrorTrue, TemplatesComeAsSvgOrPdfOnEitherPaper) {
  ASSERT_EQ(run(joined(command, {"--templates", "t.svg"})).exit, 0);
  EXPECT_THAT(read("t.svg"), HasSubstr("<svg"));
  EXPECT_THAT(read("t.svg"), HasSubstr("halves.ply"));
  ASSERT_EQ(run(joined(command, {"--templates", "t.PDF", "--paper", "letter"})).exit, 0);
  EXPECT_THAT(read("t.PDF"), StartsWith("%PDF-1.4"));
  EXPECT_THAT(read("t.PDF"), HasSubstr("792"));  // 11 in in points
}

TEST_F(MirrorTrue, WithoutAPlaneNothingIsWrittenAndAllIsSaid) {
  write_stl("round.stl", test_bodies::turned({{0, 0}, {4, 5}, {8, 40}, {7, 100}, {0, 150}}, 64));
  write("halves.toml", two_halves_sheet);
  const Words asked = {"mirror", "round.stl", "--csv",   "c.csv",      "--target",    "t.ply",
                       "--map",  "m.ply",     "--again", "halves.ply", "--templates", "t.pdf"};
  const std::set<std::string> before = files();
  const Json json = json_of(asked);
  EXPECT_EQ(files(), before);
  EXPECT_EQ(json["warnings"].size(), 7U);  // two of the frame, four files, the second scan
  EXPECT_TRUE(json["sanding"].is_null());
  EXPECT_TRUE(json["plane_uncertainty"].is_null());
  EXPECT_TRUE(json["patches"].empty());
  ASSERT_FALSE(json["roundness"].empty());
  // 64 facets round a circle of radius r: from r·cos(π/64) to r.
  const Json& one = json["roundness"][4];
  EXPECT_NEAR(number(one, "out_of_round_mm"),
              number(one, "radius_mm") * (1 - std::cos(std::numbers::pi / 64)) / 2, 1e-3);
}

TEST_F(MirrorTrue, SeveralFilesComeAllOrNone) {
  EXPECT_THAT(refusal(joined(command, {"--csv", "c.csv", "--map", "m.ply", "--target", "t.stl",
                                       "--json", "j.json", "--templates", "no/such/t.pdf"})),
              HasSubstr("no/such"));
  EXPECT_THAT(refusal(joined(command, {"--csv", "same", "--json", "same"})),
              HasSubstr("same file"));
  EXPECT_THAT(refusal(joined(command, {"--csv", "halves.ply"})), HasSubstr("overwrite"));
  write("halves.toml", two_halves_sheet);
  EXPECT_THAT(refusal(joined(command, {"--sheet", "halves.toml", "--csv", "halves.toml"})),
              HasSubstr("overwrite"));
}

TEST_F(MirrorTrue, RefusesInALineWhatCannotBe) {
  const Words body = {"mirror", "halves.ply"};
  const std::vector<std::pair<Words, std::string>> wrong = {
      {{"--best-sand", "--plane", "0,1,0,0"}, "--plane and --best-sand can't both be given"},
      {{"--eyes", "0,0,0", "1,0,0", "--plane", "0,1,0,0"}, "--plane and --eyes can't both"},
      {{"--eyes", "0,0,0"}, "--eyes needs 2 values"},
      {{"--eyes", "0,0,0", "0,0,0"}, "two points that lie apart"},
      {{"--eyes", "0,0", "1,0,0"}, "\"0,0\" is not a point"},
      {{"--best-sand=yes"}, "--best-sand takes no value"},
      {{"--paper", "letter"}, "--paper is for --templates"},
      {{"--paper", "a3", "--templates", "t.pdf"}, "\"a3\" is not a paper"},
      {{"--templates", "t.png"}, "does not end in .svg or .pdf"},
      {{"--target", "t.obj"}, "does not end in .ply or .stl"},
      {{"--again", "-", "--sheet", "-"}, "only one of its files can come from standard input"},
      {{"--sheet", "missing.toml"}, "missing.toml"},
      {{"--sheet", "halves.ply"}, "halves.ply"}};
  for (const auto& [words, what] : wrong) {
    EXPECT_THAT(refusal(joined(body, words)), HasSubstr(what));
  }
  EXPECT_THAT(refusal({"weigh", "halves.ply", "--csv", "c.csv"}), HasSubstr("--csv"));
}

TEST_F(MirrorTrue, TheCommandLineSaysHowToMendBeforeTheSheetDoes) {
  bool dropped = false;
  write_ply("halves.ply", test_bodies::without(
                              test_bodies::two_halves(82.5, 11, 11.5, 14, 50, 50),
                              [&](const auto& /*at*/) { return !std::exchange(dropped, true); }));
  std::string sheet = two_halves_sheet;
  write("halves.toml", sheet.insert(sheet.find("nose"), "mend = \"none\"\n"));
  EXPECT_THAT(refusal(joined(command, {"--sheet", "halves.toml"})), HasSubstr("open"));
  const Ran ran = run(joined(command, {"--sheet", "halves.toml", "--mend", "holes"}));
  EXPECT_EQ(ran.exit, 0) << ran.err;
}

TEST_F(MirrorTrue, TheSameBytesWhateverTheThreads) {
  write_ply("bumped.ply", bumped());
  write_ply("again.ply", test_bodies::moved(bumped(), test_bodies::random_turn(3), {9, -40, 100}));
  std::string sheet = two_halves_sheet;
  write("halves.toml", sheet.replace(sheet.find("halves.ply"), 10, "bumped.ply"));
  std::vector<std::string> first;
  for (const std::string threads : {"1", "2", "7"}) {
    const Ran ran = run({"mirror", "bumped.ply", "--best-sand", "--sheet", "halves.toml", "--again",
                         "again.ply", "--csv", "c.csv", "--target", "t.ply", "--map", "m.ply",
                         "--templates", "t.pdf", "--json", "j.json", "--threads", threads});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    const std::vector<std::string> all = {ran.out,       read("c.csv"), read("t.ply"),
                                          read("m.ply"), read("t.pdf"), read("j.json")};
    if (first.empty()) first = all;
    for (std::size_t i = 0; i < all.size(); ++i) EXPECT_TRUE(all[i] == first[i]) << i;
  }
  expect_valid("mirror", Json::parse(read("j.json")));
}

}  // namespace
}  // namespace trueblank::test_tool
