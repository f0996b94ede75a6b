// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/svg_outline.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "geometry/error.h"

namespace trueblank::intake {
namespace {

constexpr double pi = std::numbers::pi;

// A drawing 100 mm by 50 mm, a unit a millimetre.
std::string drawing(const std::string& shapes) {
  return R"(<?xml version="1.0"?><!-- drawn --><svg xmlns="http://www.w3.org/2000/svg" )"
         R"(width="100mm" height="50mm" viewBox="0 0 100 50">)" +
         shapes + "</svg>\n";
}

SvgOutline read(const std::string& shapes) { return parse_svg_outline(drawing(shapes), "a.svg"); }

std::string refusal(const std::string& text) {
  try {
    (void)parse_svg_outline(text, "a.svg");
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "accepted";
}

// The flattening lies within 0.005 mm, so an outline of 2r·π loses at most that much area a mm.
double flattening_mm2(double around_mm) { return around_mm * svg_flattening_mm; }

TEST(SvgOutline, OfPolygonsHasTheirAreaAndSize) {
  const SvgOutline outline = read(R"(<polygon points="10,10 60,10 60,30 10,30"/>)");
  EXPECT_DOUBLE_EQ(outline.area_mm2, 1000);
  EXPECT_EQ(outline.points_mm.cols(), 4);
  EXPECT_TRUE(outline.sized);
  EXPECT_NEAR(outline.points_mm.row(1).maxCoeff(), -10, 1e-12) << "y up";
  EXPECT_NEAR(outline.points_mm.row(0).minCoeff(), 10, 1e-12);
}

// One rectangle, written in every way that a path knows; the curves are straight ones.
TEST(SvgOutline, OfAPathIsTheSameHoweverItIsWritten) {
  for (const char* d :
       {"M10 10 L60 10 L60 30 L10 30 Z", "M10,10 60,10 60,30 10,30z", "m10 10 50 0 0 20-50 0z",
        "M10 10h50v20h-50z", "M10 10H60V30H10Z", "M10 10h50v20H10", "m 10,10 l 5e1,0 0,+20 -50.0,0",
        "M10 10H60C60 15 60 15 60 20S60 25 60 30L10 30Z", "M10 10Q30 10 60 10L60 30q-9 0-50 0Z",
        "M0 0M10 10h50v20h-50z", "M.5.5.6.5M10 10h50v20h-50z"}) {
    EXPECT_NEAR(read("<path d='" + std::string(d) + "'/>").area_mm2, 1000, 1e-9) << d;
  }
}

// By the integral of their polynomials: between a cubic from (0, 0) by (0, h) and (w, h) to (w, 0)
// and its chord lie 3/5·w·h; between a quadratic whose control point stands h off its chord of w
// and the chord 1/3·w·h.
TEST(SvgOutline, OfACurveHasTheAreaOfItsPolynomial) {
  EXPECT_NEAR(read(R"(<path d="M10 40C10 10 60 10 60 40Z"/>)").area_mm2, 0.6 * 50 * 30,
              flattening_mm2(100));
  EXPECT_NEAR(read(R"(<path d="M10 40Q35 10 60 40Z"/>)").area_mm2, 50 * 30 / 3.0,
              flattening_mm2(100));
}

// Two quadratics that join smoothly: the second is the first turned about where they join, so that
// one lies above its chord as the other lies below.
TEST(SvgOutline, SmoothCurvesReflectTheirControlPoints) {
  const SvgOutline quadratics = read(R"(<path d="M0 25Q25 5 50 25T100 25V50H0Z"/>)");
  EXPECT_NEAR(quadratics.area_mm2, 100 * 25, 1e-6);
  EXPECT_NEAR(quadratics.points_mm.row(1).maxCoeff(), -15, svg_flattening_mm);
  const SvgOutline cubics = read(R"(<path d="M0 25C10 5 40 5 50 25s40 20 50 0V50H0Z"/>)");
  EXPECT_NEAR(cubics.area_mm2, 100 * 25, 1e-6);
}

// Source: π·a·b.
TEST(SvgOutline, OfRoundShapesHasTheirArea) {
  for (const char* shape :
       {R"(<ellipse cx="50" cy="25" rx="40" ry="12"/>)",
        R"(<path d="M10 25A40 12 0 0 1 90 25A40 12 0 0 1 10 25Z"/>)",
        R"(<path d="M10 25a40 12 0 1080 0 40 12 0 10-80 0"/>)",
        R"(<path d="M50 37A12 40 90 1 1 50 13 12 40 90 1 1 50 37"/>)",
        R"(<path d="M10 25A4 1.2 0 0 1 90 25A4 1.2 0 0 1 10 25Z"/>)"}) {  // radii made to reach
    EXPECT_NEAR(read(shape).area_mm2, pi * 40 * 12, flattening_mm2(180)) << shape;
  }
  EXPECT_NEAR(read(R"(<circle cx="5" cy="5" r="20"/>)").area_mm2, pi * 400, flattening_mm2(126));
  EXPECT_NEAR(read(R"(<rect x="1" y="2" width="40" height="20" rx="5"/>)").area_mm2,
              40 * 20 - (4 - pi) * 25, flattening_mm2(32));
  EXPECT_DOUBLE_EQ(read(R"(<rect x="1" y="2" width="40" height="20"/>)").area_mm2, 800);
}

// A quarter of a circle by the small way about and three quarters by the large one, with the chord.
TEST(SvgOutline, ArcsGoTheWayThatTheirFlagsSay) {
  const double quarter = pi * 100 / 4 - 50;
  for (const char* sweep : {"0", "1"}) {
    const auto area = [&](const std::string& large) {
      return read("<path d='M40 25A10 10 0 " + large + " " + sweep + " 50 35Z'/>").area_mm2;
    };
    EXPECT_NEAR(area("0"), quarter, flattening_mm2(16));
    EXPECT_NEAR(area("1"), pi * 100 - quarter, flattening_mm2(48));
  }
}

TEST(SvgOutline, PassesThroughTheTransformsAround) {
  const std::string box = R"(<rect width="4" height="2"/>)";
  EXPECT_NEAR(
      read("<g transform='scale(2)'><g transform='translate(5,5) rotate(30)'>" + box + "</g></g>")
          .area_mm2,
      32, 1e-12);
  // x' = 2x + 3y: its determinant is 2; what stands first is done last.
  EXPECT_NEAR(read("<g transform='matrix(2 0 3 1 7 7)'>" + box + "</g>").area_mm2, 16, 1e-12);
  EXPECT_NEAR(read("<g transform='skewX(30),skewY(0)'>" + box + "</g>").area_mm2, 8, 1e-12);
  const SvgOutline turned =
      read("<rect width='4' height='2' transform='translate(10 20) rotate(90)'/>");
  EXPECT_NEAR(turned.points_mm.row(0).minCoeff(), 8, 1e-12);
  EXPECT_NEAR(turned.points_mm.row(1).minCoeff(), -24, 1e-12);
  const SvgOutline about = read("<rect width='4' height='2' transform='rotate(180 4 2)'/>");
  EXPECT_NEAR(about.points_mm.row(0).minCoeff(), 4, 1e-12);
}

// A box of 10 by 10 units on a page of 100 units.
TEST(SvgOutline, IsAsBigAsThePageSays) {
  const auto side_mm = [](const std::string& page) {
    return std::sqrt(
        parse_svg_outline("<svg " + page + "><rect width='10' height='10'/></svg>", "a").area_mm2);
  };
  const std::string box = " viewBox='0 0 100 100'";
  EXPECT_NEAR(side_mm("width='100mm' height='100mm'" + box), 10, 1e-12);
  EXPECT_NEAR(side_mm("width='20cm' height='20cm'" + box), 20, 1e-12);
  EXPECT_NEAR(side_mm("width='10in'" + box), 25.4, 1e-12);
  EXPECT_NEAR(side_mm("height='720pt'" + box), 25.4, 1e-12);
  EXPECT_NEAR(side_mm("width='960px' height='960'" + box), 25.4, 1e-12);
  EXPECT_NEAR(side_mm("width='100%'" + box), 10 * 25.4 / 96, 1e-12);
  EXPECT_NEAR(side_mm("width='300mm' height='100mm'" + box), 10, 1e-12) << "fitted in whole";
  EXPECT_NEAR(side_mm(""), 10 * 25.4 / 96, 1e-12);
  EXPECT_FALSE(parse_svg_outline("<svg width='9'><circle r='3'/></svg>", "a").sized);
}

TEST(SvgOutline, IsTheGreatestOfThoseDrawn) {
  const SvgOutline outline = read(
      "<defs><rect width='99' height='49'/></defs>"
      "<g style='display: none'><g><rect width='98' height='48'/></g></g>"
      "<rect width='97' height='47' display='none'/><text x='3'>a &lt; b</text>"
      "<rect width='10' height='10'/><path d='M0 0H20V20H0ZM50 0h30v30h-30z'/>"
      "<polyline points='0 0 5 0 5 5'/><line x1='0' x2='9'/>");
  EXPECT_DOUBLE_EQ(outline.area_mm2, 900);
  EXPECT_EQ(outline.outlines, 4);
}

TEST(SvgOutline, RefusesInOneLineWhatItCantUse) {
  EXPECT_EQ(refusal("solid x"), "a.svg: the file is no SVG drawing; export the outline as SVG");
  EXPECT_EQ(refusal("<html></html>"),
            "a.svg: the file is no SVG drawing; export the outline as SVG");
  const std::string whole = drawing("<rect width='10' height='10'/>");
  EXPECT_EQ(refusal(whole), "accepted");
  EXPECT_EQ(refusal(whole.substr(0, whole.size() - 8)),
            "a.svg: the drawing ends before its </svg>; export it again");
  EXPECT_EQ(refusal(drawing("")),
            "a.svg: the drawing has no outline that encloses anything; draw the outline as one "
            "path, polygon, ellipse, circle or rectangle");
  EXPECT_EQ(refusal(drawing("<path d='M0 0L10 0 20 0Z'/>")), refusal(drawing("")));
  for (const char* d : {"10 10", "L10 10", "M10", "M0 0L1 1 2", "M0 0X", "M0 0L1e999 0",
                        "M0 0 nan 1", "M0 0A5 5 0 2 1 3 3", "M0 0Z 5 5", "M0 0,é"}) {
    EXPECT_EQ(refusal(drawing("<path d='" + std::string(d) + "'/>")),
              "a.svg: a <path> of the drawing can't be read; export it again as plain SVG")
        << d;
  }
  EXPECT_EQ(refusal(drawing("<polygon points='1 2 3'/>")),
            "a.svg: a <polygon> of the drawing can't be read; export it again as plain SVG");
  for (const char* t : {"turn(3)", "scale(1 2 3)", "scale(", "rotate(1 2)", "7"}) {
    EXPECT_EQ(refusal(drawing("<g transform='" + std::string(t) + "'/>")),
              "a.svg: a transform of the drawing can't be read; export it again as plain SVG")
        << t;
  }
  EXPECT_EQ(refusal(drawing("<path d='M0 0H1e200V1e200Z'/>")),
            "a.svg: a shape of the drawing reaches beyond a kilometre; remove it, or draw the "
            "outline at its true size");
  std::string deep;
  for (int i = 0; i < 300; ++i) deep += "<g>";
  EXPECT_EQ(refusal(drawing(deep)),
            "a.svg: the drawing has groups within groups more than 256 deep; ungroup the outline");
}

}  // namespace
}  // namespace trueblank::intake
