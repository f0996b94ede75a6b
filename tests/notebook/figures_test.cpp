// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>

#include "invented_builds.h"
#include "notebook/as_built.h"
#include "notebook/content_hash.h"
#include "notebook/photograph.h"
#include "notebook/toml_text.h"
#include "sheet/toml_string.h"
#include "sheet/toml_tree.h"

// What is read off a photograph or a bench sheet, and how texts and numbers are written.
namespace trueblank::notebook {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

// A lure of `pixels` length whose tail hangs `deg` below level water, in a picture turned by
// `turned_deg`, its nose to the left or to the right. y of a picture points down.
Photograph picture(double deg, double turned_deg, bool nose_left, double pixels = 1000) {
  const auto turned = [&](double along, double down) {
    const double turn = turned_deg * std::numbers::pi / 180;
    return PicturePoint{2000 + along * std::cos(turn) - down * std::sin(turn),
                        1500 + along * std::sin(turn) + down * std::cos(turn)};
  };
  const double tilt = deg * std::numbers::pi / 180;
  const double way = nose_left ? 1 : -1;
  return {.nose = turned(0, 0),
          .tail = turned(way * pixels * std::cos(tilt), pixels * std::sin(tilt)),
          .water_1 = turned(-1500, -20),
          .water_2 = turned(1500, -20)};
}

// Source: the picture is drawn with the angle that is to be found.
TEST(TailDownInAPhotograph, IsTheAngleThatWasDrawn) {
  for (const double deg : {-80.0, -12.5, 0.0, 0.1, 12.0, 45.0, 89.0, 90.0}) {
    for (const double turned_deg : {-50.0, -3.0, 0.0, 7.0, 50.0}) {
      for (const bool nose_left : {true, false}) {
        Photograph photograph = picture(deg, turned_deg, nose_left);
        EXPECT_NEAR(tail_down_in(photograph).deg, deg, 1e-9) << turned_deg << nose_left;
        std::swap(photograph.water_1, photograph.water_2);
        EXPECT_NEAR(tail_down_in(photograph).deg, deg, 1e-9) << turned_deg << nose_left;
      }
    }
  }
}

// Source: the scatter of the angle over drawn markings, against the formula; 4000 draws know a
// standard deviation to 1.1 % (1/√(2n)), and five of those are allowed.
TEST(TailDownInAPhotograph, IsAsUncertainAsTheMarking) {
  std::mt19937_64 dice(60);
  std::normal_distribution<double> marking(0, 3);
  const Photograph exact = picture(12, 5, false, 800);
  const MeasuredAngle measured = tail_down_in(exact, 3);
  double sum = 0;
  double squares = 0;
  constexpr int draws = 4000;
  for (int i = 0; i < draws; ++i) {
    Photograph marked = exact;
    for (PicturePoint* point : {&marked.nose, &marked.tail, &marked.water_1, &marked.water_2}) {
      point->x += marking(dice);
      point->y += marking(dice);
    }
    const double off = tail_down_in(marked).deg - 12;
    sum += off;
    squares += off * off;
  }
  const double sd = std::sqrt(squares / draws - std::pow(sum / draws, 2));
  EXPECT_NEAR(sd / measured.sd_deg, 1, 0.06);
}

TEST(TailDownInAPhotograph, NeedsPointsApartAndWaterAcross) {
  Photograph photograph = picture(12, 0, true);
  photograph.tail = photograph.nose;
  EXPECT_EQ(refusal([&] { (void)tail_down_in(photograph); }),
            "the points of nose and tail in the photograph are the same; mark them as far apart as "
            "the picture allows");
  photograph = picture(12, 0, true);
  photograph.water_2 = photograph.water_1;
  EXPECT_THAT(refusal([&] { (void)tail_down_in(photograph); }), HasSubstr("are the same"));
  EXPECT_EQ(refusal([] { (void)tail_down_in(picture(12, 85, true)); }),
            "the waterline stands 85° steep in the photograph, so that down can't be told; turn "
            "the photograph until the water lies across it");
  photograph = picture(12, 0, true);
  photograph.nose.x = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(refusal([&] { (void)tail_down_in(photograph); }), HasSubstr("is no number"));
}

TEST(AsBuiltFigures, AreReadAsASheetIs) {
  const std::string text =
      "total = \"58.3 g\"\nblank = 31.4\n[[part]]\nname = \"belly\"\nmass = \"1/4 oz\"\n"
      "at = [70, -9]\n[[part]]\nname = \"tail\"\nat = [\"1 in\", 0, -4]\n";
  const AsBuilt built = parse_as_built(text, "a.toml");
  EXPECT_EQ(built.text, text);
  EXPECT_EQ(built.total_g, 58.3);
  EXPECT_EQ(built.blank_g, 31.4);
  ASSERT_EQ(built.parts.size(), 2U);
  EXPECT_EQ(built.parts[0].name, "belly");
  EXPECT_NEAR(*built.parts[0].mass_g, 453.59237 / 64, 1e-12);  // 1 oz = 453.59237 g / 16
  EXPECT_THAT(built.parts[0].at_mm, ElementsAre(70, -9));
  EXPECT_EQ(built.parts[1].mass_g, std::nullopt);
  EXPECT_THAT(built.parts[1].at_mm, ElementsAre(25.4, 0, -4));
  EXPECT_THAT(parse_as_built("total = 20\n", "a.toml").parts, IsEmpty());
}

TEST(AsBuiltFigures, AreRefusedWithTheirPlace) {
  const auto refused = [](const std::string& text) {
    return refusal([&] { (void)parse_as_built(text, "a.toml"); });
  };
  EXPECT_THAT(refused("totl = 20\n"), HasSubstr("a.toml:1:1: unknown key \"totl\""));
  EXPECT_THAT(refused("total = -20\n"), HasSubstr("a.toml:1:9"));
  EXPECT_THAT(refused("[[part]]\nmass = 3\n"), HasSubstr("a.toml:1:1: [[part]] has no name"));
  EXPECT_THAT(refused("[[part]]\nname = \"a\"\nat = [1]\n"), HasSubstr("a.toml:3:6"));
  EXPECT_THAT(refused("part = 3\n"), HasSubstr("a.toml:1:8: part is a number"));
  EXPECT_THAT(refused("part = [3]\n"), HasSubstr("a.toml:1:9: part is a number"));
  EXPECT_THAT(refused("[[part]]\nname = 3\n"), HasSubstr("a.toml:2:8"));
}

// Source: the test vectors published with FNV for the 64-bit FNV-1a ("", "a", "foobar").
TEST(ContentHash, IsFnv1a) {
  EXPECT_EQ(content_hash(""), 0xcbf29ce484222325U);
  EXPECT_EQ(content_hash("a"), 0xaf63dc4c8601ec8cU);
  EXPECT_EQ(content_hash("foobar"), 0x85944171f73967e8U);
}

// Source: Unicode 15.0, table 3-7, and the examples of its section 3.9.
TEST(Utf8, IsWhatUnicodeCallsWellFormed) {
  for (const char* text : {"", "abc", "é", "\xE2\x82\xAC", "\xF0\x90\x8C\x82", "\xEF\xBF\xBF",
                           "\xED\x9F\xBF", "\xEE\x80\x80", "\xF4\x8F\xBF\xBF"}) {
    EXPECT_TRUE(is_utf8(text)) << text;
  }
  for (const char* text : {"\x80", "\xC0\xAF", "\xC1\xBF", "\xE0\x9F\x80", "\xED\xA0\x80",
                           "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xE2\x82", "\xF0\x90\x8C",
                           "a\xC3", "\xC3(", "\xFF", "\xF0\x80\x83\x92"}) {
    EXPECT_FALSE(is_utf8(text)) << text;
  }
}

// Source: the sheet's own TOML reader, which is another's library.
TEST(TomlText, ReadsBackToTheSameNumbersAndTexts) {
  for (const double value : {0.0, 5.0, -0.1, 1e15, 1e16, 9.3e18, 123456789012345680.0, 1e300,
                             5e-324, 1.7976931348623157e308, -2.5e-7, 999999999999999.9}) {
    const sheet::Node tree = sheet::parse_toml("a = " + toml_number(value) + '\n', "a.toml");
    EXPECT_EQ(tree.entries.at(0).value.number, value) << toml_number(value);
  }
  std::string all;
  for (int c = 0; c < 128; ++c) all += static_cast<char>(c);
  const sheet::Node tree = sheet::parse_toml("a = " + sheet::toml_string(all) + '\n', "a.toml");
  EXPECT_EQ(tree.entries.at(0).value.text, all);
  EXPECT_EQ(sheet::toml_string("a\"b\\c\nd\x01"
                               "é"),
            "\"a\\\"b\\\\c\\nd\\u0001é\"");
}

}  // namespace
}  // namespace trueblank::notebook
