// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numbers>
#include <utility>

#include "body/print_bodies.h"
#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;

class Print : public Tool {
 protected:
  // Hollow, walls of 2 mm, 100 × 20 × 12 mm; nose to −x and back to +z are said.
  void write_hollow_box() {
    write_ply("box.ply", test_bodies::joined(test_bodies::box(100, 20, 12),
                                             test_bodies::inside_out(test_bodies::box(96, 16, 8))));
  }

  [[nodiscard]] std::vector<std::string> asked(const std::string& file,
                                               const std::vector<std::string>& more = {}) const {
    std::vector<std::string> words = {"check",  file, "--print", "--units", "mm",
                                      "--nose", "-x", "--back",  "+z"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  }

  [[nodiscard]] Json print_of(const std::string& file, const std::vector<std::string>& more = {}) {
    return json_of(asked(file, more)).at("print");
  }
};

TEST_F(Print, AHollowBoxIsSoundTrueAndWaterTight) {
  write_hollow_box();
  const Json print = print_of("box.ply");
  EXPECT_EQ(print.at("sound"), true);
  EXPECT_EQ(print.at("feature_mm"), 0.4);
  EXPECT_EQ(print.at("feature_from"), "assumed");
  EXPECT_EQ(print.at("weak_mm"), 0.8);
  EXPECT_NEAR(print.at("walls").at("median_mm").get<double>(), 2, 1e-9);
  EXPECT_TRUE(print.at("walls").at("least_mm").is_null());
  EXPECT_EQ(print.at("mirror").at("is"), "exact");
  EXPECT_NEAR(print.at("material_mm3").get<double>(), 100 * 20 * 12 - 96 * 16 * 8, 1e-6);
  ASSERT_EQ(print.at("rooms").size(), 1U);
  EXPECT_EQ(print.at("rooms")[0].at("water_tight"), true);
  EXPECT_NEAR(print.at("rooms")[0].at("volume_mm3").get<double>(), 96 * 16 * 8, 1e-6);
  EXPECT_TRUE(print.at("bed_mm").is_null());
}

// A file of single precision is off by some millionths of a millimetre.
TEST_F(Print, SinglePrecisionIsNoAsymmetry) {
  write_stl("pencil.stl", test_bodies::pencil(20000));
  const Json mirror = print_of("pencil.stl").at("mirror");
  EXPECT_EQ(mirror.at("is"), "exact");
  EXPECT_LT(mirror.at("greatest_mm").get<double>(), 1e-4);
}

TEST_F(Print, AWallUnderTheLimitIsNamedAndGivesOne) {
  write_hollow_box();
  const Ran ran = run(asked("box.ply", {"--min-wall", "2.5"}));
  EXPECT_EQ(ran.exit, 1);
  EXPECT_THAT(ran.out, HasSubstr("1 wall under 2.50 mm, the thinnest 2.00 mm"));
  EXPECT_EQ(run(asked("box.ply", {"--min-wall", "2"})).exit, 0);
  // A nozzle is no limit that was set: what it can't lay is told, and no more.
  const Ran coarse = run(asked("box.ply", {"--nozzle", "2.5"}));
  EXPECT_EQ(coarse.exit, 0);
  EXPECT_THAT(coarse.out, HasSubstr("1 wall under 5.00 mm, the thinnest 2.00 mm"));
}

TEST_F(Print, AVoxelIsAFeatureToo) {
  write_hollow_box();
  const Json print = print_of("box.ply", {"--voxel", "0.05"});
  EXPECT_EQ(print.at("feature_from"), "voxel");
  EXPECT_EQ(print.at("weak_mm"), 0.1);
}

TEST_F(Print, ABedThatIsTooSmallGivesOne) {
  write_hollow_box();
  const Ran small = run(asked("box.ply", {"--bed", "60,60,60"}));
  EXPECT_EQ(small.exit, 1);
  EXPECT_THAT(small.out, HasSubstr("It does not fit the bed"));
  const Ran great = run(asked("box.ply", {"--bed", "120,120,120"}));
  EXPECT_EQ(great.exit, 0);
  EXPECT_THAT(great.out, HasSubstr("It fits the bed"));
}

TEST_F(Print, AHoleLetsTheWaterIn) {
  geometry::TriangleMesh mesh = print_bodies::hollow_ball(15, 1.5, 32, 64);
  mesh.positions_mm.row(0) *= 2;
  write_ply("vented.ply", mesh);
  const Ran ran = run(asked("vented.ply", {"--json", "vented.json"}));
  EXPECT_EQ(ran.exit, 0);
  EXPECT_THAT(ran.out, HasSubstr("fills with water"));
  const Json json = Json::parse(read("vented.json"));
  expect_valid("check", json);
  const Json& room = json.at("print").at("rooms").at(0);
  EXPECT_EQ(room.at("water_tight"), false);
  EXPECT_NEAR(room.at("opening").at("width_mm").get<double>(), 3, 0.1);
  EXPECT_NEAR(room.at("volume_mm3").get<double>(), 2 * 4.0 / 3 * std::numbers::pi * 13 * 13 * 13,
              room.at("bound_mm3").get<double>());
}

TEST_F(Print, WhatHadToBeMendedIsNamed) {
  bool dropped = false;
  const auto the_first = [&](const geometry::Vec3& at) {
    return at.x() > 60 && !std::exchange(dropped, true);
  };
  const geometry::TriangleMesh mesh = test_bodies::without(test_bodies::pencil(4000), the_first);
  write_ply("holed.ply", mesh);
  const Json print = print_of("holed.ply");
  EXPECT_EQ(print.at("sound"), false);
  EXPECT_EQ(print.at("unsound")[0], "it is open, in 1 loop");
  EXPECT_THAT(print.at("unsound")[1].get<std::string>(), HasSubstr("holes filled (1)"));
  const Json open = json_of({"check", "holed.ply", "--print", "--mend", "none"});
  EXPECT_TRUE(open.at("print").is_null());
  EXPECT_EQ(json_of({"check", "holed.ply"}).count("print"), 0U);
  // What comes by standard input comes once.
  const Ran piped = run({"check", "-", "--print", "--mend", "none"}, read("holed.ply"));
  EXPECT_EQ(piped.exit, 0) << piped.err;
  EXPECT_THAT(piped.out, ::testing::StartsWith("Open: "));
  write_ply("whole.ply", test_bodies::pencil(4000));
  const Ran whole = run({"check", "-", "--print", "--mend", "none"}, read("whole.ply"));
  EXPECT_EQ(whole.exit, 0) << whole.err;
}

TEST_F(Print, IsTheSameToTheByteWhateverTheThreads) {
  write_ply("pencil.ply", test_bodies::pencil(4000));
  const Ran one = run(asked("pencil.ply", {"--json", "-", "--threads", "1"}));
  EXPECT_EQ(one.exit, 0);
  EXPECT_FALSE(one.out.empty());
  for (const std::string threads : {"2", "7"}) {
    EXPECT_EQ(run(asked("pencil.ply", {"--json", "-", "--threads", threads})).out, one.out);
  }
}

TEST_F(Print, WhatGoesWithItIsRefusedWithoutIt) {
  write_hollow_box();
  for (const std::string option : {"--nozzle", "--voxel", "--min-wall"}) {
    EXPECT_EQ(refusal({"check", "box.ply", option, "1"}),
              "trueblank: check: " + option + " goes with --print; add --print, or leave " +
                  option + " out");
  }
  EXPECT_THAT(refusal(asked("box.ply", {"--nozzle", "0.4", "--voxel", "0.05"})),
              HasSubstr("each gives the least feature"));
  EXPECT_THAT(refusal(asked("box.ply", {"--nozzle", "0"})), HasSubstr("--nozzle"));
  EXPECT_THAT(refusal(asked("box.ply", {"--bed", "100,0,100"})),
              HasSubstr("is not the size of a bed"));
  EXPECT_THAT(refusal({"weigh", "box.ply", "--print"}), HasSubstr("--print"));
}

}  // namespace
}  // namespace trueblank::test_tool
