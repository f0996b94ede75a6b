// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/write_mesh.h"

#include <gmock/gmock.h>

#include "intake/mesh_bytes.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using testing::HasSubstr;

const geometry::TriangleMesh& body() {
  static const geometry::TriangleMesh mesh = test_bodies::moved(
      test_bodies::ellipsoid(60, 9, 12, 20, 24), test_bodies::random_turn(5), {0.1, 200, -3});
  return mesh;
}

TEST(WrittenPly, IsReadBackToTheSameDoubles) {
  const FileMesh back = parse_mesh(ply_bytes(body()), "a.ply");
  EXPECT_EQ(back.positions, body().positions_mm);
  EXPECT_EQ(back.facets, body().facets);
  EXPECT_EQ(back.format, Format::ply_binary);
}

TEST(WrittenPly, WithDeviationsColoursAndACommentIsReadBackToo) {
  const auto vertices = static_cast<std::size_t>(body().vertex_count());
  std::vector<double> deviation(vertices, 0.25);
  std::vector<std::uint8_t> measured(vertices, 1);
  deviation[7] = std::nan("");
  measured[7] = 0;
  std::vector<Colour> colours(vertices, Colour{10, 20, 30});
  colours[3] = {1, 2, 3};
  const std::string bytes = ply_bytes(body(), {.deviation_mm = deviation,
                                               .measured = measured,
                                               .colours = colours,
                                               .comment = "made up\nend_header"});
  EXPECT_THAT(bytes, HasSubstr("\ncomment made up\ncomment end_header\nelement vertex"));
  EXPECT_THAT(bytes, HasSubstr("\nproperty double deviation\nproperty uchar measured\n"));
  const FileMesh back = parse_mesh(bytes, "a.ply");
  EXPECT_EQ(back.positions, body().positions_mm);
  EXPECT_EQ(back.facets, body().facets);
  ASSERT_EQ(back.colours.size(), vertices);
  EXPECT_EQ(back.colours[3], colours[3]);
  // Where nothing was measured, 0 and never NaN: vertex 7's deviation and flag.
  const std::size_t vertex = 3 * 8 + 8 + 1 + 3;
  const char* at = bytes.data() + bytes.find("end_header\n", bytes.find("element")) + 11;
  double written = 1;
  std::memcpy(&written, at + 7 * vertex + 24, 8);
  EXPECT_EQ(written, 0);
  EXPECT_EQ(at[7 * vertex + 32], 0);
  std::memcpy(&written, at + 8 * vertex + 24, 8);
  EXPECT_EQ(written, 0.25);
  EXPECT_EQ(at[8 * vertex + 32], 1);
}

TEST(WrittenObj, IsReadBackToTheSameDoubles) {
  const FileMesh back = parse_mesh(obj_bytes(body()), "a.obj");
  EXPECT_EQ(back.positions, body().positions_mm);
  EXPECT_EQ(back.facets, body().facets);
}

TEST(WrittenStl, IsReadBackToTheNearestFloats) {
  const FileMesh back = parse_mesh(stl_bytes(body()), "a.stl");
  EXPECT_EQ(back.format, Format::stl_binary);
  ASSERT_EQ(back.facets.cols(), body().facets.cols());
  for (int f = 0; f < body().facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      EXPECT_EQ(mesh_of(back).corner(f, k).cast<float>(), body().corner(f, k).cast<float>());
    }
  }
}

}  // namespace
}  // namespace trueblank::intake
