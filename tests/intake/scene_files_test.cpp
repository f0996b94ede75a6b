// SPDX-License-Identifier: GPL-3.0-or-later
// OFF, glTF and GLB, which say more than vertices and facets. Volumes are those of the corner
// tetrahedron, 1/6 of the cubed edge.
#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>

#include "geometry/moments.h"
#include "intake/mesh_bytes.h"
#include "intake/write_glb.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using ::testing::HasSubstr;

double volume(const FileMesh& file) {
  return geometry::signed_volume_mm3(mesh_of(file), geometry::Vec3::Zero());
}

const std::string tetrahedron_off =
    "OFF\n4 4 6\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n3 0 2 1\n3 0 1 3\n"
    "3 0 3 2\n3 1 2 3\n";

TEST(Off, IsReadWithCommentsAndBlankLines) {
  const FileMesh file =
      parse_mesh(replaced(replaced(tetrahedron_off, "4 4 6\n", "# counts\n\n4 4 6 # edges\n"),
                          "OFF\n", "OFF # a corner\n"),
                 "a.off");
  EXPECT_EQ(format_name(file.format), "OFF");
  EXPECT_NEAR(volume(file), 1.0 / 6, 1e-15);
  EXPECT_FALSE(file.mm_per_unit.has_value());
}

TEST(Off, CountsMayStandBesideTheWord) {
  EXPECT_NEAR(volume(parse_mesh(replaced(tetrahedron_off, "OFF\n", "OFF "), "a.off")), 1.0 / 6,
              1e-15);
}

TEST(Off, FacetsMayHaveColoursAndManyCorners) {
  const FileMesh file = parse_mesh(
      "OFF\n8 6 0\n0 0 0\n1 0 0\n1 1 0\n0 1 0\n0 0 1\n1 0 1\n1 1 1\n0 1 1\n4 3 2 1 0 255 0 0\n"
      "4 4 5 6 7\n4 0 1 5 4 0.5 0.5 0.5\n4 1 2 6 5\n4 2 3 7 6\n4 3 0 4 7\n",
      "cube.off");
  EXPECT_EQ(file.facets.cols(), 12);
  EXPECT_NEAR(volume(file), 1, 1e-15);
}

TEST(Off, ColoursOfVerticesAreKept) {
  const FileMesh file = parse_mesh(
      "COFF\n4 4 0\n0 0 0 255 0 0 255\n1 0 0 0 255 0 255\n0 1 0 0 0 255 255\n0 0 1 9 9 9 255\n"
      "3 0 2 1\n3 0 1 3\n3 0 3 2\n3 1 2 3\n",
      "a.off");
  ASSERT_EQ(file.colours.size(), 4U);
  EXPECT_EQ(file.colours[1], (std::array<std::uint8_t, 3>{0, 255, 0}));
}

TEST(Off, WhatIsWrongIsSaidWithItsLine) {
  EXPECT_THAT(refusal(replaced(tetrahedron_off, "3 1 2 3", "3 1 2 4"), "a.off"),
              HasSubstr("a.off:10: "));
  EXPECT_THAT(refusal(replaced(tetrahedron_off, "0 0 1\n", "0 0 x\n"), "a.off"),
              HasSubstr("a.off:6: "));
  EXPECT_THAT(refusal(replaced(tetrahedron_off, "0 0 1\n", "0 0\n"), "a.off"),
              HasSubstr("a.off:6"));
  EXPECT_THAT(refusal("OFF\n4000000000 4 0\n0 0 0\n", "a.off"), HasSubstr("vertices"));
  EXPECT_THAT(refusal("OFF\n400000 4000 0\n0 0 0\n", "a.off"), HasSubstr("need at least"));
  EXPECT_THAT(refusal("OFF BINARY\n", "a.off"), HasSubstr("binary"));
  EXPECT_THAT(refusal("4OFF\n1 1 1\n", "a.off"), HasSubstr("three coordinates"));
  EXPECT_THAT(refusal(tetrahedron_off.substr(0, tetrahedron_off.size() - 9), "a.off"),
              HasSubstr("ends before facet 4 of 4"));
}

// The tetrahedron's numbers as a buffer: four places of floats, four facets of 16-bit indices.
std::string buffer() {
  std::string bytes;
  for (const float place : {0.F, 0.F, 0.F, 1.F, 0.F, 0.F, 0.F, 1.F, 0.F, 0.F, 0.F, 1.F}) {
    append_raw(bytes, place);
  }
  for (const int index : {0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3}) {
    append_raw(bytes, static_cast<std::uint16_t>(index));
  }
  return bytes;
}

std::string base64_of(const std::string& bytes) {
  const char* const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    unsigned three = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      three = three << 8 | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    }
    for (std::size_t k = 0; k < 4; ++k) {
      out += i + k > bytes.size() ? '=' : letters[three >> (18 - 6 * k) & 63];
    }
  }
  return out;
}

std::string gltf(const std::string& nodes = R"([{"mesh": 0}])", const std::string& uri = "") {
  const std::string bytes = buffer();
  return R"({"asset": {"version": "2.0"}, "scene": 0, "scenes": [{"nodes": [0]}], "nodes": )" +
         nodes + R"(,
 "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1, "material": 3}]}],
 "accessors": [{"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"},
  {"bufferView": 1, "componentType": 5123, "count": 12, "type": "SCALAR"}],
 "bufferViews": [{"buffer": 0, "byteLength": 48}, {"buffer": 0, "byteOffset": 48, "byteLength": 24}],
 "buffers": [{"byteLength": 72, "uri": ")" +
         (uri.empty() ? "data:application/octet-stream;base64," + base64_of(bytes) : uri) +
         R"("}]})";
}

TEST(Gltf, IsInMetresAndLeavesMaterialsAside) {
  const FileMesh file = parse_mesh(gltf(), "a.gltf");
  EXPECT_EQ(format_name(file.format), "glTF");
  EXPECT_NEAR(volume(file), 1.0 / 6, 1e-15);
  EXPECT_EQ(file.mm_per_unit, 1000);
  EXPECT_TRUE(file.warnings.empty());
}

// scale 2, a mirror image, and a quarter turn about z that takes x to y.
TEST(Gltf, NodesMoveTurnAndMirrorWhatIsBelowThem) {
  const FileMesh file = parse_mesh(gltf(R"([{"children": [1], "scale": [2, 2, -2]},
 {"mesh": 0, "rotation": [0, 0, 0.7071067811865476, 0.7071067811865476],
  "translation": [5, 0, 0]}])"),
                                   "a.gltf");
  EXPECT_NEAR(volume(file), 8.0 / 6, 1e-12);
  EXPECT_NEAR(file.positions.row(0).maxCoeff(), 10, 1e-12);
  EXPECT_NEAR(file.positions.row(1).maxCoeff(), 2, 1e-12);
  EXPECT_NEAR(file.positions.row(2).minCoeff(), -2, 1e-12);
  const FileMesh by_matrix = parse_mesh(
      gltf(R"([{"mesh": 0, "matrix": [2,0,0,0, 0,2,0,0, 0,0,2,0, 3,4,5,1]}])"), "a.gltf");
  EXPECT_EQ(by_matrix.positions.col(0), geometry::Vec3(3, 4, 5));
}

TEST(Gltf, BuffersMayStandBesideTheFileAndNowhereElse) {
  const std::filesystem::path folder =
      std::filesystem::temp_directory_path() / "trueblank-gltf-test";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "a b.bin", std::ios::binary) << buffer();
  const std::string name = (folder / "a.gltf").string();
  EXPECT_NEAR(volume(parse_mesh(gltf(R"([{"mesh": 0}])", "a%20b.bin"), name)), 1.0 / 6, 1e-15);
  for (const char* const elsewhere : {"/etc/hostname", "../a.bin", "http://x.invalid/a.bin",
                                      "a/../../b.bin", "file:a.bin", "a%zz"}) {
    EXPECT_THAT(refusal(gltf(R"([{"mesh": 0}])", elsewhere), name), HasSubstr("lie elsewhere"))
        << elsewhere;
  }
  EXPECT_THAT(refusal(gltf(R"([{"mesh": 0}])", "gone.bin"), name), HasSubstr("gone.bin"));
  EXPECT_THAT(refusal(gltf(R"([{"mesh": 0}])", "a.bin"), "-"), HasSubstr("lie elsewhere"));
  std::filesystem::remove_all(folder);
}

TEST(Gltf, WhatIsBrokenIsSaid) {
  const std::string whole = gltf();
  const auto broken = [&](const std::string& part, const std::string& by) {
    return refusal(replaced(whole, part, by), "a.gltf");
  };
  EXPECT_THAT(broken("\"count\": 4", "\"count\": 5"), HasSubstr("reaches beyond"));
  EXPECT_THAT(broken("\"count\": 4", "\"count\": 4000000000"), HasSubstr("reaches beyond"));
  EXPECT_THAT(broken("\"byteLength\": 48", "\"byteLength\": 4800"), HasSubstr("reach beyond"));
  EXPECT_THAT(broken("\"byteOffset\": 48", "\"byteOffset\": 18446744073709551615"),
              HasSubstr("reach beyond"));
  EXPECT_THAT(broken("\"count\": 12", "\"count\": -1"), HasSubstr("no count"));
  EXPECT_THAT(broken("\"componentType\": 5123", "\"componentType\": 5126"), HasSubstr("kind"));
  EXPECT_THAT(broken("\"mesh\": 0", "\"mesh\": 7"), HasSubstr("does not have"));
  EXPECT_THAT(broken("{\"mesh\": 0}", "{\"children\": [0]}"), HasSubstr("circle"));
  EXPECT_THAT(broken("\"POSITION\": 0", "\"POSITION\": 9"), HasSubstr("accessor 9"));
  EXPECT_THAT(broken("\"indices\": 1", "\"indices\": \"x\""), HasSubstr("indices"));
  EXPECT_THAT(broken("base64,", "base64,!"), HasSubstr("base64"));
  EXPECT_THAT(broken("\"scene\": 0",
                     "\"extensionsRequired\": [\"KHR_draco_mesh_compression\"], \"scene\": 0"),
              HasSubstr("without compression"));
  EXPECT_THAT(refusal("{\"asset\": ", "a.gltf"), HasSubstr("JSON"));
  EXPECT_THAT(refusal("{}", "a.json"), HasSubstr("a.json"));
}

TEST(Gltf, ASmallFileCanNotAskForMuch) {
  std::string nodes = "[";
  for (int i = 0; i < 2000; ++i) nodes += std::string(i > 0 ? "," : "") + R"({"mesh": 0})";
  std::string list = "0";
  for (int i = 1; i < 2000; ++i) list += "," + std::to_string(i);
  // 2000 times a tetrahedron is what such a file may hold; a thousand parts in each is not.
  const std::string plain =
      replaced(gltf(nodes + "]"), "\"nodes\": [0]", "\"nodes\": [" + list + "]");
  EXPECT_EQ(parse_mesh(plain, "a.gltf").facets.cols(), 8000);
  std::string parts = R"({"attributes": {"POSITION": 0}, "indices": 1})";
  for (int i = 1; i < 1000; ++i) parts += R"(,{"attributes": {"POSITION": 0}, "indices": 1})";
  EXPECT_THAT(
      refusal(replaced(plain, R"([{"attributes": {"POSITION": 0}, "indices": 1, "material": 3}])",
                       "[" + parts + "]"),
              "a.gltf"),
      HasSubstr("more often"));
}

TEST(Glb, WhatIsWrittenIsReadBackWithItsColours) {
  const geometry::TriangleMesh body = test_bodies::ellipsoid(80, 10, 12, 30, 20);
  std::vector<Colour> colours(static_cast<std::size_t>(body.vertex_count()), Colour{200, 100, 50});
  const FileMesh file = parse_mesh(glb_bytes(body, {.colours = colours}), "a.glb");
  EXPECT_EQ(format_name(file.format), "GLB");
  EXPECT_EQ(file.facets.cols(), body.facet_count());
  // Floats in metres: 7 digits of 160 mm.
  EXPECT_NEAR(geometry::signed_volume_mm3(file.in_mm(1000), geometry::Vec3::Zero()),
              geometry::signed_volume_mm3(body, geometry::Vec3::Zero()), 0.05);
  ASSERT_FALSE(file.colours.empty());
  for (int k = 0; k < 3; ++k) {
    EXPECT_NEAR(file.colours[5][static_cast<std::size_t>(k)],
                colours[5][static_cast<std::size_t>(k)], 1);
  }
}

TEST(Glb, IsRefusedAtEveryCut) {
  const std::string whole = glb_bytes(test_bodies::ellipsoid(80, 10, 12, 8, 6));
  for (std::size_t bytes = 1; bytes < whole.size(); bytes += 7) {
    EXPECT_NE(refusal(whole.substr(0, bytes), "a.glb"), "") << bytes;
  }
}

}  // namespace
}  // namespace trueblank::intake
