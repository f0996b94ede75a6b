// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/templates.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "support/bodies.h"

namespace trueblank::report {
namespace {

using symmetry::Point2;

/// The templates of an ellipsoid of the given length, 24 wide, 30 high, about x = length/2.
Templates ellipsoid_templates(double length_mm, Paper paper = Paper::a4) {
  const geometry::ClosedMesh body =
      test_bodies::closed(test_bodies::ellipsoid(length_mm / 2, 12, 15, 120, 120))
          .moved(geometry::Mat3::Identity(), geometry::Vec3(length_mm / 2, 0, 0));
  const std::vector<double> stations = {0.25 * length_mm, 0.5 * length_mm, 0.75 * length_mm};
  return {.title = "Needle",
          .paper = paper,
          .sections = symmetry::half_sections(body, stations),
          .profiles = symmetry::profiles(body)};
}

std::vector<double> numbers_in(const std::string& text) {
  std::vector<double> numbers;
  const char* at = text.data();
  const char* end = at + text.size();
  while (at < end) {
    double value = 0;
    const auto [next, error] = std::from_chars(at, end, value);
    if (error == std::errc()) numbers.push_back(value);
    at = error == std::errc() ? next : at + 1;
  }
  return numbers;
}

/// The value of an attribute, from `from` on.
std::string attribute(const std::string& text, const std::string& name, std::size_t from = 0) {
  const std::size_t start = text.find(' ' + name + "=\"", from);
  if (start == std::string::npos) return {};
  const std::size_t open = text.find('"', start) + 1;
  return text.substr(open, text.find('"', open) - open);
}

/// The points of every line of a class in an SVG, each with its page's shift added.
std::vector<std::vector<Point2>> lines(const std::string& svg, const std::string& name) {
  std::vector<std::vector<Point2>> found;
  std::istringstream rows(svg);
  std::string row;
  double down = 0;
  while (std::getline(rows, row)) {
    if (row.starts_with("<g ")) down = numbers_in(attribute(row, "transform")).back();
    if (row.find("class=\"" + name + "\"") == std::string::npos) continue;
    const std::vector<double> values = numbers_in(attribute(row, "points"));
    found.emplace_back();
    for (std::size_t i = 0; i + 1 < values.size(); i += 2) {
      found.back().emplace_back(values[i], values[i + 1] + down);
    }
  }
  return found;
}

Point2 size_of(const std::vector<Point2>& line) {
  Point2 low = line.front();
  Point2 high = low;
  for (const Point2& p : line) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  return high - low;
}

int count_of(const std::string& text, const std::string& part) {
  int count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++count;
  }
  return count;
}

/// A page as a grey picture, by a general tool.
struct Picture {
  int width = 0;
  int height = 0;
  std::string grey;

  [[nodiscard]] bool dark(int x, int y) const {
    const auto at = static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
    return static_cast<unsigned char>(grey[at + static_cast<std::size_t>(x)]) < 128;
  }

  /// The longest run of dark pixels in a row.
  [[nodiscard]] int longest_run() const {
    int longest = 0;
    for (int y = 0; y < height; ++y) {
      for (int x = 0, run = 0; x < width; ++x) {
        run = dark(x, y) ? run + 1 : 0;
        longest = std::max(longest, run);
      }
    }
    return longest;
  }
};

constexpr int dots_per_inch = 508;  // 20 dots a mm
constexpr double dots_per_mm = 20;

std::vector<Picture> rendered(const std::string& pdf) {
  const std::filesystem::path folder =
      std::filesystem::temp_directory_path() / ("trueblank-pages-" + std::to_string(getpid()));
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "in.pdf", std::ios::binary) << pdf;
  const std::string command = "pdftoppm -aa no -aaVector no -gray -r " +
                              std::to_string(dots_per_inch) + ' ' + (folder / "in.pdf").string() +
                              ' ' + (folder / "page").string();
  EXPECT_EQ(std::system(command.c_str()), 0)  // NOLINT(cert-env33-c): a fixed command
      << "pdftoppm (package poppler-utils) is needed";
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".pgm") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  std::vector<Picture> pages;
  for (const std::filesystem::path& file : files) {
    std::ifstream in(file, std::ios::binary);
    std::string magic;
    int most = 0;
    Picture page;
    in >> magic >> page.width >> page.height >> most;
    in.get();
    page.grey.resize(static_cast<std::size_t>(page.width) * static_cast<std::size_t>(page.height));
    in.read(page.grey.data(), static_cast<std::streamsize>(page.grey.size()));
    EXPECT_TRUE(in && magic == "P5" && most == 255);
    pages.push_back(std::move(page));
  }
  std::filesystem::remove_all(folder);
  return pages;
}

TEST(TemplatesSvg, OneUnitIsOneMillimetre) {
  for (const auto& [paper, width, height] :
       {std::tuple(Paper::a4, 297.0, 210.0), std::tuple(Paper::letter, 279.4, 215.9)}) {
    const std::string svg = templates_svg(ellipsoid_templates(165, paper));
    const int pages = count_of(svg, "<g id=\"page-");
    ASSERT_GT(pages, 0);
    EXPECT_TRUE(attribute(svg, "width").ends_with("mm"));
    EXPECT_TRUE(attribute(svg, "height").ends_with("mm"));
    EXPECT_EQ(numbers_in(attribute(svg, "width")), std::vector{width});
    EXPECT_EQ(numbers_in(attribute(svg, "viewBox")),
              (std::vector{0.0, 0.0, width, numbers_in(attribute(svg, "height")).front()}));
    EXPECT_NEAR(numbers_in(attribute(svg, "height")).front(), pages * height, 1e-9);
  }
}

TEST(TemplatesSvg, HasABarOfFiftyMillimetresOnEachPage) {
  const std::string svg = templates_svg(ellipsoid_templates(320));
  const auto bars = lines(svg, "bar");
  ASSERT_EQ(static_cast<int>(bars.size()), count_of(svg, "<g id=\"page-"));
  for (const auto& bar : bars) EXPECT_EQ(size_of(bar), Point2(50, 0));
  EXPECT_EQ(count_of(svg, "Print at 100 % and measure this bar first."),
            static_cast<int>(bars.size()));
}

// Source: the ellipsoid's own axes; its section at a quarter of the length is √¾ of the greatest.
// The tolerance holds the mesh's chords and a drawing's last digit.
TEST(TemplatesSvg, OutlinesAreAsLargeAsTheBody) {
  const auto cut = lines(templates_svg(ellipsoid_templates(165)), "cut");
  // Side, top, and three cards of an outline and two straight edges each.
  ASSERT_EQ(cut.size(), 2U + 3 * 3);
  EXPECT_LT((size_of(cut[0]) - Point2(165, 30)).norm(), 0.01);
  EXPECT_LT((size_of(cut[1]) - Point2(165, 24)).norm(), 0.01);
  const double quarter = std::sqrt(0.75);
  EXPECT_LT((size_of(cut[2]) - Point2(12, 30) * quarter).norm(), 0.01);
  EXPECT_LT((size_of(cut[5]) - Point2(12, 30)).norm(), 0.01);
  EXPECT_LT((size_of(cut[8]) - Point2(12, 30) * quarter).norm(), 0.01);
}

TEST(TemplatesSvg, TitlesAreEscapedAndCutToThePage) {
  Templates templates = ellipsoid_templates(120);
  templates.title = "a<b & \"c\">\x01\xFF d\xEF\xBF\xBF größer";
  std::string svg = templates_svg(templates);
  EXPECT_NE(svg.find("<title>a&lt;b &amp; \"c\"&gt;?? d? größer</title>"), std::string::npos);
  templates.title = std::string(5000, 'W') + "ß";
  svg = templates_svg(templates);
  EXPECT_NE(svg.find("WWW…</text>"), std::string::npos);
}

TEST(TemplatesSvg, WhatIsLongerThanAPageGoesOverSeveral) {
  const std::string svg = templates_svg(ellipsoid_templates(320));
  EXPECT_EQ(count_of(svg, "part 1 of 2"), 1);
  EXPECT_EQ(count_of(svg, "part 2 of 2"), 1);
  // The letter stands at two crosses on either page.
  EXPECT_EQ(count_of(svg, ">A</text>"), 4);
  // The side's outline is in one piece on neither page; together they are as long as the body and
  // what they have in common: from the first page's last 20 mm.
  const auto cut = lines(svg, "cut");
  double longest_first = 0;
  double longest_second = 0;
  for (const auto& line : cut) {
    if (line.front().y() < 210) {
      longest_first = std::max(longest_first, size_of(line).x());
    } else if (line.front().y() < 420) {
      longest_second = std::max(longest_second, size_of(line).x());
    }
  }
  EXPECT_NEAR(longest_first + longest_second, 320 + 20, 0.02);
}

TEST(TemplatesSvg, WhatIsHigherThanAPageToo) {
  const geometry::ClosedMesh board = test_bodies::closed(test_bodies::box(400, 20, 250));
  const std::string svg =
      templates_svg({.title = "board",
                     .sections = symmetry::half_sections(board, std::vector{0.0}),
                     .profiles = symmetry::profiles(board)});
  // 428 × 278 mm of paper on fields of 277 × 160 mm with 20 mm in common: two by two.
  EXPECT_EQ(count_of(svg, "From the side, part 4 of 4"), 1);
  EXPECT_EQ(count_of(svg, "From above, part 2 of 2"), 1);
  EXPECT_EQ(count_of(svg, "Card at 0 mm, part 2 of 2"), 1);
  EXPECT_EQ(lines(svg, "bar").size(), 4U + 2 + 2);
}

TEST(TemplatesSvg, AnEmptyTargetIsAPageWithItsBar) {
  const std::string svg = templates_svg({.title = "nothing", .sections = {{.x_mm = 10}}});
  EXPECT_EQ(lines(svg, "bar").size(), 1U);
  EXPECT_TRUE(lines(svg, "cut").empty());
}

TEST(TemplatesPdf, IsThePageOfThePaper) {
  // Source: 72 points an inch; letter is 11 × 8½ inches.
  const std::string letter = templates_pdf(ellipsoid_templates(165, Paper::letter));
  EXPECT_TRUE(letter.starts_with("%PDF-1.4\n"));
  EXPECT_NE(letter.find("/MediaBox [0 0 792.0000 612.0000]"), std::string::npos);
  const std::string a4 = templates_pdf(ellipsoid_templates(165));
  EXPECT_NE(a4.find("/MediaBox [0 0 841.8898 595.2756]"), std::string::npos);
}

TEST(TemplatesPdf, EachObjectBeginsWhereItsTableSays) {
  const std::string pdf = templates_pdf(ellipsoid_templates(320));
  const std::size_t table =
      static_cast<std::size_t>(numbers_in(pdf.substr(pdf.find("startxref"))).front());
  std::istringstream rows(pdf.substr(table));
  std::string row;
  std::getline(rows, row);
  ASSERT_EQ(row, "xref");
  std::getline(rows, row);
  const int count = static_cast<int>(numbers_in(row)[1]);
  ASSERT_GT(count, 8);
  std::getline(rows, row);
  for (int i = 1; i < count; ++i) {
    std::getline(rows, row);
    ASSERT_EQ(row.size(), 19U);
    const std::size_t start = std::stoul(row.substr(0, 10));
    EXPECT_EQ(pdf.substr(start, std::to_string(i).size() + 7), std::to_string(i) + " 0 obj\n");
  }
}

TEST(TemplatesPdf, TitlesKeepToTheirStrings) {
  Templates templates = ellipsoid_templates(120);
  templates.title = "a) (b \\ ß – \xF0\x9F\x90\x9F";
  const std::string pdf = templates_pdf(templates);
  EXPECT_NE(pdf.find("(a\\051 \\050b \\134 \\337 \\226 ?) Tj"), std::string::npos);
  // Source: the same title in UTF-16 by another program.
  EXPECT_NE(pdf.find("/Title <FEFF006100290020002800620020005C002000DF002020130020D83DDC1F>"),
            std::string::npos);
}

// Rendered by another program: the longest dark run of a row is the bar, each end to half a dot.
TEST(TemplatesPdf, TheBarMeasuresFiftyMillimetresWhenRendered) {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const Templates templates = ellipsoid_templates(320, paper);
    const std::vector<Picture> pages = rendered(templates_pdf(templates));
    ASSERT_EQ(pages.size(), 3U);
    // The seam's second page has no other level line; cards' edges are shorter than 50 mm.
    EXPECT_NEAR(pages[2].longest_run() / dots_per_mm, 50.0, 0.1);
    const double width_mm = paper == Paper::a4 ? 297 : 279.4;
    EXPECT_NEAR(pages[2].width / dots_per_mm, width_mm, 0.1);
  }
}

// As drawn, so rendered: in the middle of a box's card the dark dots from the straight edge to the
// outline are a half width apart.
TEST(TemplatesPdf, ABoxsHalfWidthMeasuresTheSameWhenRendered) {
  const geometry::ClosedMesh box = test_bodies::closed(test_bodies::box(100, 31.4, 40));
  const Templates templates{.title = "",
                            .sections = symmetry::half_sections(box, std::vector{25.0})};
  const std::vector<Picture> pages = rendered(templates_pdf(templates));
  ASSERT_EQ(pages.size(), 1U);
  // The card stands at the upper left of the page's field; halfway down it, less the axis mark.
  const int row = static_cast<int>((10 + 16 + 13 + 20 - 6) * dots_per_mm);
  const int edge = static_cast<int>(10 * dots_per_mm);
  int first = edge + 40;
  while (first < pages[0].width && !pages[0].dark(first, row)) ++first;
  int last = first;
  while (last < pages[0].width && pages[0].dark(last, row)) ++last;
  EXPECT_NEAR((first + last) / 2.0 - edge, 15.7 * dots_per_mm, 1);
}

TEST(Templates, ComeOutTheSameEachTime) {
  const Templates templates = ellipsoid_templates(320);
  EXPECT_EQ(templates_svg(templates), templates_svg(templates));
  EXPECT_EQ(templates_pdf(templates), templates_pdf(templates));
}

}  // namespace
}  // namespace trueblank::report
