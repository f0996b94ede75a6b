// SPDX-License-Identifier: GPL-3.0-or-later
// A wrap takes seconds.
#include <gmock/gmock.h>

#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using geometry::Vec3;
using ::testing::HasSubstr;

class Wrapping : public Tool {};

// A scan torn along a slit and at the belly, with every seventh facet inside out.
TEST_F(Wrapping, PutsANewSkinOnABrokenScan) {
  constexpr double ellipsoid_mm3 = 4 * std::numbers::pi / 3 * 60 * 9 * 12;
  geometry::TriangleMesh torn =
      test_bodies::without(test_bodies::ellipsoid(60, 9, 12, 96, 64), [](const Vec3& p) {
        return (std::abs(p.x() - 20) < 0.8 && p.z() > 3) || (p - Vec3(-10, 0, -12)).norm() < 5;
      });
  for (int f = 0; f < torn.facet_count(); f += 7) {
    std::swap(torn.facets(0, f), torn.facets(1, f));
  }
  write_stl("torn.stl", torn);
  const Json json = json_of({"weigh", "torn.stl", "--units", "mm", "--mend", "wrap"});
  EXPECT_THAT(json["mended"].dump(), HasSubstr("\"wrapped\""));
  EXPECT_NEAR(json["volume_mm3"].get<double>(), ellipsoid_mm3,
              json["volume_bound_mm3"].get<double>());
  EXPECT_LT(json["volume_bound_mm3"].get<double>(), 0.05 * ellipsoid_mm3);
  EXPECT_GT(json["made_up"]["share"].get<double>(), 0.01);
  const Json check =
      json_of({"check", "torn.stl", "--units", "mm", "--mend", "wrap", "--aligned", "whole.stl"});
  EXPECT_NEAR(check["size_mm"]["length"].get<double>(), 120, 0.3);
  // What was written is sound: read again, nothing is to be mended.
  const Json again = json_of({"check", "whole.stl", "--units", "mm"});
  EXPECT_TRUE(again["closed"].get<bool>());
  EXPECT_TRUE(again["oriented"].get<bool>());
  EXPECT_EQ(again["made_up"]["share"].get<double>(), 0);
}

}  // namespace
}  // namespace trueblank::test_tool
