// SPDX-License-Identifier: GPL-3.0-or-later
// The standard library's streams, sets and maps are the judges of OBJ's plainest lines and of what
// there is to weld.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "intake/obj_face_layout.h"
#include "intake/read_mesh.h"
#include "intake/weld.h"

namespace trueblank::intake {
namespace {

using Place = std::array<double, 3>;

class Random {
 public:
  int up_to(int most) { return std::uniform_int_distribution<int>(0, most)(random_); }

  double number() { return std::uniform_real_distribution<double>(-120, 120)(random_); }

  std::string decimal(const char* format) {
    std::array<char, 64> text;
    (void)std::snprintf(text.data(), text.size(), format, number());
    return text.data();
  }

 private:
  std::mt19937 random_{20250203};
};

/// How a program writes its files.
struct Style {
  const char* decimals;
  const char* corner;  ///< %d: its number
  const char* line_end;
  int repeated_vertices;  ///< in a hundred
};

std::string corner_text(const Style& style, int number) {
  std::string text = style.corner;
  for (std::size_t at = text.find("%d"); at != std::string::npos; at = text.find("%d")) {
    text.replace(at, 2, std::to_string(number));
  }
  return text;
}

/// Vertices and faces, in two lists or between each other, with lines that say nothing here.
std::string obj_text(Random& random, const Style& style, bool lists) {
  constexpr int vertices = 400;
  std::vector<std::string> lines;
  std::vector<std::string> faces;
  std::vector<std::string> all;
  for (int v = 1; v <= vertices; ++v) {
    std::string line = "v";
    for (int k = 0; k < 3; ++k) line += " " + random.decimal(style.decimals);
    if (v > 1 && random.up_to(99) < style.repeated_vertices) {
      line = lines[static_cast<std::size_t>(random.up_to(v - 2))];
    }
    lines.push_back(line);
    all.push_back(line);
    if (random.up_to(40) == 0) all.emplace_back("vn 0 0.5 -1");
    if (random.up_to(40) == 0) all.emplace_back("# v 1 2 3");
    for (int i = 0; v >= 3 && i < 2; ++i) {
      const std::string face = "f " + corner_text(style, v - i) + " " +
                               corner_text(style, v - 2 + i) + " " +
                               corner_text(style, 1 + random.up_to(v - 1));
      (lists ? faces : all).push_back(face);
    }
  }
  all.insert(all.end(), faces.begin(), faces.end());
  std::string text;
  for (const std::string& line : all) text += line + style.line_end;
  return text;
}

struct Read {
  std::vector<Place> positions;
  std::vector<std::array<int, 3>> facets;
};

/// Words one by one, and a map of places.
Read read_by_streams(const std::string& text) {
  Read raw;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    std::istringstream words(line);
    std::string word;
    words >> word;
    if (word == "v") {
      Place place;
      for (double& number : place) {
        words >> word;
        number = std::strtod(word.c_str(), nullptr) + 0.0;
      }
      raw.positions.push_back(place);
    } else if (word == "f") {
      std::array<int, 3> facet;
      for (int& corner : facet) {
        words >> word;
        corner = std::atoi(word.c_str()) - 1;
      }
      raw.facets.push_back(facet);
    }
  }
  std::set<int> used;
  for (const auto& facet : raw.facets) used.insert(facet.begin(), facet.end());
  Read read;
  std::map<Place, int> numbers;
  for (const int v : used) {
    const Place& place = raw.positions[static_cast<std::size_t>(v)];
    if (numbers.emplace(place, static_cast<int>(read.positions.size())).second) {
      read.positions.push_back(place);
    }
  }
  for (auto facet : raw.facets) {
    for (int& corner : facet) corner = numbers.at(raw.positions[static_cast<std::size_t>(corner)]);
    read.facets.push_back(facet);
  }
  return read;
}

void expect_as_by_streams(const std::string& text) {
  const FileMesh found = parse_mesh(text, "a.obj");
  const Read wanted = read_by_streams(text);
  ASSERT_EQ(found.positions.cols(), static_cast<Eigen::Index>(wanted.positions.size()));
  ASSERT_EQ(found.facets.cols(), static_cast<Eigen::Index>(wanted.facets.size()));
  for (Eigen::Index v = 0; v < found.positions.cols(); ++v) {
    const Place& place = wanted.positions[static_cast<std::size_t>(v)];
    ASSERT_EQ(Eigen::Vector3d(found.positions.col(v)), Eigen::Vector3d(place.data())) << v;
  }
  for (Eigen::Index f = 0; f < found.facets.cols(); ++f) {
    const auto& facet = wanted.facets[static_cast<std::size_t>(f)];
    ASSERT_EQ(Eigen::Vector3i(found.facets.col(f)), Eigen::Vector3i(facet.data())) << f;
  }
}

TEST(ObjLines, AreReadAsByStreamsHoweverTheyAreWritten) {
  Random random;
  for (const char* decimals : {"%.6f", "%.3f", "%g", "%.9g", "%.17g", "%.8f", "%.0f", "%.12f"}) {
    for (const char* corner : {"%d", "%d/%d/%d", "%d//%d", "%d/7", "%d "}) {
      for (const bool lists : {true, false}) {
        for (const int repeated : {0, 1, 50}) {
          SCOPED_TRACE(std::string(decimals) + ", " + corner + ", " + std::to_string(repeated));
          const Style style = {decimals, corner, repeated == 1 ? "\r\n" : "\n", repeated};
          expect_as_by_streams(obj_text(random, style, lists));
        }
      }
    }
  }
}

TEST(ObjLines, MayNameVerticesThatAreStillToCome) {
  Random random;
  const std::string text = obj_text(random, {"%.6f", "%d", "\n", 0}, true);
  const std::size_t faces = text.find("\nf ") + 1;
  const std::string turned = text.substr(faces) + text.substr(0, faces);
  const FileMesh before = parse_mesh(text, "a.obj");
  const FileMesh after = parse_mesh(turned, "a.obj");
  EXPECT_TRUE(before.positions == after.positions);
  EXPECT_TRUE(before.facets == after.facets);
}

TEST(ObjLines, TakeNothingLessThanNothingForNothing) {
  const std::string faces = "f 1 2 3\nf 1 3 4\nf 4 2 5\n";
  std::string text = "# padded, so that the plainest lines' reader takes these\nvn 0 0 1\n";
  text += "v 0.0 0.0 1.0\nv 1.0 0.0 0.0\nv -1.0 2.0 0.0\nv 0.0 3.0 0.0\nv -0.0 -0.0 1.0\n";
  const FileMesh mesh = parse_mesh(text + faces + std::string(200, '#') + "\n", "a.obj");
  EXPECT_EQ(mesh.positions.cols(), 4);
  EXPECT_FALSE(std::signbit(mesh.positions(0, 0)));
}

std::string padded(const std::string& line) {
  return std::string(8, '7') + line +
         std::string(static_cast<std::size_t>(FaceLayout::most_bytes), '3');
}

TEST(ObjFaceLayout, FitsWhatDiffersFromItInDigitsAlone) {
  for (const std::string& line :
       {std::string("f 12 345 6\n"), std::string("f 1/2/3 45/6/78 12345678//1\r\n"),
        std::string("f  99999999/99999999/99999999 1/1/1   10000000/10000000/10000000 \n")}) {
    const std::string text = padded(line);
    FaceLayout layout;
    EXPECT_FALSE(layout.fits(text.data() + 8));
    ASSERT_TRUE(layout.learn(text.data() + 8)) << line;
    EXPECT_EQ(layout.length(), static_cast<std::ptrdiff_t>(line.size()));
    for (std::size_t i = 0; i < line.size(); ++i) {
      const bool digit = line[i] >= '0' && line[i] <= '9';
      for (int c = 0; c < 256; ++c) {
        std::string other = text;
        other[8 + i] = static_cast<char>(c);
        const bool same_kind = digit ? c >= '0' && c <= '9' : static_cast<char>(c) == line[i];
        ASSERT_EQ(layout.fits(other.data() + 8), same_kind) << line << i << ": " << c;
      }
    }
  }
}

TEST(ObjFaceLayout, ReadsItsCorners) {
  Random random;
  for (int i = 0; i < 3000; ++i) {
    std::array<int, 3> counts;
    std::string line = "f";
    for (int& count : counts) {
      std::string digits(1 + static_cast<std::size_t>(random.up_to(7)), '0');
      for (char& digit : digits) digit = static_cast<char>('0' + random.up_to(9));
      count = std::atoi(digits.c_str());
      line += " " + digits + (random.up_to(2) == 0 ? "/5" : "");
    }
    const std::string text = padded(line + "\n");
    FaceLayout layout;
    ASSERT_TRUE(layout.learn(text.data() + 8)) << line;
    ASSERT_TRUE(layout.fits(text.data() + 8)) << line;
    std::array<int, 4> corners;
    layout.read(text.data() + 8, corners.data());
    for (std::size_t k = 0; k < 3; ++k) ASSERT_EQ(corners[k], counts[k] - 1) << line;
  }
}

TEST(ObjFaceLayout, IsOfTrianglesWithPlainCornersAlone) {
  for (const std::string& line :
       {std::string("f 1 2\n"), std::string("f 1 2 3 4\n"), std::string("f 1 2 -3\n"),
        std::string("f 1 2 123456789\n"), std::string("f 1\t2 3\n"), std::string("f 1 2 3 # x\n"),
        std::string("f 1 2 3 \\\n"), std::string("f 1 2 x\n"), std::string("fo 1 2 3\n"),
        std::string("f 1 2 /3\n"), "f 1 2 3" + std::string(90, ' ') + "\n"}) {
    const std::string text = padded(line);
    FaceLayout layout;
    EXPECT_FALSE(layout.learn(text.data() + 8)) << line;
    EXPECT_FALSE(layout.fits(text.data() + 8)) << line;
  }
}

/// Places on a raster, as they are written to four digits, all different.
std::vector<Place> raster(int side) {
  std::vector<Place> places;
  for (int i = 0; i < side * side * side; ++i) {
    places.push_back({0.25 * (i % side), 0.5 * (i / side % side), -1.0 * (i / side / side)});
    for (double& number : places.back()) number += 0.0;
  }
  return places;
}

bool none_equal(const std::vector<Place>& places, std::size_t expected) {
  DuplicateFilter filter(expected);
  for (const Place& place : places) filter.add(place.data(), 1);
  return filter.none_equal(places.front().data(), places.size());
}

TEST(DuplicateFilter, TellsThatAllAreDifferent) {
  for (const int side : {1, 7, 40}) {
    const auto places = raster(side);
    EXPECT_TRUE(none_equal(places, places.size())) << side;
  }
  // Mirrored to either side: places that differ in signs alone.
  std::vector<Place> mirrored;
  for (const Place& place : raster(30)) {
    for (int signs = 0; signs < 8; ++signs) {
      Place other = {place[0] + 1, place[1] + 1, place[2] - 1};
      for (std::size_t k = 0; k < 3; ++k) other[k] *= (signs >> k & 1) != 0 ? -1 : 1;
      mirrored.push_back(other);
    }
  }
  EXPECT_TRUE(none_equal(mirrored, mirrored.size()));
}

TEST(DuplicateFilter, NeverTakesEqualOnesForDifferent) {
  const auto places = raster(20);
  Random random;
  const int last = static_cast<int>(places.size()) - 1;
  for (const std::size_t expected : {std::size_t{0}, std::size_t{100}, places.size()}) {
    for (int i = 0; i < 60; ++i) {
      auto changed = places;
      const int at = random.up_to(last - 1);
      changed[static_cast<std::size_t>(at)] =
          changed[static_cast<std::size_t>(at + 1 + random.up_to(last - at - 1))];
      EXPECT_FALSE(none_equal(changed, expected)) << i;
    }
  }
  EXPECT_FALSE(none_equal(std::vector<Place>(50000, Place{1, 2, 3}), 50000));
}

}  // namespace
}  // namespace trueblank::intake
