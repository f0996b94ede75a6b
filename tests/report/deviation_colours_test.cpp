// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/deviation_colours.h"

#include <gtest/gtest.h>

#include <cmath>

namespace trueblank::report {
namespace {

double brightness(const Rgb& c) { return 0.299 * c[0] + 0.587 * c[1] + 0.114 * c[2]; }

// Source: ColorBrewer PuOr, 11 classes (colorbrewer.org): the middle and both ends.
TEST(DeviationColour, HasThePublishedMiddleAndEnds) {
  EXPECT_EQ(deviation_colour(0, 0.5), (Rgb{0xF7, 0xF7, 0xF7}));
  EXPECT_EQ(deviation_colour(0.5, 0.5), (Rgb{0x7F, 0x3B, 0x08}));
  EXPECT_EQ(deviation_colour(-0.5, 0.5), (Rgb{0x2D, 0x00, 0x4B}));
  EXPECT_EQ(deviation_colour(0.1, 0.5), (Rgb{0xFE, 0xE0, 0xB6}));
  EXPECT_EQ(deviation_colour(-0.3, 0.5), (Rgb{0x80, 0x73, 0xAC}));
}

TEST(DeviationColour, IsTheEndColourBeyondTheScale) {
  EXPECT_EQ(deviation_colour(7, 0.5), deviation_colour(0.5, 0.5));
  EXPECT_EQ(deviation_colour(-7, 0.5), deviation_colour(-0.5, 0.5));
}

TEST(DeviationColour, DarkensSteadilyToBothSides) {
  for (const double sign : {1.0, -1.0}) {
    double last = 256;
    for (int i = 0; i <= 100; ++i) {
      const double now = brightness(deviation_colour(sign * 0.01 * i, 1));
      EXPECT_LE(now, last) << sign * 0.01 * i;
      last = now;
    }
  }
}

TEST(DeviationColour, TellsTheSignFarFromWhite) {
  const Rgb proud = deviation_colour(0.5, 1);
  const Rgb shy = deviation_colour(-0.5, 1);
  EXPECT_GT(proud[0], proud[2] + 50);  // brown: red well above blue
  EXPECT_GT(shy[2], shy[0] + 20);      // purple: blue above red
}

TEST(ColourScale, IsTheNextOf125AtLeastTwiceP95) {
  EXPECT_DOUBLE_EQ(colour_scale_mm(0.05), 0.1);
  EXPECT_DOUBLE_EQ(colour_scale_mm(0.051), 0.2);
  EXPECT_DOUBLE_EQ(colour_scale_mm(0.12), 0.5);
  EXPECT_DOUBLE_EQ(colour_scale_mm(0.3), 1);
  EXPECT_DOUBLE_EQ(colour_scale_mm(3), 10);
}

TEST(ColourScale, NeverFallsToRounding) {
  EXPECT_DOUBLE_EQ(colour_scale_mm(0), 0.01);
  EXPECT_DOUBLE_EQ(colour_scale_mm(1e-15), 0.01);
}

TEST(DeviationColours, MadeUpSkinIsGrey) {
  const std::vector<double> deviation = {0.5, 0};
  const std::vector<std::uint8_t> measured = {1, 0};
  const std::vector<Rgb> colours = deviation_colours(deviation, measured, 0.5);
  ASSERT_EQ(colours.size(), 2U);
  EXPECT_EQ(colours[0], deviation_colour(0.5, 0.5));
  EXPECT_EQ(colours[1], made_up_grey);
  EXPECT_EQ(mended_colours(measured), (std::vector<Rgb>{plain_wood, made_up_grey}));
}

TEST(ColourLegend, NamesSignsScaleAndWhoseColoursTheyAre) {
  EXPECT_EQ(colour_legend(0.2),
            "deviation: brown +0.2 mm proud, white 0 true, purple -0.2 mm shy, grey made up; "
            "colours: ColorBrewer PuOr, Cynthia A. Brewer");
}

}  // namespace
}  // namespace trueblank::report
