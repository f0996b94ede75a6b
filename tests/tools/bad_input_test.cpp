// SPDX-License-Identifier: GPL-3.0-or-later
// What can't be used: one clear line, exit 2, nothing written.
#include <gmock/gmock.h>

#include <cstring>
#include <filesystem>
#include <fstream>

#include "intake/write_mesh.h"
#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;

class BadInput : public Tool {
 protected:
  /// All three verbs refuse the file, and none of the files asked for is there. Gives check's line.
  std::string refused(const std::string& file) {
    for (const std::string verb : {"weigh", "mirror"}) {
      EXPECT_THAT(refusal({verb, file, "--json", "out.json", "--map", "out.ply"}),
                  HasSubstr(file == "-" ? "standard input" : file));
    }
    return refusal({"check", file, "--json", "out.json", "--map", "out.ply"});
  }

  std::string refused_bytes(const std::string& file, std::string_view bytes) {
    write(file, bytes);
    return refused(file);
  }

  static std::string box_stl() { return intake::stl_bytes(test_bodies::box(100, 20, 30)); }

  /// A binary STL whose first coordinate is replaced.
  static std::string stl_with(float coordinate) {
    std::string bytes = box_stl();
    constexpr std::size_t first_corner = 84 + 12;
    std::memcpy(bytes.data() + first_corner, &coordinate, sizeof coordinate);
    return bytes;
  }
};

TEST_F(BadInput, AMissingFile) { EXPECT_THAT(refused("nothing.stl"), HasSubstr("nothing.stl")); }

TEST_F(BadInput, AnEmptyFile) { EXPECT_THAT(refused_bytes("a.stl", ""), HasSubstr("empty")); }

TEST_F(BadInput, ADirectory) {
  std::filesystem::create_directory(path("folder.stl"));
  EXPECT_THAT(refused("folder.stl"), HasSubstr("folder"));
}

TEST_F(BadInput, ATruncatedStl) {
  const std::string bytes = box_stl();
  for (const std::size_t keep : {std::size_t{1}, std::size_t{50}, std::size_t{83}, std::size_t{84},
                                 std::size_t{100}, bytes.size() - 1}) {
    EXPECT_NE(refused_bytes("a.stl", bytes.substr(0, keep)), "") << keep;
  }
}

TEST_F(BadInput, AFacetCountThatLies) {
  for (const std::uint32_t count : {13U, 0U, 4000000000U}) {
    std::string bytes = box_stl();
    std::memcpy(bytes.data() + 80, &count, sizeof count);
    EXPECT_NE(refused_bytes("a.stl", bytes), "") << count;
  }
}

TEST_F(BadInput, CoordinatesThatAreNoNumbersOrInfinite) {
  EXPECT_NE(refused_bytes("a.stl", stl_with(std::numeric_limits<float>::quiet_NaN())), "");
  EXPECT_NE(refused_bytes("a.stl", stl_with(std::numeric_limits<float>::infinity())), "");
  EXPECT_THAT(refused_bytes("a.obj", "v 0 0 0\nv nan 0 0\nv 0 1 0\nf 1 2 3\n"),
              HasSubstr("a.obj:2"));
  EXPECT_THAT(refused_bytes("a.obj", "v 0 0 0\nv 1 0 0\nv 0 -inf 0\nf 1 2 3\n"),
              HasSubstr("a.obj:3"));
  EXPECT_THAT(refused_bytes("a.obj", "v 0 0 0\nv 1e999 0 0\nv 0 1 0\nf 1 2 3\n"),
              HasSubstr("a.obj:2"));
}

TEST_F(BadInput, AnIndexOutOfRange) {
  for (const std::string index : {"4", "-4", "0", "99999999999"}) {
    EXPECT_THAT(refused_bytes("a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 " + index + "\n"),
                HasSubstr("a.obj:4"))
        << index;
  }
  EXPECT_NE(refused_bytes("a.ply",
                          "ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty "
                          "float y\nproperty float z\nelement face 1\nproperty list uchar int "
                          "vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n3 0 1 3\n"),
            "");
}

TEST_F(BadInput, ZeroFacets) {
  EXPECT_NE(refused_bytes("a.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\n"), "");
  EXPECT_NE(refused_bytes("a.stl", "solid a\nendsolid a\n"), "");
  EXPECT_NE(refused_bytes("a.stl", std::string(84, '\0')), "");
}

TEST_F(BadInput, AFlatSheetEnclosesNothing) {
  EXPECT_NE(refused_bytes("a.obj", "v 0 0 0\nv 100 0 0\nv 0 100 0\nf 1 2 3\nf 1 3 2\n"), "");
}

TEST_F(BadInput, AHundredMegabytesOfZeros) {
  write("zeros.stl", "");
  std::filesystem::resize_file(path("zeros.stl"), 100 << 20);  // sparse: takes no room
  EXPECT_THAT(refused("zeros.stl"), HasSubstr("zeros"));
}

TEST_F(BadInput, SomethingElseAltogether) {
  EXPECT_NE(refused_bytes("a.stl", "Dear reader,\nthis is a letter.\n"), "");
  EXPECT_NE(refused_bytes("a.glb", "glTF\x02" + std::string(100, 'x')), "");
}

TEST_F(BadInput, AFileThatMayNotBeRead) {
  write("a.stl", box_stl());
  std::filesystem::permissions(path("a.stl"), std::filesystem::perms::none);
  if (std::ifstream(path("a.stl")).good()) GTEST_SKIP() << "root may read everything";
  EXPECT_NE(refused("a.stl"), "");
}

TEST_F(BadInput, EmptyStandardInput) {
  EXPECT_THAT(refusal({"check", "-"}), HasSubstr("standard input"));
}

TEST_F(BadInput, ABodyThatIsToStayOpenHasNoVolume) {
  write_stl("open.stl", test_bodies::without(test_bodies::box(100, 20, 30),
                                             [](const auto& at) { return at.x() > 49; }));
  EXPECT_THAT(refusal({"weigh", "open.stl", "--mend", "none"}), HasSubstr("open"));
  EXPECT_THAT(refusal({"mirror", "open.stl", "--mend", "none"}), HasSubstr("open"));
}

class BadSheet : public Tool {
 protected:
  BadSheet() { write_ply("egg.ply", test_bodies::ellipsoid(80, 10, 12, 40, 40)); }

  std::string refused(const std::string& sheet) {
    write("lure.toml", sheet);
    return refusal({"float", "lure.toml", "--json", "out.json"});
  }

  const std::string body = "[body]\nmesh = \"egg.ply\"\n[wood]\ndensity = 0.5\n";
};

TEST_F(BadSheet, AMissingSheet) {
  EXPECT_THAT(refusal({"float", "nothing.toml"}), HasSubstr("nothing.toml"));
}

TEST_F(BadSheet, ASyntaxError) {
  EXPECT_THAT(refused("[body\nmesh = \"egg.ply\"\n"), HasSubstr("lure.toml:1"));
  EXPECT_THAT(refused(body + "species = \"teak\n"), HasSubstr("lure.toml:5"));
}

TEST_F(BadSheet, AnUnknownKey) {
  EXPECT_THAT(refused(body + "colour = 3\n"), HasSubstr("lure.toml:5:1: "));
}

TEST_F(BadSheet, ANegativeMass) {
  EXPECT_THAT(refused(body + "[[ballast]]\nname = \"belly\"\nat = [70, -3]\nmass = -9\nmetal = "
                             "\"lead\"\n"),
              HasSubstr("lure.toml:8:"));
}

TEST_F(BadSheet, AMissingMesh) {
  const std::string line = refused("[body]\nmesh = \"gone.ply\"\n[wood]\ndensity = 0.5\n");
  EXPECT_THAT(line, HasSubstr("gone.ply"));
  EXPECT_THAT(refused("[wood]\ndensity = 0.5\n"), HasSubstr("lure.toml"));
}

TEST_F(BadSheet, ABallastOutsideTheBody) {
  EXPECT_THAT(refused(body + "[[ballast]]\nname = \"belly\"\nat = [80, -14]\nmass = 9\nmetal = "
                             "\"lead\"\n"),
              HasSubstr("lure.toml:7:1: ballast \"belly\" is 2 mm outside the body"));
}

TEST_F(BadSheet, WishesThatCantBe) {
  EXPECT_THAT(refused(body + "[target]\n"), HasSubstr("[target] asks for nothing"));
  EXPECT_THAT(refused(body + "[[place]]\nname = \"belly\"\n"), HasSubstr("[[place]]"));
}

TEST_F(BadSheet, AMeshInsteadOfASheet) { EXPECT_NE(refusal({"float", "egg.ply"}), ""); }

TEST_F(BadSheet, AMeshThatCantBeUsed) {
  write("egg.ply", "");
  EXPECT_THAT(refused(body), HasSubstr("egg.ply"));
}

}  // namespace
}  // namespace trueblank::test_tool
