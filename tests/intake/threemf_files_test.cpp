// SPDX-License-Identifier: GPL-3.0-or-later
// 3MF, which names its unit and puts a body together from parts. Volumes are those of the corner
// tetrahedron, 1/6 of the cubed edge.
#include <gmock/gmock.h>

#include "geometry/moments.h"
#include "intake/mesh_bytes.h"
#include "intake/threemf_bytes.h"

namespace trueblank::intake {
namespace {

using ::testing::HasSubstr;

double volume(const FileMesh& file) {
  return geometry::signed_volume_mm3(mesh_of(file), geometry::Vec3::Zero());
}

std::string model(const std::string& build = R"(<item objectid="1"/>)",
                  const std::string& unit = "millimeter") {
  return R"(<?xml version="1.0"?><!-- a corner --><model unit=")" + unit + R"(" xmlns="x">
<resources><object id="1" type="model"><mesh><vertices>
<vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/>
<vertex x="0" y="0" z="1.0e0"/></vertices><triangles>
<triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/>
<triangle v1="1" v2="2" v3="3" pid="4"/></triangles></mesh></object>
<object id="2"><components><component objectid="1" transform="2 0 0 0 2 0 0 0 2 7 8 9"/>
<component objectid="1"/></components></object></resources><build>)" +
         build + "</build></model>";
}

TEST(Threemf, IsInTheUnitThatItNames) {
  const FileMesh file = parse_mesh(threemf(model()), "a.3mf");
  EXPECT_EQ(format_name(file.format), "3MF");
  EXPECT_NEAR(volume(file), 1.0 / 6, 1e-15);
  EXPECT_EQ(file.mm_per_unit, 1);
  EXPECT_EQ(parse_mesh(threemf(model(R"(<item objectid="1"/>)", "inch")), "a.3mf").mm_per_unit,
            25.4);
}

TEST(Threemf, ComponentsStandWhereTheirTransformsSay) {
  const FileMesh file = parse_mesh(threemf(model(R"(<item objectid="2"/>)")), "a.3mf");
  EXPECT_NEAR(volume(file), 9.0 / 6, 1e-12);
  EXPECT_EQ(geometry::Vec3(file.positions.rowwise().maxCoeff()), geometry::Vec3(9, 10, 11));
  const FileMesh mirrored = parse_mesh(
      threemf(model(R"(<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>)")), "a.3mf");
  EXPECT_NEAR(volume(mirrored), 1.0 / 6, 1e-12);
}

TEST(Threemf, WhatIsBrokenIsSaid) {
  const auto broken = [](const std::string& part, const std::string& by) {
    return refusal(threemf(replaced(model(), part, by)), "a.3mf");
  };
  EXPECT_THAT(broken("v3=\"1\"", "v3=\"4\""), HasSubstr("4"));
  EXPECT_THAT(broken("v3=\"1\"", "v3=\"-1\""), HasSubstr("-1"));
  EXPECT_THAT(broken("x=\"1\"", "x=\"one\""), HasSubstr("one"));
  EXPECT_THAT(broken("x=\"1\"", "x=\"1e999\""), HasSubstr("1e999"));
  EXPECT_THAT(broken("x=\"1\"", "x=\"nan\""), HasSubstr("vertex"));
  EXPECT_THAT(broken("unit=\"millimeter\"", "unit=\"furlong\""), HasSubstr("unit"));
  EXPECT_THAT(broken("<item objectid=\"1\"", "<item objectid=\"5\""), HasSubstr("object"));
  EXPECT_THAT(broken("</build></model>", "<item "), HasSubstr("within a tag"));
  EXPECT_THAT(broken("<component objectid=\"1\"/>", "<component objectid=\"2\"/>"), "");
  EXPECT_THAT(
      refusal(threemf(replaced(model(R"(<item objectid="2"/>)"), "<component objectid=\"1\"/>",
                               "<component objectid=\"2\"/>")),
              "a.3mf"),
      HasSubstr("more often"));
  std::string flipped = threemf(model());
  flipped[flipped.find("1.0e0")] = '2';
  EXPECT_THAT(refusal(flipped, "a.3mf"), HasSubstr("not what was packed"));
  EXPECT_THAT(refusal(zip({{"readme.model.txt", "x"}}), "a.3mf"), HasSubstr("no model"));
}

TEST(Threemf, IsRefusedAtEveryCut) {
  const std::string whole = threemf(model());
  for (std::size_t bytes = 4; bytes < whole.size(); bytes += 5) {
    EXPECT_NE(refusal(whole.substr(0, bytes), "a.3mf"), "") << bytes;
  }
}

}  // namespace
}  // namespace trueblank::intake
