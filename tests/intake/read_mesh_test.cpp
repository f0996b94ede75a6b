// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/read_mesh.h"

#include <gmock/gmock.h>

#include <bit>
#include <cmath>
#include <cstdlib>
#include <random>

#include "geometry/moments.h"
#include "intake/decimal.h"
#include "intake/mesh_bytes.h"

namespace trueblank::intake {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

// Source: the corner tetrahedron's volume is 1/6 (a third of base 1/2 times height 1); to rounding.
void expect_corner_tetrahedron(const FileMesh& file) {
  EXPECT_EQ(file.facets.cols(), 4);
  EXPECT_EQ(file.positions.cols(), 4);
  EXPECT_NEAR(geometry::signed_volume_mm3(mesh_of(file), geometry::Vec3::Zero()), 1.0 / 6, 1e-15);
}

TEST(StlBinary, IsReadAndWelded) {
  const FileMesh file = parse_mesh(stl_binary(corner_tetrahedron()), "a.stl");
  EXPECT_EQ(file.format, Format::stl_binary);
  EXPECT_THAT(file.warnings, IsEmpty());
  expect_corner_tetrahedron(file);
}

TEST(StlBinary, IsToldByItsLengthWhereTheHeaderSaysSolid) {
  const FileMesh file = parse_mesh(stl_binary(corner_tetrahedron(), "solid lure"), "a.stl");
  EXPECT_EQ(file.format, Format::stl_binary);
  expect_corner_tetrahedron(file);
}

TEST(StlBinary, CutShortIsRefusedWithTheFigures) {
  std::string bytes = stl_binary(corner_tetrahedron());
  bytes.resize(200);
  EXPECT_EQ(refusal(bytes, "a.stl"),
            "a.stl: as a binary STL it says 4 facets, which needs 284 bytes; the file has 200; "
            "copy or export the file again");
  bytes = stl_binary(corner_tetrahedron(), "solid lure");
  bytes.resize(283);
  EXPECT_EQ(refusal(bytes, "a.stl"),
            "a.stl: as a binary STL it says 4 facets, which needs 284 bytes; the file has 283; "
            "copy or export the file again");
}

TEST(StlBinary, CountThatLiesIsRefused) {
  EXPECT_EQ(refusal(stl_binary(corner_tetrahedron(), "x", 4294967295), "a.stl"),
            "a.stl: as a binary STL it says 4294967295 facets, which needs 214748364834 bytes; the "
            "file has 284; copy or export the file again");
  EXPECT_EQ(refusal(stl_binary(corner_tetrahedron(), "x", 3), "a.stl"),
            "a.stl: as a binary STL it says 3 facets, but its 284 bytes are those of 4; copy or "
            "export the file again");
}

TEST(StlBinary, BytesAfterTheLastFacetAreLeftOutWithAWarning) {
  const FileMesh file = parse_mesh(stl_binary(corner_tetrahedron()) + "made by hand", "a.stl");
  EXPECT_THAT(file.warnings,
              ElementsAre("12 bytes after the last facet of the STL file left out."));
  expect_corner_tetrahedron(file);
}

TEST(StlBinary, WithoutFacetsIsRefused) {
  EXPECT_EQ(refusal(stl_binary({})),
            "lure.stl: no facets in the file; copy or export the file again");
}

TEST(StlBinary, CoordinateThatIsNotFiniteIsRefusedWithItsFacet) {
  for (const float bad : {std::nanf(""), INFINITY, -INFINITY}) {
    auto facets = corner_tetrahedron();
    facets[2][1][0] = bad;
    EXPECT_EQ(refusal(stl_binary(facets)),
              "lure.stl, facet 3: a coordinate of the vertex is not a finite number (NaN or "
              "infinity); mend the mesh where it was made and export it again");
  }
}

TEST(StlBinary, MinusZeroIsWeldedToZero) {
  auto facets = corner_tetrahedron();
  facets[1][0] = {-0.0F, 0.0F, -0.0F};
  EXPECT_EQ(parse_mesh(stl_binary(facets), "a.stl").positions.cols(), 4);
}

TEST(StlBinary, KeepsEveryBitOfAFloat) {
  auto facets = corner_tetrahedron();
  facets[3][0] = {0.1F, 1e-38F, 3e38F};
  const FileMesh file = parse_mesh(stl_binary(facets), "a.stl");
  EXPECT_EQ(file.positions.col(file.facets(0, 3)),
            geometry::Vec3(static_cast<double>(0.1F), static_cast<double>(1e-38F),
                           static_cast<double>(3e38F)));
}

TEST(StlAscii, IsReadWhateverItsNormalsSay) {
  const FileMesh file = parse_mesh(tetrahedron_stl_ascii, "a.stl");
  EXPECT_EQ(file.format, Format::stl_ascii);
  EXPECT_THAT(file.warnings, IsEmpty());
  expect_corner_tetrahedron(file);
}

TEST(StlAscii, IsReadInCapitalsWithOtherLineEndsAndAByteOrderMark) {
  std::string text = tetrahedron_stl_ascii;
  expect_corner_tetrahedron(parse_mesh("\xEF\xBB\xBF" + text, "a.stl"));
  expect_corner_tetrahedron(parse_mesh(all_replaced(text, "\n", "\r\n"), "a.stl"));
  expect_corner_tetrahedron(parse_mesh(all_replaced(text, "\n", "\r"), "a.stl"));
  for (char& c : text) c = static_cast<char>(std::toupper(c));
  expect_corner_tetrahedron(parse_mesh(text, "a.stl"));
}

TEST(StlAscii, IsReadOnOneLine) {
  std::string text = all_replaced(tetrahedron_stl_ascii, "\n", " ");
  text = replaced(text, "solid corner", "solid corner\n");
  expect_corner_tetrahedron(parse_mesh(replaced(text, "endsolid", "\nendsolid"), "a.stl"));
}

TEST(StlAscii, CutShortWithinAFacetIsRefusedWithLineAndFacet) {
  const std::string text = tetrahedron_stl_ascii;
  const std::size_t cut = text.find("endloop", text.find("endfacet"));
  EXPECT_EQ(refusal(text.substr(0, cut)),
            "lure.stl:14: the file ends within facet 2; copy or export the file again");
}

TEST(StlAscii, WithoutEndsolidIsReadWithAWarning) {
  const FileMesh file = parse_mesh(replaced(tetrahedron_stl_ascii, "endsolid corner\n", ""), "a");
  EXPECT_THAT(file.warnings,
              ElementsAre("The STL file ends without \"endsolid\": it may have been cut off."));
}

TEST(StlAscii, BadNumbersAreRefusedWithTheirLine) {
  const auto with = [](const std::string& number) {
    return refusal(replaced(tetrahedron_stl_ascii, "vertex 0 1 0", "vertex 0 " + number + " 0"));
  };
  EXPECT_EQ(with("nan"),
            "lure.stl:5: a coordinate of the vertex is not a finite number (NaN or infinity); mend "
            "the mesh where it was made and export it again");
  EXPECT_EQ(with("-inf"), with("nan"));
  EXPECT_EQ(with("1e999"),
            "lure.stl:5: the number \"1e999\" is too large; copy or export the file again");
  EXPECT_EQ(with("1,5"), "lure.stl:5: a decimal comma; export with decimal points (1.5, not 1,5)");
  EXPECT_EQ(with("one"),
            "lure.stl:5: a number expected, found \"one\"; copy or export the file again");
  EXPECT_EQ(with(""),
            "lure.stl:5: a number of the vertex is missing; copy or export the file again");
}

TEST(StlAscii, StrayWordIsRefused) {
  EXPECT_EQ(refusal(replaced(tetrahedron_stl_ascii, " endloop", " vertex 1 1 1\n endloop")),
            "lure.stl:7: \"endloop\" expected, found \"vertex\"; copy or export the file again");
}

// After a facet that is laid out as usual or otherwise: a line means the same to both ways to read.
TEST(StlAscii, NormalOfTooManyWordsIsRefusedWhateverCameBeforeIt) {
  const std::string text =
      replaced(tetrahedron_stl_ascii, "normal -1 0 0", "normal to the left -1 0 0");
  EXPECT_THAT(refusal(text), ::testing::HasSubstr("\"outer\" expected"));
  EXPECT_EQ(refusal(replaced(text, "endfacet\nfacet", "endfacet \nfacet")), refusal(text));
}

TEST(StlAscii, SeveralSolidsAreOneMesh) {
  const std::string text = tetrahedron_stl_ascii;
  EXPECT_EQ(parse_mesh(text + text, "a.stl").facets.cols(), 8);
}

TEST(Obj, IsRead) {
  const FileMesh file = parse_mesh(tetrahedron_obj, "a.obj");
  EXPECT_EQ(file.format, Format::obj);
  EXPECT_THAT(file.warnings, IsEmpty());
  expect_corner_tetrahedron(file);
}

TEST(Obj, CornersMayNameTextureAndNormal) {
  std::string text = "mtllib a.mtl\nvt 0 0\nvn 0 0 1\no lure\ng body\nusemtl wood\ns off\n";
  text += tetrahedron_obj;
  text = replaced(text, "f 1 3 2", "f 1/1 3/1 2/1");
  text = replaced(text, "f 1 2 4", "f 1//1 2//1 4//1");
  text = replaced(text, "f 1 4 3", "f 1/1/1 4/1/1 3/1/1");
  expect_corner_tetrahedron(parse_mesh(text, "a.obj"));
}

TEST(Obj, NegativeIndicesCountBackFromTheLastVertexSoFar) {
  expect_corner_tetrahedron(
      parse_mesh("v 0 0 0\nv 1 0 0\nv 0 1 0\nf -3 -1 -2\nv 0 0 1\nf -4 -3 -1\nf -4 -1 -2\n"
                 "f -3 -2 -1\n",
                 "a.obj"));
}

TEST(Obj, LinesMayBeContinuedAndEndInOtherWays) {
  std::string text = replaced(tetrahedron_obj, "f 1 3 2", "f 1 \\\n 3 \\\n2 # bottom");
  text = replaced(text, "v 1 0 0", "v 1 \\\n0 0");
  expect_corner_tetrahedron(parse_mesh(text, "a.obj"));
  expect_corner_tetrahedron(parse_mesh(all_replaced(text, "\n", "\r\n"), "a.obj"));
  expect_corner_tetrahedron(parse_mesh(all_replaced(tetrahedron_obj, "\n", "\r"), "a.obj"));
  expect_corner_tetrahedron(parse_mesh("\xEF\xBB\xBF" + text, "a.obj"));
}

// The backslash may stand right behind a number or a corner: no corner is lost there.
TEST(Obj, LinesMayBeContinuedWithoutABlank) {
  const std::string square = "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1\\\n 0\nvt 0 0\n";
  for (const std::string face :
       {"f 1/1 2/1 3/1\\\n4/1\n", "f 1/1 2/1\\\n3/1 4/1\n", "f 1/1/1 2/1/1\\\n3/1/1\\\n4/1/1\n",
        "f 1 2 3\\\n4\n", "f 1 2\\ \n3 4\n", "f 1//1 2//1 3//1\\\r\n4//1\n"}) {
    SCOPED_TRACE(face);
    const FileMesh mesh = parse_mesh(square + face, "a.obj");
    EXPECT_EQ(mesh.positions.cols(), 4);
    EXPECT_EQ(mesh.facets.cols(), 2);
  }
}

TEST(Obj, NumbersTooSmallForADoubleAreNil) {
  const std::string nil = "." + std::string(400, '0') + "1";
  for (const std::string start : {"", "0", "-0", "+0", "00"}) {
    SCOPED_TRACE(start);
    expect_corner_tetrahedron(
        parse_mesh(replaced(tetrahedron_obj, "v 1 0 0", "v 1 0 " + start + nil), "a.obj"));
  }
  const std::string huge = std::string(400, '9') + ".1";
  EXPECT_THAT(refusal(replaced(tetrahedron_obj, "v 1 0 0", "v 1 0 " + huge), "a.obj"),
              ::testing::HasSubstr("too large"));
}

TEST(Obj, CommentThatEndsInABackslashTakesNoLineWithIt) {
  expect_corner_tetrahedron(
      parse_mesh(replaced(tetrahedron_obj, "# a corner", "# from C:\\lures\\"), "a.obj"));
}

TEST(Obj, PolygonsAreCut) {
  // A unit cube of six squares: volume 1.
  const FileMesh cube = parse_mesh(
      "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nv 0 0 1\nv 1 0 1\nv 1 1 1\nv 0 1 1\n"
      "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n",
      "cube.obj");
  EXPECT_EQ(cube.facets.cols(), 12);
  EXPECT_NEAR(geometry::signed_volume_mm3(mesh_of(cube), geometry::Vec3(9, 8, 7)), 1, 1e-13);
}

TEST(Obj, VertexColoursAreTaken) {
  std::string text = replaced(tetrahedron_obj, "v 0 0 0\n", "v 0 0 0 1 0.5 0\n");
  text = replaced(text, "v 0 0 1\n", "v 0 0 1 0 0 1\n");
  const FileMesh file = parse_mesh(text, "a.obj");
  ASSERT_EQ(file.colours.size(), 4U);
  EXPECT_THAT(file.colours[0], ElementsAre(255, 128, 0));
  EXPECT_THAT(file.colours[3], ElementsAre(0, 0, 255));
}

TEST(Obj, IndexOutOfRangeIsRefusedWithItsLine) {
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "f 1 2 4", "f 1 2 5"), "a.obj"),
            "a.obj:7: vertex 5 does not exist (they go from 1 to 4); copy or export the file "
            "again");
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "f 1 2 4", "f 1 2 0"), "a.obj"),
            "a.obj:7: vertex 0 does not exist (they go from 1 to 4); copy or export the file "
            "again");
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "f 1 2 4", "f 1 2 -5"), "a.obj"),
            "a.obj:7: vertex -5 does not exist (they go from -4 to -1); copy or export the file "
            "again");
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "f 1 2 4", "f 1 2 99999999999999999999"), "a.obj"),
            "a.obj:7: a vertex number expected, found \"99999999999999999999\"; copy or export the "
            "file again");
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "f 1 2 4", "f 1 2 x"), "a.obj"),
            "a.obj:7: a vertex number expected, found \"x\"; copy or export the file again");
}

TEST(Obj, BadNumbersAreRefusedWithTheirLine) {
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "v 1 0 0", "v 1,0 0,0 0,0"), "a.obj"),
            "a.obj:3: a decimal comma; export with decimal points (1.5, not 1,5)");
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "v 1 0 0", "v inf 0 0"), "a.obj"),
            "a.obj:3: a coordinate of the vertex is not a finite number (NaN or infinity); mend "
            "the mesh where it was made and export it again");
  EXPECT_EQ(refusal(replaced(tetrahedron_obj, "v 1 0 0", "v 1 0"), "a.obj"),
            "a.obj:3: a number of the vertex is missing; copy or export the file again");
}

TEST(Obj, PointsAloneAreRefused) {
  EXPECT_EQ(refusal("v 0 0 0\nv 1 0 0\n", "a.obj"),
            "a.obj: 2 vertices but no facets in the file; export the surface (mesh), not the "
            "points alone");
}

TEST(Obj, VerticesThatNoFacetUsesAndFacetsOfTwoCornersAreLeftOutWithAWarning) {
  const FileMesh file =
      parse_mesh(all_replaced(tetrahedron_obj, "f ", "f 1 2\nf ") + "v 500 500 500\n", "a.obj");
  EXPECT_THAT(file.warnings, ElementsAre("4 facets with fewer than three corners left out.",
                                         "1 vertex that no facet uses left out."));
  EXPECT_EQ(file.positions.cols(), 4);
}

// The judge is glibc's strtod, which is exact. Each shape many times: up to 19 digits before and
// behind the point, powers of ten, and numbers just between two doubles.
TEST(Numbers, OfAllShapesAreReadAsStrtodReadsThem) {
  std::mt19937_64 random(20);
  const auto digits = [&random](std::uint64_t count) {
    std::string out;
    while (count-- > 0) out += static_cast<char>('0' + random() % 10);
    return out;
  };
  std::int64_t read = 0;
  const auto expect_same = [&read](const std::string& text) {
    double value = 0;
    const char* const end = text.data() + text.size();
    const char* const after = read_decimal(text.data(), end, value);
    if (after == nullptr) return;  // left to std::from_chars
    ++read;
    ASSERT_EQ(after, end) << text;
    ASSERT_EQ(std::bit_cast<std::uint64_t>(value),
              std::bit_cast<std::uint64_t>(std::strtod(text.c_str(), nullptr)))
        << text;
  };
  for (int i = 0; i < 200'000; ++i) {
    std::string text = (random() % 2 == 0 ? "-" : "") + digits(random() % 5);
    text += random() % 4 == 0 ? digits(1) : "." + digits(1 + random() % 18);
    if (random() % 3 == 0) text += "e" + std::to_string(static_cast<int>(random() % 60) - 30);
    expect_same(text);
    // An odd number of 54 bits lies between two doubles; over 2, 4, 8 it has so many decimals.
    const std::uint64_t between = std::uint64_t{1} << 53 | random() >> 11 | 1;
    expect_same(std::to_string(between));
    expect_same(std::to_string(between / 2) + ".5");
    expect_same(std::to_string(between >> 3 | 1) + (i % 2 == 0 ? ".25" : ".75"));
  }
  EXPECT_GT(read, 700'000) << "hardly any was read";
}

TEST(Numbers, AreReadToTheNearestDouble) {
  // Source: the C++ compiler's own reading of the same literals.
  const auto read = [](const std::string& number) {
    const FileMesh file =
        parse_mesh(replaced(tetrahedron_obj, "v 1 0 0", "v " + number + " 0 0"), "a.obj");
    return file.positions(0, 1);
  };
  EXPECT_EQ(read("0.1"), 0.1);
  EXPECT_EQ(read("+0.1"), 0.1);
  EXPECT_EQ(read("-.5"), -.5);
  EXPECT_EQ(read("5."), 5.);
  EXPECT_EQ(read("1.7976931348623157e308"), 1.7976931348623157e308);
  EXPECT_EQ(read("123456789012345678"), 123456789012345678.);
  EXPECT_EQ(read("0.30000000000000004"), 0.30000000000000004);
  EXPECT_EQ(read("9007199254740993"), 9007199254740993.);
  EXPECT_EQ(read("1e22"), 1e22);
  EXPECT_EQ(read("1e23"), 1e23);
  EXPECT_EQ(read("3.14159265358979323846264338327950288"), 3.14159265358979323846264338327950288);
  EXPECT_EQ(read("1e-400"), 0);
  EXPECT_EQ(read("0." + std::string(400, '0') + "1"), 0);
}

TEST(PlyAscii, IsRead) {
  const FileMesh file = parse_mesh(tetrahedron_ply, "a.ply");
  EXPECT_EQ(file.format, Format::ply_ascii);
  EXPECT_THAT(file.warnings, IsEmpty());
  expect_corner_tetrahedron(file);
  expect_corner_tetrahedron(parse_mesh(all_replaced(tetrahedron_ply, "\n", "\r\n"), "a.ply"));
}

TEST(PlyAscii, OtherPropertiesAndElementsAreSteppedOver) {
  std::string text = replaced(tetrahedron_ply, "property float z\n",
                              "property float z\nproperty float quality\nelement edge 1\n"
                              "property list uchar int ends\n");
  text = replaced(text, "0 0 0\n1 0 0\n0 1 0\n0 0 1\n",
                  "0 0 0 nan\n1 0 0 1\n0 1 0 1\n0 0 1 1\n2 0 1\n");
  expect_corner_tetrahedron(parse_mesh(text, "a.ply"));
}

TEST(PlyAscii, MissingNumberIsNotTakenFromTheNextLine) {
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "\n1 0 0\n", "\n1 0\n"), "a.ply"),
            "a.ply:11: a number of the vertex is missing; copy or export the file again");
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "3 0 1 3", "3 0 1"), "a.ply"),
            "a.ply:15: a number of the face is missing; copy or export the file again");
}

TEST(PlyAscii, IndexOutOfRangeIsRefusedWithItsLine) {
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "3 0 1 3", "3 0 1 4"), "a.ply"),
            "a.ply:15: vertex 4 does not exist (they go from 0 to 3); copy or export the file "
            "again");
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "3 0 1 3", "3 0 1 -1"), "a.ply"),
            "a.ply:15: vertex -1 does not exist (they go from 0 to 3); copy or export the file "
            "again");
}

TEST(PlyAscii, CountsThatLieAreRefused) {
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "vertex 4", "vertex 4000000000"), "a.ply"),
            "a.ply: says 4000000000 of \"vertex\", which needs at least 24000000000 bytes; the "
            "file has 56 after its header; copy or export the file again");
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "face 4", "face 5"), "a.ply"),
            "a.ply: the file ends within face 5; copy or export the file again");
  EXPECT_EQ(refusal(replaced(tetrahedron_ply, "face 4", "face 0"), "a.ply"),
            "a.ply: 4 vertices but no facets in the file; export the surface (mesh), not the "
            "points alone");
}

TEST(PlyAscii, BadHeadersAreRefusedWithTheirLine) {
  const auto header = [](const std::string& part, const std::string& by) {
    return refusal(replaced(tetrahedron_ply, part, by), "a.ply");
  };
  const std::string again = "; copy or export the file again";
  EXPECT_EQ(header("end_header\n", ""), "a.ply:9: PLY header: an unknown line" + again);
  EXPECT_EQ(header("format ascii 1.0\n", ""),
            "a.ply:8: PLY header: the \"format\" line is missing" + again);
  EXPECT_EQ(header("ascii", "binary"), "a.ply:2: PLY header: an unknown format" + again);
  EXPECT_EQ(header("property float x", "property real x"),
            "a.ply:4: PLY header: an unknown type" + again);
  EXPECT_EQ(header("property float x\n", ""),
            "a.ply: PLY header: the vertices have no x, y and z" + again);
  EXPECT_EQ(header("vertex 4", "vertex four"),
            "a.ply:3: PLY header: an element without a count" + again);
  EXPECT_EQ(header("element vertex", "element point"),
            "a.ply: PLY header: no element named \"vertex\"" + again);
  EXPECT_EQ(refusal("ply\nformat ascii 1.0\n", "a.ply"),
            "a.ply:3: PLY header: \"end_header\" is missing" + again);
}

/// The corner tetrahedron with doubles, colours, a list in the vertices and short lists of shorts.
std::string ply_binary(bool big) {
  std::string bytes = std::string("ply\nformat binary_") + (big ? "big" : "little") +
                      "_endian 1.0\ncomment x\nelement vertex 4\nproperty uchar red\n"
                      "property uchar green\nproperty uchar blue\nproperty list uint16 double w\n"
                      "property double x\nproperty double y\nproperty double z\nelement face 4\n"
                      "property int8 flag\nproperty list int32 uint16 vertex_index\n"
                      "property float quality\nend_header\n";
  const double positions[4][3] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (const auto& p : positions) {
    bytes += "\x01\x02\xff";
    append_raw(bytes, std::uint16_t{1}, big);
    append_raw(bytes, 7.0, big);
    for (const double c : p) append_raw(bytes, c, big);
  }
  const int facets[4][3] = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
  for (const auto& f : facets) {
    bytes += '\n';
    append_raw(bytes, std::int32_t{3}, big);
    for (const int v : f) append_raw(bytes, static_cast<std::uint16_t>(v), big);
    append_raw(bytes, 1.0F, big);
  }
  return bytes;
}

TEST(PlyBinary, IsReadInBothByteOrders) {
  for (const bool big : {false, true}) {
    const FileMesh file = parse_mesh(ply_binary(big), "a.ply");
    EXPECT_EQ(file.format, Format::ply_binary);
    expect_corner_tetrahedron(file);
    ASSERT_EQ(file.colours.size(), 4U);
    EXPECT_THAT(file.colours[2], ElementsAre(1, 2, 255));
  }
}

TEST(PlyBinary, CutShortIsRefusedWhereverItIsCut) {
  for (const bool big : {false, true}) {
    const std::string bytes = ply_binary(big);
    for (std::size_t size = 0; size < bytes.size(); ++size) {
      EXPECT_NE(refusal(bytes.substr(0, size), "a.ply"), "") << size;
    }
  }
}

TEST(PlyBinary, CountThatLiesIsRefusedBeforeAnythingIsAllocated) {
  EXPECT_EQ(refusal(replaced(ply_binary(false), "vertex 4", "vertex 18446744073709551615"), "a"),
            "a: says 18446744073709551615 of \"vertex\", which needs at least "
            "18446744073709551615 bytes; the file has 208 after its header; copy or export the "
            "file again");
}

TEST(PlyBinary, CoordinateThatIsNotFiniteIsRefusedWithItsVertex) {
  std::string bytes = ply_binary(false);
  const double bad = std::nan("");
  std::memcpy(bytes.data() + bytes.find("end_header\n") + 11 + 37 + 13, &bad, sizeof bad);
  EXPECT_EQ(refusal(bytes, "a.ply"),
            "a.ply, vertex 2: a coordinate of the vertex is not a finite number (NaN or infinity); "
            "mend the mesh where it was made and export it again");
}

TEST(Ply, TriangleStripsAreRefused) {
  EXPECT_EQ(refusal("ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\n"
                    "property float y\nproperty float z\nelement tristrips 1\n"
                    "property list int int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n"
                    "3 0 1 2\n",
                    "a.ply"),
            "a.ply: facets given as triangle strips are not in this version; export PLY with "
            "faces, or STL");
}

TEST(AnyFile, OtherFormatsAreNamed) {
  const std::string rest = " are not in this version; export STL, OBJ, PLY or GLB";
  EXPECT_EQ(refusal("PK\x03\x04____lure.usdc", "a.usdz"), "a.usdz: USDZ files" + rest);
  EXPECT_EQ(refusal("ISO-10303-21;\n", "a.step"), "a.step: STEP files" + rest);
  EXPECT_EQ(refusal("<?xml version=\"1.0\"?><COLLADA>", "a.dae"), "a.dae: COLLADA files" + rest);
}

TEST(AnyFile, WhatIsNoMeshIsToldSo) {
  const std::string rest = ", not a mesh; export the mesh as STL, OBJ, PLY or GLB";
  EXPECT_EQ(refusal("\xFF\xD8\xFF\xE0 JFIF", "a.stl"), "a.stl: this is a JPEG picture" + rest);
  EXPECT_EQ(refusal("PK\x03\x04____readme.txt", "a.zip"), "a.zip: this is a zip archive" + rest);
  EXPECT_EQ(refusal("<!DOCTYPE html><html>", "a.stl"), "a.stl: this is a web page" + rest);
  EXPECT_EQ(refusal("hello\n", "a.txt"),
            "a.txt: the file is neither STL, OBJ, PLY, OFF, glTF nor 3MF; export the mesh as one "
            "of these");
  EXPECT_EQ(refusal("1.0 2.0 3.0\n1.5 2.0 3.0\n", "a.xyz"),
            "a.xyz: the file is neither STL, OBJ, PLY, OFF, glTF nor 3MF; export the mesh as one "
            "of these");
  EXPECT_EQ(
      refusal("\n \n", "a"),
      "a: the file is neither STL, OBJ, PLY, OFF, glTF nor 3MF; export the mesh as one of these");
  EXPECT_EQ(refusal("", "a.stl"), "a.stl: the file is empty; copy or export the file again");
  EXPECT_EQ(refusal("\xFF\xFEv\0 \0", "a.obj"),
            "a.obj: the text is in UTF-16, which mesh files never are; save it as plain text "
            "(UTF-8)");
  EXPECT_EQ(refusal(std::string(1000, '\0'), "a.stl"),
            "a.stl: the file holds nothing but zeros; a copy or a download was probably cut off: "
            "copy or export it again");
  EXPECT_EQ(refusal("", "-"), "standard input: the file is empty; copy or export the file again");
}

// Found by fuzzing: nothing was left to look at behind the mark.
TEST(ReadMesh, AByteOrderMarkAloneIsAnEmptyFile) {
  EXPECT_EQ(refusal("\xEF\xBB\xBF", "bom.obj"), refusal("", "bom.obj"));
}

// The reader looks at the first and the last 64 KiB to guess at sizes; neither need end in a line.
TEST(Obj, LongFilesAreReadWhateverTheyEndWith) {
  std::string text = "v 0 0 0\nv 1 0 0\nv 0 1 0\n";
  while (text.size() < 70000) text += "f 1 2 3\n";
  EXPECT_GT(parse_mesh(text, "long.obj").facets.cols(), 1000);
  text.pop_back();
  EXPECT_GT(parse_mesh(text, "long.obj").facets.cols(), 1000);
  EXPECT_GT(parse_mesh("#\n" + text, "long.obj").facets.cols(), 1000);
}

}  // namespace
}  // namespace trueblank::intake
