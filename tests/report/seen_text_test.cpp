// SPDX-License-Identifier: GPL-3.0-or-later
// How a built lure that misbehaves is explained. Expected texts are written by hand from the
// made-up figures.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "made_up_results.h"
#include "report/seen_report.h"
#include "support/in_one_line.h"

namespace trueblank::report {
namespace {

using test_text::in_one_line;
using ::testing::HasSubstr;
using ::testing::StartsWith;

SeenResult heavy_wood() {
  SeenResult result{.lies = floating()};
  result.seen.tail_down_deg = 8;
  result.seen.sank_with_g = 12;
  result.explained.changes = {
      {.what = "the wood's density", .unit = "%", .by = 4.25, .sd = 1.5, .sigmas = 1.4},
      {.what = "belly along", .unit = "mm", .by = -0.5, .sd = 0.75, .sigmas = -0.5}};
  result.explained.alone = {
      {.change = {.what = "the body's size", .unit = "%", .by = -1, .sd = 0.25, .sigmas = -2}}};
  result.explained.sigmas = 1.5;
  result.explained.by_sheet = {.reserve_g = 14.3, .tail_down_deg = 5.4, .list_deg = 0};
  result.explained.now = {.reserve_g = 11, .tail_down_deg = 8, .list_deg = 0};
  result.remedies = {{.kind = tuning::Remedy::Kind::new_hole,
                      .grams = 2,
                      .at_mm = {60, 0, -5},
                      .then = {.reserve_g = 9, .tail_down_deg = 5.5, .list_deg = 0},
                      .met = true},
                     {.kind = tuning::Remedy::Kind::wound_lead,
                      .part = "belly treble",
                      .grams = 1,
                      .then = {.reserve_g = 10, .tail_down_deg = 7, .list_deg = 0}}};
  return result;
}

TEST(SeenAnswer, SaysWhatExplainsItAndWhatMendsIt) {
  EXPECT_EQ(answer(heavy_wood(), {}),
            "Seen: tail 8.0° down and sunk by 12.0 g of lead stuck on. By the sheet it would lie "
            "back up, tail 5.4° down; 14.3 g in reserve. The least change that explains it: the "
            "wood's density by +4.25 % (± 1.50) and belly along by -0.50 mm (± 0.75). To mend it: "
            "2.0 g in a new hole, its middle at 60.0 mm, on the middle line; it then lies back up, "
            "tail 5.5° down; 9.0 g in reserve.");
}

TEST(SeenAnswer, WithoutARemedySaysSo) {
  SeenResult result = heavy_wood();
  result.remedies.clear();
  result.explained.changes.clear();
  EXPECT_THAT(answer(result, {}), HasSubstr("Nothing need be changed to explain that. There is "
                                            "nothing to mend that can still be altered."));
  EXPECT_FALSE(result.met());
}

TEST(SeenAnswer, SaysInWhichWaterWhereThatIsNotTheSheets) {
  SeenResult result = heavy_wood();
  result.lies.water = rig::water_at(rig::sea_salinity, 15);
  result.seen.water = rig::water_at(0, 20);
  EXPECT_THAT(answer(result, {}),
              StartsWith("Seen in other water (fresh, 20 °C): tail 8.0° down and sunk by 12.0 g of "
                         "lead stuck on. By the sheet it would there lie back up, tail 5.4° "));
  EXPECT_THAT(answer(result, {}), HasSubstr("on the middle line; it then lies in its own water "
                                            "(sea, 15 °C) back up, tail 5.5° down; 9.0 g"));
  EXPECT_THAT(in_one_line(to_text(result, {})),
              HasSubstr("best first, and how it then lies in its own water:"));
  const nlohmann::json json = nlohmann::json::parse(to_json(result));
  EXPECT_EQ(json["seen"]["water_density_g_cm3"], result.seen.water->density_g_cm3);
}

TEST(SeenText, TellsEachWayAndWarnsOfLead) {
  const std::string text = in_one_line(to_text(heavy_wood(), {}));
  EXPECT_THAT(text,
              HasSubstr("One alone would explain it too: the body's size by -1.00 % (± 0.25)."));
  EXPECT_THAT(text, HasSubstr("1.0 g of lead wound on the belly treble: back up, tail 7.0° down; "
                              "10.0 g in reserve; not quite as wished"));
  EXPECT_THAT(text, HasSubstr("Never pour molten lead"));
}

TEST(SeenText, SandingSaysWhereAndThatItIsForGood) {
  SeenResult result = heavy_wood();
  result.remedies = {{.kind = tuning::Remedy::Kind::sanding,
                      .grams = 0.15,
                      .at_mm = {70, 9, 1},
                      .volume_mm3 = 400}};
  EXPECT_THAT(answer(result, {}),
              HasSubstr("about 0.40 cm³ (0.15 g of wood) sanded off the right flank at 70.0 mm, "
                        "which can't be put back"));
}

TEST(SeenText, FarFromTheSheetTheSheetIsToBeChecked) {
  SeenResult result = heavy_wood();
  result.explained.sigmas = 3.5;
  EXPECT_THAT(in_one_line(to_text(result, {})),
              HasSubstr("That is 3.5 standard deviations from the sheet in all: check the sheet "
                        "itself first"));
}

TEST(SeenJson, HoldsAllOfIt) {
  const nlohmann::json json = nlohmann::json::parse(to_json(heavy_wood()));
  EXPECT_EQ(json["schema"], "trueblank.ballast/1");
  EXPECT_EQ(json["met"], true);
  EXPECT_TRUE(json["weights"].empty());
  EXPECT_EQ(json["seen"]["sank_with_g"], 12);
  EXPECT_TRUE(json["seen"]["list_deg"].is_null());
  EXPECT_EQ(json["seen"]["changes"][0]["by"], 4.25);
  EXPECT_EQ(json["seen"]["remedies"][1]["kind"], "wound_lead");
}

}  // namespace
}  // namespace trueblank::report
