// SPDX-License-Identifier: GPL-3.0-or-later
// What a page that solves by itself holds: the lure and its sheet, and what its policy lets run.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>
#include <string>

#include "report/page.h"
#include "report/page_parts.h"
#include "support/bodies.h"

namespace trueblank::report {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;
using ::testing::Not;

const std::string wicked = "x</script><script>alert(1)</script><!--";

Page live_page(LiveScene live) {
  return {
      .verb = "float",
      .title = "x",
      .json = "{}\n",
      .skin = PageSkin{.mesh = test_bodies::box(120, 30, 20), .in_body_frame = true, .exact = true},
      .rig = live.rig,
      .live = live};
}

bool has_element(const std::string& html, const std::string& id) {
  return html.find("id=\"" + id + "\"") != std::string::npos;
}

// The text of a script element.
std::string element(const std::string& html, const std::string& id) {
  const std::size_t name = html.find("id=\"" + id + "\"");
  if (name == std::string::npos) return {};
  const std::size_t from = html.find('>', name) + 1;
  return html.substr(from, html.find("</script>", from) - from);
}

json live_of(const LiveScene& live) {
  return json::parse(element(page_html(live_page(live)), "scene")).at("live");
}

std::string policy_of(const std::string& html) {
  const std::size_t from = html.find("content=\"default-src") + 9;
  return html.substr(from, html.find('"', from) - from);
}

class LivePage : public ::testing::Test {
 protected:
  void SetUp() override {
    if (!pages_can_be_written()) GTEST_SKIP() << "a build without the page";
  }
};

TEST_F(LivePage, OnlyOneThatSolvesLetsAnythingRunBesideItsScript) {
  const std::string still = "default-src 'none'; script-src " + std::string(page_script_hash()) +
                            "; style-src " + std::string(page_style_hash()) +
                            "; img-src data:; base-uri 'none'; form-action 'none'";
  Page page = live_page({});
  const std::string live = page_html(page);
  page.live.reset();
  const std::string other = page_html(page);
  EXPECT_EQ(policy_of(other), still);
  EXPECT_FALSE(has_element(other, "water-module"));
  if (page_module().empty()) {
    EXPECT_EQ(policy_of(live), still);
    EXPECT_FALSE(has_element(live, "water-module"));
    return;
  }
  EXPECT_EQ(policy_of(live), "default-src 'none'; script-src " + std::string(page_script_hash()) +
                                 " 'wasm-unsafe-eval'; worker-src blob:; style-src " +
                                 std::string(page_style_hash()) +
                                 "; img-src data:; base-uri 'none'; form-action 'none'");
  EXPECT_EQ(element(live, "water-module"), page_module());
  EXPECT_EQ(element(live, "water-worker"), page_worker());
  for (const std::string& script : {page_script(), page_worker()}) {
    EXPECT_THAT(script, Not(AnyOf(HasSubstr("</script"), HasSubstr("<!--"))));
  }
}

TEST_F(LivePage, HoldsTheSheetByteForByteAndNothingThatEndsIt) {
  LiveScene live;
  live.sheet_file = "a&b.toml";
  live.sheet = {{.text = "\xEF\xBB\xBF# " + wicked + "\r\n"},
                {.text = "[[hook]]\nname = \"" + wicked + "\"\n", .table = "hook", .index = 0}};
  live.rig.hooks.push_back({.name = wicked, .mass_g = 1, .density_g_cm3 = 7.8});
  const std::string html = page_html(live_page(live));
  EXPECT_THAT(html, Not(HasSubstr(wicked)));
  const json scene = json::parse(element(html, "scene")).at("live");
  std::string sheet;
  for (const json& piece : scene.at("sheet")) sheet += piece.at("text").get<std::string>();
  EXPECT_EQ(sheet, live.sheet[0].text + live.sheet[1].text);
  EXPECT_FALSE(scene.at("sheet").at(0).contains("table"));
  EXPECT_EQ(scene.at("sheet").at(1).at("table"), "hook");
  EXPECT_EQ(scene.at("sheet").at(1).at("index"), 0);
  EXPECT_EQ(scene.at("hooks").at(0).at("name"), wicked);
  EXPECT_EQ(scene.at("file"), "a&b.toml");
}

// To the last bit: the page's solver starts from them.
TEST_F(LivePage, HoldsEveryPartOfTheRig) {
  const double third = 1.0 / 3;
  LiveScene live;
  rig::Rig& rig = live.rig;
  rig.wood_density_g_cm3 = third;
  rig.wood_weighed = true;
  live.wood_weighed_g = 31.4;
  live.wood_name = "balsa";
  rig.finish = rig::Finish{.thickness_mm = 0.3, .density_g_cm3 = 1.1};
  rig.water = rig::water_at(rig::sea_salinity, 15);
  rig.wires = {
      {.density_g_cm3 = 7.9, .diameter_mm = 1.6, .path_mm = {{-8, 0, third}, {165, 0, 1}}}};
  rig.ballasts = {{.name = "a",
                   .at_mm = {90, 0, -third},
                   .mass_g = 4,
                   .density_g_cm3 = 11.34,
                   .diameter_mm = 8,
                   .axis = rig::HoleAxis::across}};
  rig.pockets = {{.name = "p",
                  .at_mm = {20, 0, 0},
                  .diameter_mm = 8,
                  .depth_mm = 20,
                  .filling_density_g_cm3 = 1,
                  .filled_with_water = true},
                 {.name = "q", .axis = rig::HoleAxis::along, .filling_density_g_cm3 = 0.1}};
  rig.hooks = {{.name = "h"},
               {.name = "i",
                .eye_mm = {147, 0, 1},
                .mass_g = 5.5,
                .density_g_cm3 = 7.77,
                .hang_mm = 15,
                .size_up_g = 7}};
  rig.outsides = {{.name = "lip", .at_mm = {1, 2, 3}, .mass_g = 2, .density_g_cm3 = 1.2}};
  live.hook_choices = {{.hook = 1, .masses_g = {4, 5.5}, .eye_x_mm = rig::Range{140, 150}}};
  live.baseline = rig::Baseline{.nose_mm = {-8, 0, 0}, .tail_mm = {173, 0, 1}};
  live.line_hook = "i";
  live.air_in_cavity = true;
  const json scene = live_of(live);
  EXPECT_EQ(scene.at("wood"), json({{"kind", "weighed"},
                                    {"name", "balsa"},
                                    {"density_g_cm3", third},
                                    {"weighed_g", 31.4},
                                    {"left_g", nullptr},
                                    {"right_g", nullptr},
                                    {"balance_mm", nullptr}}));
  EXPECT_EQ(scene.at("finish"),
            json({{"thickness_mm", 0.3}, {"density_g_cm3", 1.1}, {"weighed_g", nullptr}}));
  EXPECT_EQ(scene.at("water"), json({{"kind", "sea"},
                                     {"salinity", 35},
                                     {"temperature_c", 15},
                                     {"density_g_cm3", rig.water.density_g_cm3}}));
  EXPECT_EQ(scene.at("baseline"), json({{"nose_mm", {-8, 0, 0}}, {"tail_mm", {173, 0, 1}}}));
  EXPECT_EQ(scene.at("wires").at(0).at("path_mm"), json({{-8, 0, third}, {165, 0, 1}}));
  const json& ballast = scene.at("ballasts").at(0);
  EXPECT_EQ(ballast.at("at_mm"), json({90, 0, -third}));
  EXPECT_EQ(ballast.at("metal"), "lead");
  EXPECT_EQ(ballast.at("axis"), "across");
  EXPECT_EQ(scene.at("pockets").at(0).at("filled"), "water");
  EXPECT_EQ(scene.at("pockets").at(0).at("filling_density_g_cm3"), nullptr);
  EXPECT_EQ(scene.at("pockets").at(1).at("filled"), "density");
  EXPECT_EQ(scene.at("pockets").at(1).at("filling_density_g_cm3"), 0.1);
  EXPECT_EQ(scene.at("hooks").at(0).at("sizes_g"), json::array());
  EXPECT_EQ(scene.at("hooks").at(0).at("eye_x_mm"), nullptr);
  const json& hook = scene.at("hooks").at(1);
  EXPECT_EQ(hook.at("metal"), nullptr);
  EXPECT_EQ(hook.at("sizes_g"), json({4, 5.5}));
  EXPECT_EQ(hook.at("eye_x_mm"), json({140, 150}));
  EXPECT_EQ(hook.at("size_up_g"), 7);
  EXPECT_EQ(scene.at("outsides").at(0).at("mass_g"), 2);
  EXPECT_EQ(scene.at("line_hook"), "i");
  EXPECT_EQ(scene.at("air"), true);
  EXPECT_GT(scene.at("woods").size(), 5U);
  EXPECT_GT(scene.at("materials").size(), 5U);
}

TEST_F(LivePage, CallsWoodAndWaterAsTheSheetDoes) {
  LiveScene live;
  live.rig.wood_density_g_cm3 = 0.4;
  EXPECT_EQ(live_of(live).at("wood").at("kind"), "density");
  live.wood_name = "balsa";
  EXPECT_EQ(live_of(live).at("wood").at("kind"), "species");
  live.rig.halves = rig::Halves{.left_g = 15, .right_g = 16};
  EXPECT_EQ(live_of(live).at("wood").at("kind"), "halves");
  live.rig.water = rig::water_at(0, 12);
  EXPECT_EQ(live_of(live).at("water").at("kind"), "fresh");
  live.rig.water = rig::water_at(7, 12);
  EXPECT_EQ(live_of(live).at("water").at("kind"), "salinity");
  live.rig.water.density_given = true;
  EXPECT_EQ(live_of(live).at("water").at("kind"), "density");
  EXPECT_EQ(live_of(live).at("finish"), nullptr);
  EXPECT_EQ(live_of(live).at("baseline"), nullptr);
}

}  // namespace
}  // namespace trueblank::report
