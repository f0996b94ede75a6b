// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/page.h"

#include <gmock/gmock.h>

#include <cmath>
#include <cstdint>
#include <regex>
#include <string>
#include <vector>

#include "support/bodies.h"

namespace trueblank::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::vector<std::uint8_t> bytes(std::string_view text) { return {text.begin(), text.end()}; }

// RFC 4648, section 10, test vectors.
TEST(Base64, IsThatOfTheStandard) {
  EXPECT_EQ(base64(bytes("")), "");
  EXPECT_EQ(base64(bytes("f")), "Zg==");
  EXPECT_EQ(base64(bytes("fo")), "Zm8=");
  EXPECT_EQ(base64(bytes("foo")), "Zm9v");
  EXPECT_EQ(base64(bytes("foob")), "Zm9vYg==");
  EXPECT_EQ(base64(bytes("fooba")), "Zm9vYmE=");
  EXPECT_EQ(base64(bytes("foobar")), "Zm9vYmFy");
}

std::vector<std::uint8_t> decoded(const std::string& text) {
  const std::string letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::vector<std::uint8_t> out;
  std::uint32_t held = 0;
  int bits = 0;
  for (const char c : text) {
    if (c == '=') break;
    held = held << 6 | static_cast<std::uint32_t>(letters.find(c));
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    out.push_back(static_cast<std::uint8_t>(held >> bits & 0xff));
  }
  return out;
}

// Reads what packed() wrote, as the page does.
struct Unpacked {
  explicit Unpacked(const PackedSkin& skin) : bytes(decoded(skin.base64)) {
    positions.resize(3, skin.vertices);
    for (int k = 0; k < 3; ++k) {
      for (int v = 0; v < skin.vertices; ++v) {
        positions(k, v) = skin.low_mm[k] + (skin.high_mm[k] - skin.low_mm[k]) * number16() / 65535;
      }
    }
    facets.resize(3, skin.facets);
    std::int64_t last = 0;
    for (Eigen::Index i = 0; i < facets.size(); ++i) {
      std::uint64_t coded = 0;
      for (int shift = 0;; shift += 7) {
        const std::uint8_t byte = bytes.at(at++);
        coded |= static_cast<std::uint64_t>(byte & 127) << shift;
        if (byte < 128) break;
      }
      last += static_cast<std::int64_t>(coded >> 1) ^ -static_cast<std::int64_t>(coded & 1);
      facets.data()[i] = static_cast<int>(last);
    }
    for (const std::string& attribute : skin.attributes) read(attribute, skin);
  }

  void read(const std::string& attribute, const PackedSkin& skin) {
    if (attribute == "deviation") {
      for (int v = 0; v < skin.vertices; ++v)
        deviation_mm.push_back(signed16() * skin.deviation_step_mm);
    } else if (attribute == "fine") {
      exact.resize(3, skin.vertices);
      for (int k = 0; k < 3; ++k) {
        const double step = (skin.high_mm[k] - skin.low_mm[k]) / 65535;
        for (int v = 0; v < skin.vertices; ++v) {
          exact(k, v) = positions(k, v) + step * signed16() / 65535;
        }
      }
    } else {
      ADD_FAILURE() << attribute;
    }
  }

  int signed16() { return static_cast<std::int16_t>(number16()); }

  int number16() {
    const int low = bytes.at(at++);
    return low | bytes.at(at++) << 8;
  }

  std::vector<std::uint8_t> bytes;
  std::size_t at = 0;
  Eigen::Matrix3Xd positions;
  Eigen::Matrix3Xi facets;
  std::vector<double> deviation_mm;
  Eigen::Matrix3Xd exact;
};

TEST(PackedSkin, KeepsEveryCornerToAThousandthOfAMillimetreOrTwo) {
  PageSkin skin{.mesh = test_bodies::ellipsoid(80, 10, 12, 60, 40)};
  for (int v = 0; v < skin.mesh.vertex_count(); ++v) {
    skin.deviation_mm.push_back(0.7 * std::sin(0.1 * v));
  }
  const PackedSkin small = packed(skin);
  ASSERT_EQ(small.facets, skin.mesh.facet_count());
  const Unpacked back(small);
  EXPECT_EQ(back.at, back.bytes.size());
  const double place_mm = (small.high_mm - small.low_mm).maxCoeff() / 65535;
  for (int f = 0; f < small.facets; ++f) {
    for (int k = 0; k < 3; ++k) {
      const int was = skin.mesh.facets(k, f);
      const int is = back.facets(k, f);
      EXPECT_LE((back.positions.col(is) - skin.mesh.positions_mm.col(was)).cwiseAbs().maxCoeff(),
                0.51 * place_mm);
      EXPECT_NEAR(back.deviation_mm[static_cast<std::size_t>(is)],
                  skin.deviation_mm[static_cast<std::size_t>(was)], 0.51 * small.deviation_step_mm);
    }
  }
}

// What a page solves with: half a step of 1/65535² of the box is 1.4e-8 mm for a body of 120 mm.
TEST(PackedSkin, ExactKeepsEveryCornerToATenMillionthOfAMillimetre) {
  const geometry::TriangleMesh bodies[] = {
      test_bodies::moved(test_bodies::ellipsoid(150, 10, 12, 60, 40), test_bodies::random_turn(1),
                         {1.0 / 3, -1e3 / 7, 2}),
      test_bodies::shuffled(test_bodies::box(120, 30, 20), 3),
      test_bodies::sheet(80, 20, 7, 5)};  // of no height
  for (const geometry::TriangleMesh& mesh : bodies) {
    const PackedSkin small = packed({.mesh = mesh, .exact = true});
    EXPECT_EQ(small.attributes, std::vector<std::string>{"fine"});
    const Unpacked back(small);
    EXPECT_EQ(back.at, back.bytes.size());
    ASSERT_EQ(back.facets.cols(), mesh.facet_count());
    for (int f = 0; f < mesh.facet_count(); ++f) {
      for (int k = 0; k < 3; ++k) {
        EXPECT_LE((back.exact.col(back.facets(k, f)) - mesh.positions_mm.col(mesh.facets(k, f)))
                      .cwiseAbs()
                      .maxCoeff(),
                  1e-7);
      }
    }
  }
}

TEST(PackedSkin, LeavesOutVerticesThatNoFacetUses) {
  PageSkin skin{.mesh = test_bodies::ellipsoid(80, 10, 12, 20, 10)};
  const int used = skin.mesh.vertex_count();
  skin.mesh.positions_mm.conservativeResize(3, used + 1);
  skin.mesh.positions_mm.col(used) << 1e6, 0, 0;
  const PackedSkin small = packed(skin);
  EXPECT_EQ(small.vertices, used);
  EXPECT_LT(small.high_mm.x(), 1e3);
}

TEST(Page, EscapesWhatAUserWrote) {
  EXPECT_EQ(escaped_html("<a href=\"x\">&'"), "&lt;a href=&quot;x&quot;&gt;&amp;&#39;");
  EXPECT_EQ(escaped_html(std::string_view("a\0b\x1b[31m", 8)), "ab[31m");
  EXPECT_EQ(escaped_in_script("{\"a\": \"</script><!--\"}"),
            "{\"a\": \"\\u003c/script>\\u003c!--\"}");
}

TEST(Page, HoldsItsResultAndNothingThatEndsIt) {
  if (!pages_can_be_written()) GTEST_SKIP() << "a build without the page";
  const std::string title = "x</script></title><b>";
  const std::string html =
      page_html({.verb = "weigh", .title = title, .json = "{\"warnings\": [\"</script>\"]}\n"});
  EXPECT_THAT(html, Not(HasSubstr(title)));
  EXPECT_THAT(html, HasSubstr("\\u003c/script>"));
  // One script element ends for each that begins: two of data and the program.
  const std::regex ends("</script>");
  EXPECT_EQ(std::distance(std::sregex_iterator(html.begin(), html.end(), ends), {}), 3);
  EXPECT_THAT(html, HasSubstr("default-src 'none'"));
  EXPECT_THAT(html, Not(HasSubstr("unsafe")));
}

}  // namespace
}  // namespace trueblank::report
