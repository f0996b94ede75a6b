// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <thread>

#include "geometry/error.h"
#include "intake/mesh_bytes.h"
#include "intake/parsed_mesh.h"
#include "intake/read_mesh.h"

namespace trueblank::intake {
namespace {

namespace fs = std::filesystem;

class LargeFiles : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = testing::TempDir() + "trueblank-blocks-XXXXXX";
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }

  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }

  void put(const std::string& name, const std::string& bytes) const {
    std::ofstream(path(name), std::ios::binary) << bytes;
  }

  [[nodiscard]] std::string reading_refusal(const std::string& name) const {
    try {
      (void)read_mesh(path(name));
    } catch (const geometry::InputError& error) {
      return geometry::one_line(error);
    }
    return {};
  }

  std::string folder_;
};

/// A wavy sheet of 200 × 200 corners a row, as triangles of their positions.
std::vector<Triangle> wavy_sheet() {
  constexpr int side = 200;
  const auto corner = [](int i, int j) {
    return std::array{static_cast<float>(i) * 0.37F, static_cast<float>(j) * 0.41F,
                      std::sin(static_cast<float>(i * j) * 0.01F)};
  };
  std::vector<Triangle> facets;
  for (int i = 0; i < side; ++i) {
    for (int j = 0; j < side; ++j) {
      facets.push_back({corner(i, j), corner(i + 1, j), corner(i + 1, j + 1)});
      facets.push_back({corner(i, j), corner(i + 1, j + 1), corner(i, j + 1)});
    }
  }
  return facets;
}

std::string words_of(const std::array<float, 3>& corner) {
  return std::to_string(corner[0]) + " " + std::to_string(corner[1]) + " " +
         std::to_string(corner[2]);
}

std::string as_stl_text(const std::vector<Triangle>& facets) {
  std::string text = "solid sheet\n";
  for (const auto& facet : facets) {
    text += "facet normal 0 0 1\nouter loop\n";
    for (const auto& corner : facet) text += "vertex " + words_of(corner) + "\n";
    text += "endloop\nendfacet\n";
  }
  return text + "endsolid sheet\n";
}

/// Each facet after its own vertices, every third over two lines.
std::string as_obj_text(const std::vector<Triangle>& facets) {
  std::string text;
  for (std::size_t f = 0; f < facets.size(); ++f) {
    for (const auto& corner : facets[f]) text += "v " + words_of(corner) + "\n";
    text += f % 3 == 0 ? "f -3 \\\n-2 -1\n" : "f -3 -2 -1\n";
  }
  return text;
}

/// All vertices, then all facets, the one before each line and the other.
std::string as_lists(const std::vector<Triangle>& facets) {
  std::string text;
  for (const auto& facet : facets) {
    for (const auto& corner : facet) text += words_of(corner) + "\n";
  }
  for (std::size_t f = 0; f < facets.size(); ++f) {
    const std::size_t first = 3 * f;
    text += "3 " + std::to_string(first) + " " + std::to_string(first + 1) + " " +
            std::to_string(first + 2) + "\n";
  }
  return text;
}

std::string as_off_text(const std::vector<Triangle>& facets) {
  return "OFF # a sheet\n" + std::to_string(3 * facets.size()) + " " +
         std::to_string(facets.size()) + " 0\n" + as_lists(facets);
}

std::string as_ply_text(const std::vector<Triangle>& facets) {
  return "ply\nformat ascii 1.0\nelement vertex " + std::to_string(3 * facets.size()) +
         "\nproperty float x\nproperty float y\nproperty float z\nelement face " +
         std::to_string(facets.size()) + "\nproperty list uchar int vertex_indices\nend_header\n" +
         as_lists(facets);
}

/// Its faces are over three vertices each; every fifth of four, so that it has to be cut.
std::string as_obj_lists(const std::vector<Triangle>& facets) {
  std::string text;
  for (const auto& facet : facets) {
    for (const auto& corner : facet) text += "v " + words_of(corner) + "\nvn 0 0 1\n";
  }
  for (std::size_t f = 0; f + 1 < facets.size(); ++f) {
    const std::size_t first = 3 * f + 1;
    const auto corner = [](std::size_t v) {
      return " " + std::to_string(v) + "//" + std::to_string(v);
    };
    text += "f" + corner(first) + corner(first + 1) + corner(first + 2);
    if (f % 5 == 0) text += corner(first + 5);
    text += f % 7 == 0 ? "\r\n" : "\n";
  }
  return text;
}

// The reader of the whole, which sees all bytes at once, is the judge.
void expect_same(const FileMesh& found, const FileMesh& wanted) {
  EXPECT_EQ(found.format, wanted.format);
  EXPECT_EQ(found.warnings, wanted.warnings);
  ASSERT_EQ(found.facets.cols(), wanted.facets.cols());
  ASSERT_EQ(found.positions.cols(), wanted.positions.cols());
  EXPECT_TRUE(found.facets == wanted.facets);
  EXPECT_TRUE(found.positions == wanted.positions);
}

TEST_F(LargeFiles, ReadPartByPartGiveTheSameMesh) {
  const auto facets = wavy_sheet();
  for (const std::string& bytes :
       {stl_binary(facets), as_stl_text(facets), as_obj_text(facets), as_obj_lists(facets),
        as_off_text(facets), as_ply_text(facets), "\xEF\xBB\xBF" + as_off_text(facets)}) {
    ASSERT_GT(bytes.size(), std::size_t{3} << 20) << "several parts";
    put("sheet", bytes);
    const std::optional<FileMesh> by_blocks = read_by_blocks(path("sheet"));
    ASSERT_TRUE(by_blocks.has_value()) << bytes.substr(0, 40);
    expect_same(*by_blocks, parse_mesh(bytes, path("sheet")));
    expect_same(read_mesh(path("sheet")), *by_blocks);
  }
}

TEST_F(LargeFiles, ReadPartByPartTellTheLineOfAFault) {
  std::string text = as_stl_text(wavy_sheet());
  const std::size_t fault = text.rfind("vertex");
  text.replace(fault, 6, "vortex");
  put("sheet.stl", text);
  EXPECT_FALSE(read_by_blocks(path("sheet.stl")).has_value());
  const auto line =
      std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(fault), '\n');
  EXPECT_NE(reading_refusal("sheet.stl").find("sheet.stl:" + std::to_string(line + 1) + ": "),
            std::string::npos);
}

TEST_F(LargeFiles, ThatEndTooSoonAreToldAsTheWholeIs) {
  const auto facets = wavy_sheet();
  for (std::string bytes : {as_off_text(facets), as_ply_text(facets)}) {
    bytes.resize(bytes.rfind('\n', bytes.size() - 2) + 1);
    put("sheet", bytes);
    EXPECT_FALSE(read_by_blocks(path("sheet")).has_value());
    const std::string told = reading_refusal("sheet");
    EXPECT_FALSE(told.empty());
    EXPECT_EQ(told, refusal(bytes, path("sheet")));
  }
}

TEST_F(LargeFiles, CutShortAreNotReadPartByPart) {
  std::string bytes = stl_binary(wavy_sheet());
  bytes.resize(bytes.size() - 1);
  put("sheet.stl", bytes);
  EXPECT_FALSE(read_by_blocks(path("sheet.stl")).has_value());
  EXPECT_EQ(reading_refusal("sheet.stl"), refusal(bytes, path("sheet.stl")));
}

// A first part that ended within "end_header" was once read beyond its end.
TEST_F(LargeFiles, AreReadTheSameWhereverTheirPartsEnd) {
  const std::string bytes =
      "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\n"
      "property float z\nelement face 4\nproperty list uchar int vertex_indices\nend_header\r\n"
      "0 0 0\n9 0 0\n0 9 0\n0 0 9\n3 0 2 1\n3 0 1 3\n3 1 2 3\n3 0 3 2\n";
  put("four.ply", bytes);
  const FileMesh whole = parse_mesh(bytes, path("four.ply"));
  const std::size_t header_bytes = bytes.find("end_header") + std::string("end_header\r\n").size();
  for (std::size_t part = 20; part <= bytes.size(); ++part) {
    SCOPED_TRACE(part);
    const std::optional<FileMesh> by_blocks = read_by_blocks(path("four.ply"), part);
    EXPECT_EQ(by_blocks.has_value(), part >= header_bytes && part < bytes.size());
    if (by_blocks) expect_same(*by_blocks, whole);
  }
}

TEST_F(LargeFiles, ComingThroughAPipeAreReadOnce) {
  ASSERT_EQ(::mkfifo(path("pipe").c_str(), 0600), 0);
  const std::string bytes = stl_binary(wavy_sheet());
  std::thread writer([&] { put("pipe", bytes); });
  expect_same(read_mesh(path("pipe")), parse_mesh(bytes, path("pipe")));
  writer.join();
}

}  // namespace
}  // namespace trueblank::intake
