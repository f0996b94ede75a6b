// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "made_up_results.h"
#include "report/version.h"

namespace trueblank::report {
namespace {

using Json = nlohmann::ordered_json;

std::vector<std::string> keys(const Json& object) {
  std::vector<std::string> names;
  for (const auto& [key, value] : object.items()) names.push_back(key);
  return names;
}

TEST(Json, EveryResultBeginsWithSchemaVersionInputWarnings) {
  const std::vector<std::string> first = {"schema", "version", "input", "warnings"};
  for (const std::string& text : {to_json(sound_check()), to_json(box_weigh()),
                                  to_json(proud_mirror()), to_json(floating())}) {
    std::vector<std::string> names = keys(Json::parse(text));
    names.resize(4);
    EXPECT_EQ(names, first);
    EXPECT_TRUE(text.starts_with("{\n  \"schema\""));
    EXPECT_TRUE(text.ends_with("}\n"));
  }
}

TEST(Json, CheckHasTheKeysAgreedUpon) {
  const Json json = Json::parse(to_json(sound_check()));
  EXPECT_EQ(keys(json),
            (std::vector<std::string>{"schema",        "version",       "input",
                                      "warnings",      "closed",        "oriented",
                                      "pieces",        "open_loops",    "self_intersections",
                                      "size_mm",       "volume_mm3",    "mended",
                                      "holes",         "reshaped",      "displaced_mm3",
                                      "cavity",        "volume_sd_mm3", "volume_bound_mm3",
                                      "volume_doubts", "scale",         "skin",
                                      "made_up"}));
  EXPECT_EQ(json["schema"], "trueblank.check/1");
  EXPECT_EQ(json["version"], std::string(version()));
  EXPECT_EQ(keys(json["size_mm"]), (std::vector<std::string>{"length", "width", "height"}));
  EXPECT_TRUE(json["mended"].is_array());
}

TEST(Json, NumbersReadBackToTheSameDouble) {
  WeighResult result = box_weigh();
  const std::vector<double> awkward = {
      0.1, 1.0 / 3, 5e-324, 1.7976931348623157e308, 123456789.123456789, 2.2250738585072014e-308};
  for (const double value : awkward) {
    result.whole.volume_mm3 = value;
    EXPECT_EQ(Json::parse(to_json(result))["volume_mm3"].get<double>(), value);
  }
}

TEST(Json, NotANumberAndInfinityAreNull) {
  WeighResult result = box_weigh();
  result.whole.volume_mm3 = std::numeric_limits<double>::quiet_NaN();
  result.whole.area_mm2 = -std::numeric_limits<double>::infinity();
  const std::string text = to_json(result);
  EXPECT_TRUE(Json::parse(text)["volume_mm3"].is_null());
  EXPECT_TRUE(Json::parse(text)["area_mm2"].is_null());
}

TEST(Json, MinusNothingIsNothing) {
  WeighResult result = box_weigh();
  result.whole.centroid_mm = {-0.0, 0, 0};
  EXPECT_EQ(to_json(result).find("-0.0"), std::string::npos);
}

TEST(Json, MinusNothingIsNothingInFloatToo) {
  FloatResult result = floating();
  result.balance.poses[0].tail_down_deg = -0.0;
  result.balance.poses[0].list_deg = -0.0;
  result.casting.centres_apart_mm = -0.0;
  result.tank.view.list_deg = -0.0;
  EXPECT_EQ(to_json(result).find("-0.0"), std::string::npos);
}

TEST(Json, AFileNameThatIsNotUtf8DoesNotStopIt) {
  CheckResult result = sound_check();
  result.input.file =
      "k\xf6"
      "der.stl";
  EXPECT_EQ(Json::parse(to_json(result))["input"]["file"],
            "k\xef\xbf\xbd"
            "der.stl");
}

TEST(Json, PrincipalAxesAreRowsInTheOrderOfTheMoments) {
  const Json json = Json::parse(to_json(box_weigh()));
  EXPECT_EQ(json["principal_axes"][1], Json({0.0, 0.0, 1.0}));
  EXPECT_EQ(json["principal_mm5"][1], 52e6);
  EXPECT_FALSE(json.contains("mass_g"));
}

TEST(Json, ADensityBringsMassAndInertia) {
  WeighResult result = box_weigh();
  result.blank = rig::blank_of_density(result.whole, 0.5);
  const Json json = Json::parse(to_json(result));
  EXPECT_DOUBLE_EQ(json["mass_g"].get<double>(), 30);
  EXPECT_DOUBLE_EQ(json["density_g_cm3"].get<double>(), 0.5);
  EXPECT_DOUBLE_EQ(json["inertia_g_mm2"][0][0].get<double>(), 3250);
}

TEST(Json, AMirrorWithoutAPlaneHasNulls) {
  MirrorResult result = proud_mirror();
  result.plane.reset();
  result.deviation_mm.reset();
  result.volumes.reset();
  result.stations.clear();
  const Json json = Json::parse(to_json(result));
  for (const char* key : {"plane", "deviation_mm", "left_volume_mm3", "right_volume_mm3"}) {
    EXPECT_TRUE(json.at(key).is_null()) << key;
  }
  EXPECT_EQ(json["candidates"].size(), 1U);
  EXPECT_TRUE(json["stations"].empty());
}

TEST(Json, PlaneFromHasItsFiveNames) {
  MirrorResult result = proud_mirror();
  const std::vector<std::pair<symmetry::PlaneFrom, std::string>> names = {
      {symmetry::PlaneFrom::shape, "shape"},
      {symmetry::PlaneFrom::back, "back"},
      {symmetry::PlaneFrom::split_line, "split-line"},
      {symmetry::PlaneFrom::given, "given"},
      {symmetry::PlaneFrom::best_sand, "best-sand"}};
  for (const auto& [from, name] : names) {
    result.plane_from = from;
    EXPECT_EQ(Json::parse(to_json(result))["plane_from"], name);
  }
}

TEST(Json, ASinkersWaterlineIsNull) {
  FloatResult result = floating();
  result.balance.state = water::State::sinks;
  result.balance.poses[0].waterline_offset_mm.reset();
  const Json json = Json::parse(to_json(result));
  EXPECT_EQ(json["state"], "sinks");
  EXPECT_TRUE(json["poses"][0].at("waterline").is_null());
}

TEST(Json, FloatHasTheKeysAgreedUpon) {
  const Json json = Json::parse(to_json(floating()));
  EXPECT_EQ(keys(json), (std::vector<std::string>{"schema",
                                                  "version",
                                                  "input",
                                                  "warnings",
                                                  "frame",
                                                  "mass_g",
                                                  "mass_parts",
                                                  "mass_by_kind_g",
                                                  "centre_of_mass_mm",
                                                  "wet_volume_mm3",
                                                  "displacement_full_g",
                                                  "state",
                                                  "reserve_g",
                                                  "displacement_full_uncertainty_g",
                                                  "displacement_full_bound_g",
                                                  "reserve_uncertainty_g",
                                                  "reserve_bound_g",
                                                  "poses",
                                                  "ratio_g_per_100g_wood",
                                                  "ratio_without_hooks_g_per_100g_wood",
                                                  "bench",
                                                  "casting",
                                                  "sink",
                                                  "tight_line",
                                                  "waters",
                                                  "water_flips",
                                                  "hovers_in_g_cm3",
                                                  "to_hover",
                                                  "tank",
                                                  "sensitivity",
                                                  "tolerances",
                                                  "sweep",
                                                  "mended",
                                                  "holes",
                                                  "reshaped",
                                                  "displaced_mm3",
                                                  "cavity",
                                                  "volume_sd_mm3",
                                                  "volume_bound_mm3",
                                                  "volume_doubts",
                                                  "scale",
                                                  "skin",
                                                  "made_up"}));
  EXPECT_EQ(keys(json["poses"][0]), (std::vector<std::string>{"up",
                                                              "tail_down_deg",
                                                              "list_deg",
                                                              "waterline",
                                                              "submerged_mm3",
                                                              "centre_of_buoyancy_mm",
                                                              "waterplane_mm2",
                                                              "roll_stiffness_g_mm_per_deg",
                                                              "pitch_stiffness_g_mm_per_deg",
                                                              "least_stiffness_g_mm_per_deg",
                                                              "list_stiffness_g_mm_per_deg",
                                                              "gm_roll_mm",
                                                              "gm_pitch_mm",
                                                              "share",
                                                              "indifferent",
                                                              "barrier_g_mm",
                                                              "barrier_to",
                                                              "barrier_up",
                                                              "hardest_push_g_mm",
                                                              "overturn_g_mm",
                                                              "righting",
                                                              "vanishing_deg",
                                                              "vanishing_right_deg",
                                                              "vanishing_left_deg",
                                                              "righting_area_mm_rad"}));
  EXPECT_EQ(keys(json["mass_parts"][0]),
            (std::vector<std::string>{"name", "kind", "mass_g", "centre_mm"}));
  EXPECT_EQ(json["mass_parts"][1]["kind"], "ballast");
  EXPECT_EQ(json["mass_by_kind_g"]["ballast"], 9.0);
  EXPECT_EQ(json["mass_by_kind_g"]["hook"], 0.0);
}

TEST(Json, ABarrierAndARightingCurveAreToldAsTheyAre) {
  const Json pose = Json::parse(to_json(floating()))["poses"][0];
  EXPECT_EQ(pose["barrier_g_mm"], 95.5);
  EXPECT_EQ(pose["barrier_to"], 0);
  EXPECT_EQ(pose["barrier_up"], Json({0.0, 0.0, -1.0}));
  EXPECT_EQ(pose["hardest_push_g_mm"], 44.6);
  ASSERT_EQ(pose["righting"].size(), 3U);
  EXPECT_EQ(keys(pose["righting"][0]),
            (std::vector<std::string>{"list_deg", "arm_mm", "moment_g_mm", "tail_down_deg"}));
  EXPECT_EQ(pose["vanishing_deg"], -130.25);
  EXPECT_EQ(pose["vanishing_right_deg"], 131.5);
  EXPECT_EQ(pose["righting_area_mm_rad"]["left"], 3.125);
}

TEST(Json, WithoutABarrierOrACurveTheyAreNull) {
  FloatResult result = floating();
  result.balance.poses[0].barrier.reset();
  result.balance.poses[0].overturn_g_mm = 180;
  result.righting = {std::nullopt};
  const Json pose = Json::parse(to_json(result))["poses"][0];
  for (const char* key :
       {"barrier_g_mm", "barrier_to", "barrier_up", "hardest_push_g_mm", "vanishing_deg",
        "vanishing_right_deg", "vanishing_left_deg", "righting_area_mm_rad"}) {
    EXPECT_TRUE(pose.at(key).is_null()) << key;
  }
  EXPECT_EQ(pose["overturn_g_mm"], 180.0);
  EXPECT_TRUE(pose["righting"].is_array());
  EXPECT_TRUE(pose["righting"].empty());
}

TEST(Json, SensitivityTellsPartsWoodAndHooks) {
  FloatResult result = floating();
  result.sensitivity->parts.push_back({.name = "finish",
                                       .kind = rig::PartKind::finish,
                                       .per_g = slope(0, -1),
                                       .per_mm = std::nullopt});
  const Json json = Json::parse(to_json(result))["sensitivity"];
  EXPECT_EQ(json["parts"][0]["per_g"]["tail_down_deg"], -0.33);
  EXPECT_EQ(json["parts"][0]["per_mm"]["z"]["tail_down_deg"], 0.125);
  EXPECT_TRUE(json["parts"][1].at("per_mm").is_null());
  EXPECT_EQ(json["wood_density_per_percent"]["reserve_g"], -0.2);
  EXPECT_EQ(json["wood_per_g"]["reserve_g"], -1.0);
  EXPECT_EQ(json["hooks"][0]["change"], "lost");
  EXPECT_EQ(json["hooks"][0]["rolls"], true);
  EXPECT_EQ(json["hooks"][1]["change"], "size up");
  EXPECT_EQ(json["hooks"][1]["assumed"], true);
  result.sensitivity.reset();
  EXPECT_TRUE(Json::parse(to_json(result)).at("sensitivity").is_null());
}

TEST(Json, TolerancesAreNullUnlessDrawn) {
  FloatResult result = floating();
  EXPECT_TRUE(Json::parse(to_json(result)).at("tolerances").is_null());
  result.draws = drawn(0.96);
  const Json json = Json::parse(to_json(result))["tolerances"];
  EXPECT_EQ(json["builds"], 1000);
  EXPECT_EQ(json["seed"], 1);
  EXPECT_EQ(json["one_standard_deviation"]["wood_density_percent"], 3.0);
  EXPECT_EQ(json["share_as_nominal"], 0.96);
  EXPECT_EQ(keys(json["tail_down_deg"]), (std::vector<std::string>{"mean", "sd", "p5", "p95"}));
  EXPECT_TRUE(json.at("list_deg").is_null());
}

TEST(Json, AFloatersSinkAndLineAreNull) {
  const Json json = Json::parse(to_json(floating()));
  EXPECT_TRUE(json.at("sink").is_null());
  EXPECT_TRUE(json.at("tight_line").is_null());
  EXPECT_EQ(json["to_hover"]["add"], true);
  EXPECT_EQ(json["to_hover"]["metals"][1]["metal"], "bismuth");
  EXPECT_EQ(json["casting"]["leads"], "nose");
  EXPECT_EQ(json["tank"]["temperature_c"], 20.0);
  EXPECT_EQ(json["tank"]["poses"], 1);
}

TEST(Json, ASinkerTellsItsFallAndItsLine) {
  const Json json = Json::parse(to_json(sinking()));
  EXPECT_EQ(json["sink"]["rate_m_s"], Json({0.34, 0.615}));
  EXPECT_EQ(json["sink"]["tail_down_deg"], Json({10.2, 39.7}));
  EXPECT_EQ(json["tight_line"]["eye"], "nose eye");
  EXPECT_EQ(json["tight_line"]["holds_down"], false);
  EXPECT_EQ(json["to_hover"]["add"], false);
  EXPECT_EQ(json["to_hover"]["net_g"], 4.1);
}

TEST(Json, ATankOfGivenDensityHasNoSalinity) {
  FloatResult result = floating();
  result.tank.water.density_given = true;
  const Json json = Json::parse(to_json(result));
  EXPECT_TRUE(json["tank"].at("salinity").is_null());
  EXPECT_TRUE(json["tank"].at("temperature_c").is_null());
}

TEST(Json, ABaselineBringsItsAngleAndNothingElseDoes) {
  FloatResult result = floating();
  EXPECT_FALSE(Json::parse(to_json(result))["poses"][0].contains("tail_down_baseline_deg"));
  result.tail_down_baseline_deg = {6.25};
  EXPECT_EQ(Json::parse(to_json(result))["poses"][0]["tail_down_baseline_deg"], 6.25);
}

}  // namespace
}  // namespace trueblank::report
