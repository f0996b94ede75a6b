// SPDX-License-Identifier: GPL-3.0-or-later
// Dunk tests, hollow bodies, sheets as bodies and aligned meshes, from file to JSON.
#include <gmock/gmock.h>

#include <cmath>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;

class KnownBody : public Tool {};

// EOS-80, fresh water of 20 °C: 998.206 kg/m³ (Fofonoff & Millard 1983 at S = 0).
constexpr double bucket = 0.998206;

TEST_F(KnownBody, IsScaledByWhatItDisplaces) {
  write_stl("box.stl", test_bodies::box(6, 1.5, 1));
  const Json json = json_of({"weigh", "box.stl", "--displaced", "71.87083 g"});
  EXPECT_EQ(json["input"]["scale_from"], "displaced");
  EXPECT_NEAR(json["volume_mm3"].get<double>(), 71.87083 / bucket * 1000, 0.1);
  EXPECT_NEAR(json["volume_sd_mm3"].get<double>(), 0.3 / bucket * 1000, 0.01);
  const Json push = json_of({"weigh", "box.stl", "--push", "41.87083", "--mass", "30"});
  EXPECT_EQ(push["input"]["scale_from"], "push");
  EXPECT_NEAR(push["volume_mm3"].get<double>(), json["volume_mm3"].get<double>(), 1e-6);
  EXPECT_THAT(refusal({"weigh", "box.stl", "--push", "41"}), HasSubstr("--mass"));
  EXPECT_THAT(refusal({"weigh", "box.stl", "--length", "120", "--displaced", "90"}),
              HasSubstr("the length makes the body displace 71.9 g"));
}

// A box in a box: 120 cm³ without, 16 cm³ within.
class HollowLure : public Tool {
 protected:
  HollowLure() {
    write_stl("hollow.stl",
              test_bodies::joined(test_bodies::box(100, 40, 30),
                                  test_bodies::inside_out(test_bodies::moved(
                                      test_bodies::box(80, 20, 10), geometry::Mat3::Identity(),
                                      geometry::Vec3::Zero(), 1))));
  }

  Json floating(const std::string& keys, const std::string& more = "") {
    write("lure.toml",
          "[body]\nmesh = \"hollow.stl\"\nunits = \"mm\"\nnose = \"-x\"\nback = \"+z\"\n" + keys +
              "[wood]\ndensity = 0.4\n[water]\ndensity = 1\n" + more);
    return json_of({"float", "lure.toml"});
  }
};

TEST_F(HollowLure, DisplacesWithItsOuterSkinWhereItHoldsAir) {
  const Json json = floating("cavity = \"air\"\n");
  EXPECT_NEAR(json["mass_g"].get<double>(), 0.4 * 104, 1e-4);
  EXPECT_NEAR(json["displacement_full_g"].get<double>(), 120, 1e-4);
  EXPECT_EQ(json["cavity"], "air");
}

TEST_F(HollowLure, DisplacesWithItsStuffAloneWhereItIsFlooded) {
  const Json json = floating("cavity = \"flooded\"\n");
  EXPECT_NEAR(json["mass_g"].get<double>(), 0.4 * 104, 1e-4);
  EXPECT_NEAR(json["displacement_full_g"].get<double>(), 104, 1e-4);
}

TEST_F(HollowLure, SaysThatItIsTakenToHoldAir) {
  const Json json = floating("");
  EXPECT_NEAR(json["displacement_full_g"].get<double>(), 120, 1e-4);
  EXPECT_THAT(json["warnings"].dump(), HasSubstr("taken to hold air"));
}

TEST_F(HollowLure, IsCoatedOutsideOnly) {
  const double k = 2 * 0.3 / std::sqrt(3.0);  // as each face of a box goes out
  const double coat_mm3 = (100 + k) * (40 + k) * (30 + k) - 120000;
  const std::string finish = "[finish]\nthickness = 0.3\ndensity = 1.2\n";
  for (const std::string filling : {"air", "flooded"}) {
    const Json json = floating("cavity = \"" + filling + "\"\n", finish);
    EXPECT_NEAR(json["mass_g"].get<double>(), 0.4 * 104 + 1.2 * coat_mm3 / 1000, 1e-3);
    EXPECT_NEAR(json["displacement_full_g"].get<double>(),
                (filling == "air" ? 120 : 104) + coat_mm3 / 1000, 1e-3);
  }
}

TEST_F(KnownBody, HasItsDoubtCarriedIntoTheReserve) {
  write_stl("box.stl", test_bodies::box(120, 30, 20));
  const std::string head =
      "[body]\nmesh = \"box.stl\"\nlength = 120\nnose = \"-x\"\nback = \"+z\"\n";
  const std::string water = "[water]\ndensity = 1\n";
  write("weighed.toml", head + "[wood]\nweighed = 30\n" + water);
  const Json weighed = json_of({"float", "weighed.toml"});
  // 0.3 mm of 120 mm, three times over in the volume; the weighed mass stays.
  const double sd_g = 3 * 0.3 / 120 * 72;
  EXPECT_NEAR(weighed["displacement_full_uncertainty_g"].get<double>(), sd_g, 1e-4);
  EXPECT_NEAR(weighed["reserve_uncertainty_g"].get<double>(), sd_g, 1e-4);
  write("dense.toml", head + "[wood]\ndensity = 0.4\n" + water);
  const Json dense = json_of({"float", "dense.toml"});
  EXPECT_NEAR(dense["reserve_uncertainty_g"].get<double>(), 0.6 * sd_g, 1e-4);
  EXPECT_THAT(run({"float", "weighed.toml"}).out, HasSubstr("42.0 ± 1.1 g in reserve"));
}

TEST_F(KnownBody, OfASheetIsChecked) {
  write_stl("box.stl", test_bodies::box(60, 15, 10));
  write("lure.toml",
        "[body]\nmesh = \"box.stl\"\nlength = 120\nnose = \"+x\"\nback = \"-z\"\n[wood]\n"
        "density = 0.4\n");
  const Json json = json_of({"check", "lure.toml", "--aligned", "body.obj"});
  EXPECT_EQ(json["input"]["scale_from"], "length");
  EXPECT_NEAR(json["volume_mm3"].get<double>(), 72000, 0.1);
  // Nose and back are turned, so x' = 120 − 2x.
  const Json aligned = json_of({"weigh", "body.obj"});
  EXPECT_NEAR(aligned["volume_mm3"].get<double>(), 72000, 0.1);
  EXPECT_NEAR(aligned["centroid_mm"][0].get<double>(), 60, 1e-3);
  EXPECT_NEAR(aligned["centroid_mm"][1].get<double>(), 0, 1e-3);
  EXPECT_NEAR(aligned["centroid_mm"][2].get<double>(), 0, 1e-3);
  EXPECT_THAT(refusal({"weigh", "lure.toml", "--length", "130"}),
              HasSubstr("weigh: --length is not for a build sheet; the sheet has it inside: "
                        "[body] length"));
}

}  // namespace
}  // namespace trueblank::test_tool
