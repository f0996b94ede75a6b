// SPDX-License-Identifier: GPL-3.0-or-later
// What mirror says of patches, the water, a second scan; and its JSON and table of stations.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "made_up_results.h"
#include "report/layout.h"

namespace trueblank::report {
namespace {

using Json = nlohmann::ordered_json;
using ::testing::EndsWith;
using ::testing::HasSubstr;
using ::testing::Not;

symmetry::Patch patch(const std::string& name, double greatest_mm, double volume_mm3) {
  symmetry::Patch one;
  one.side = symmetry::Side::right;
  one.name = name;
  one.from_station_mm = 38;
  one.to_station_mm = 61;
  one.area_mm2 = 400;
  one.greatest_mm = greatest_mm;
  one.greatest_at_mm = {48, 9, 1};
  one.volume_mm3 = volume_mm3;
  return one;
}

/// A scan with one patch, its plane fitted.
MirrorResult scanned() {
  MirrorResult result = proud_mirror();
  result.plane_uncertainty =
      symmetry::PlaneUncertainty{.tilt_deg = 0.125, .yaw_deg = 0.0625, .offset_mm = 0.0125};
  result.noise = {.sigma_mm = 0.06, .correlation_mm = 2};
  result.patches = {patch("right flank, 38 to 61 mm from the nose", 0.63, 62.4)};
  result.patch_doubt_mm = {0.1};
  result.sanding = symmetry::Sanding{};
  result.sanding->remove_mm3 = 62.4;
  result.sanding->remove_raw_mm3 = 240;
  result.sanding->right_mm3 = 62.4;
  result.sanding->deepest_mm = 0.63;
  result.sanding->deepest_at_mm = geometry::Vec3(48, 9, 1);
  return result;
}

/// The same with a sheet: 0.8° of list, of which the patch makes 0.75°.
MirrorResult afloat() {
  MirrorResult result = scanned();
  result.water = InTheWater{.sheet = "needle.toml", .wood_density_g_cm3 = 0.5};
  effect::Effect effect;
  effect.pose_list_deg = -0.8;
  const effect::PartEffect part{.volume_mm3 = 62.4,
                                .wet_mm3 = 62.4,
                                .wood_g = 0.0312,
                                .weight_moment_g_mm = 0.25,
                                .lift_moment_g_mm = -0.75,
                                .turning_moment_g_mm = -0.5,
                                .list_deg = -0.75};
  effect.whole = part;
  effect.patches = {part};
  effect.slices = {part};
  result.patches[0].mass_g = 0.0312;
  result.water->plan = effect::sanding_plan(effect);
  result.water->effect = std::move(effect);
  return result;
}

TEST(MirrorAnswer, SaysHowSureAndWhereToSand) {
  EXPECT_EQ(answer(scanned(), {}),
            "True to 0.12 mm (95 % of the skin); proudest 0.63 mm on the right flank at 48 mm from "
            "the nose. The mirror plane is sure to ± 0.12° of tilt, ± 0.06° of yaw and ± 0.013 mm; "
            "the scan's noise, as far as it can be told from shape, is 0.06 mm. Sand the right "
            "flank, 38 to 61 mm from the nose, up to 0.63 mm deep (62 mm³).");
}

TEST(MirrorAnswer, OfSeveralPatchesNamesTheFirst) {
  MirrorResult result = scanned();
  result.patches.push_back(patch("nose", 0.4, 30));
  result.sanding->remove_mm3 = 1092.4;
  EXPECT_THAT(answer(result, {}),
              EndsWith(" Sand 2 places (1.09 cm³), first the right flank, 38 to 61 mm from the "
                       "nose, up to 0.63 mm deep."));
}

TEST(MirrorAnswer, APatchNoHigherThanThePlanesDoubtIsLeft) {
  MirrorResult result = scanned();
  result.patch_doubt_mm = {0.32};
  EXPECT_THAT(
      answer(result, {}),
      EndsWith(
          " It is no higher than the plane's doubt and slow noise explain: leave it until a second "
          "scan shows it too."));
  result.patches.push_back(patch("nose", 0.4, 30));
  result.patch_doubt_mm = {0.1, 0.21};
  EXPECT_THAT(answer(result, {}), HasSubstr(" 1 of them is no higher than"));
}

TEST(MirrorAnswer, ATrueScanNeedsNoSanding) {
  MirrorResult result = scanned();
  result.patches.clear();
  result.sanding = symmetry::Sanding{};
  EXPECT_THAT(answer(result, {}),
              EndsWith(" Nowhere is it proud by more than the noise explains: there is nothing to "
                       "sand."));
  result.noise = {};
  result.plane_uncertainty = symmetry::PlaneUncertainty{};
  EXPECT_THAT(answer(result, {}), EndsWith(" The mirror plane is sure to better than 0.01° and "
                                           "0.001 mm. There is nothing to sand."));
}

TEST(MirrorAnswer, SaysWhetherItMattersInTheWater) {
  EXPECT_THAT(
      answer(afloat(), {}),
      EndsWith("(62 mm³, 0.03 g). In the water it lists 0.80°, left flank down. Take 0.03 g "
               "off the right flank, 38 to 61 mm from the nose, and it lies level."));
  MirrorResult result = afloat();
  result.water->plan.list_before_deg = 83.1;
  EXPECT_THAT(answer(result, {}), EndsWith(" In the water it lies on its right flank (list 83.1°): "
                                           "that comes from its weights, not from what its sides "
                                           "differ by."));
}

TEST(MirrorText, TellsOfTheSlowBendUntilThereIsASecondScan) {
  MirrorResult result = scanned();
  EXPECT_THAT(to_text(result, {}), HasSubstr("A slow bend of the whole scan"));
  result.again = ScannedAgain{.file = "again.stl", .rms_mm = 0.05};
  result.again->body_mm.rms = 0.07;
  result.again->scanner_mm.rms = 0.02;
  const std::string text = to_text(result, {});
  EXPECT_THAT(text, Not(HasSubstr("A slow bend")));
  EXPECT_THAT(text, HasSubstr("0.070 mm rms stays with the body and 0.020 mm rms with the"));
  EXPECT_THAT(text, Not(HasSubstr("scan again before sanding")));
  result.again->scanner_mm.rms = 0.09;
  EXPECT_THAT(to_text(result, {}), HasSubstr("scan again before sanding"));
}

TEST(MirrorText, WarnsOfASecondScanThatHardlyFits) {
  ScannedAgain again{.file = "again.stl", .rms_mm = 2, .runner_up_rms_mm = 9};
  EXPECT_EQ(doubtful_alignment(again, 165),
            "again.stl fits on the first scan only to 2.00 mm rms: is it the same blank, at the "
            "same scale?");
  again.rms_mm = 0.1;
  EXPECT_EQ(doubtful_alignment(again, 165), "");
  again.runner_up_rms_mm = 0.105;
  EXPECT_THAT(doubtful_alignment(again, 165), HasSubstr("fits on the first scan in several ways"));
}

TEST(MirrorText, ShowsTheBackThatWouldChooseEachCandidate) {
  MirrorResult result = proud_mirror();
  result.plane.reset();
  result.deviation_mm.reset();
  EXPECT_THAT(to_text(result, {}), HasSubstr("--back 0.00,0.00,1.00"));
}

TEST(MirrorText, SaysHowRoundARoundBodyIs) {
  MirrorResult result = proud_mirror();
  result.plane.reset();
  result.deviation_mm.reset();
  result.round = true;
  result.roundness = {{.x_mm = 40, .radius_mm = 9, .out_of_round_mm = 0.125},
                      {.x_mm = 80, .radius_mm = 10, .out_of_round_mm = 0.25}};
  EXPECT_THAT(answer(result, {}),
              HasSubstr(" It is out of round by 0.25 mm at most, at 80 mm from the nose."));
  EXPECT_THAT(to_text(result, {}), HasSubstr("  80.0             10.00          0.25\n"));
}

TEST(MirrorText, FitsAScreenOf80ColumnsWithAllThatItCanSay) {
  MirrorResult result = afloat();
  result.again = ScannedAgain{.file = "again.stl"};
  for (int i = 0; i < 12; ++i) {
    result.patches.push_back(
        patch("belly, left of the middle, 107 to 108 mm from the nose", 0.1, 3));
    result.water->effect->patches.push_back({});
    result.patch_doubt_mm.push_back(1);
  }
  result.water->plan = effect::sanding_plan(*result.water->effect);
  for (const bool on : {false, true}) {
    std::istringstream lines(to_text(result, {.imperial = on, .verbose = on}));
    std::string line;
    while (std::getline(lines, line)) EXPECT_LE(columns(line), 80) << line;
  }
  EXPECT_THAT(to_text(result, {}), HasSubstr("And 7 that matter less; --verbose shows them."));
}

TEST(MirrorJson, HasTheKeysAgreedUpon) {
  const Json json = Json::parse(to_json(afloat()));
  EXPECT_EQ(json["plane_uncertainty"],
            (Json{{"tilt_deg", 0.125}, {"yaw_deg", 0.0625}, {"offset_mm", 0.0125}}));
  EXPECT_EQ(json["deviation_mm"]["noise"], 0.06);
  EXPECT_EQ(json["deviation_mm"]["noise_correlation_mm"], 2.0);
  const Json& one = json["patches"][0];
  EXPECT_EQ(one["side"], "right");
  EXPECT_EQ(one["from_mm"], 38.0);
  EXPECT_EQ(one["to_mm"], 61.0);
  EXPECT_EQ(one["at_mm"], (Json{48.0, 9.0, 1.0}));
  EXPECT_EQ(one["wood_g"], 0.0312);
  EXPECT_EQ(one["list_deg"], -0.75);
  EXPECT_EQ(json["sanding"]["remove_mm3"], 62.4);
  EXPECT_EQ(json["sanding"]["deepest_at_mm"], (Json{48.0, 9.0, 1.0}));
  EXPECT_EQ(json["stations"][0]["turning_moment_g_mm"], -0.5);
  EXPECT_EQ(json["stations"][0]["belly_mm"], 4.0);
  EXPECT_EQ(json["turning_moment_g_mm"], -0.5);
  EXPECT_EQ(json["list_deg"], -0.75);
  EXPECT_EQ(json["sanding_plan"]["to_level"][0]["patch"], 0);
  EXPECT_NEAR(json["sanding_plan"]["list_after_deg"].get<double>(), -0.05, 1e-12);
}

TEST(MirrorJson, IsNullWhereThereIsNothingToSay) {
  const Json json = Json::parse(to_json(proud_mirror()));
  for (const char* key : {"plane_uncertainty", "sanding", "turning_moment_g_mm", "list_deg",
                          "halves", "sanding_plan", "again"}) {
    EXPECT_TRUE(json.at(key).is_null()) << key;
  }
  EXPECT_TRUE(json["patches"].empty());
  EXPECT_TRUE(json["stations"][0]["list_deg"].is_null());
}

TEST(MirrorTable, HasALineAStation) {
  EXPECT_EQ(stations_csv(proud_mirror()),
            "x_mm,left_half_width_mm,right_half_width_mm,height_mm,left_area_mm2,right_area_mm2,"
            "area_difference_mm2,centre_offset_mm,belly_mm,back_mm,left_at_z_0.0_mm,"
            "right_at_z_0.0_mm,left_at_z_5.0_mm,right_at_z_5.0_mm\n"
            "10.000,3.000,3.250,9.000,20.000,21.000,1.000,0.125,4.000,5.000,2.500,2.750,,0.500\n");
  EXPECT_THAT(stations_csv(afloat()),
              HasSubstr("back_mm,turning_moment_g_mm,list_deg,left_at_z_0.0_mm"));
  EXPECT_THAT(stations_csv(afloat()), HasSubstr("5.000,-0.500,-0.750,2.500"));
}

}  // namespace
}  // namespace trueblank::report
