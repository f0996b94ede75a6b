// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/numbers.h"

#include <gtest/gtest.h>

#include <limits>

namespace trueblank::report {
namespace {

TEST(Fixed, RoundsToTheDecimalsAskedFor) {
  EXPECT_EQ(fixed(165.249, 1), "165.2");
  EXPECT_EQ(fixed(-3.0, 2), "-3.00");
  EXPECT_EQ(fixed(1e22, 0), "10000000000000000000000");
}

TEST(Fixed, NeverShowsMinusNothing) {
  EXPECT_EQ(fixed(-0.0, 1), "0.0");
  EXPECT_EQ(fixed(-0.004, 2), "0.00");
  EXPECT_EQ(fixed(-0.006, 2), "-0.01");
}

TEST(Fixed, ShowsADashWhereThereIsNoNumber) {
  EXPECT_EQ(fixed(std::numeric_limits<double>::quiet_NaN(), 1), "–");
  EXPECT_EQ(fixed(std::numeric_limits<double>::infinity(), 1), "–");
  EXPECT_EQ(fixed(-std::numeric_limits<double>::max(), 1).size(), 312U);
}

TEST(WithSign, PutsOneBeforeAllButNothing) {
  EXPECT_EQ(with_sign(1.25, 2), "+1.25");
  EXPECT_EQ(with_sign(-1.25, 2), "-1.25");
  EXPECT_EQ(with_sign(-0.001, 2), "0.00");
  EXPECT_EQ(with_sign(0.001, 2), "0.00");
  EXPECT_EQ(with_sign(std::numeric_limits<double>::infinity(), 1), "–");
}

TEST(Grouped, PutsASpaceBeforeEveryThreeDigits) {
  EXPECT_EQ(grouped(7LL), "7");
  EXPECT_EQ(grouped(999LL), "999");
  EXPECT_EQ(grouped(33280LL), "33 280");
  EXPECT_EQ(grouped(1000000LL), "1 000 000");
  EXPECT_EQ(grouped(-53218.58, 1), "-53 218.6");
}

TEST(Figures, KeepsTheFiguresThatCount) {
  EXPECT_EQ(figures(0.003456, 3), "0.00346");
  EXPECT_EQ(figures(25.4, 6), "25.4000");
  EXPECT_EQ(figures(35, 3), "35.0");
  EXPECT_EQ(figures(0, 3), "0");
  EXPECT_EQ(figures(12345, 3), "12345");
}

// Source: 1 in = 25.4 mm, 1 oz = 28.349523125 g, exactly (international yard and pound
// agreement, 1959).
TEST(Imperial, StandsBesideAndNeverInstead) {
  EXPECT_EQ(length_text(165.1, 1, {}), "165.1 mm");
  EXPECT_EQ(length_text(165.1, 1, {.imperial = true}), "165.1 mm (6.50 in)");
  EXPECT_EQ(mass_text(28.349523125, {.imperial = true}), "28.3 g (1.000 oz)");
  EXPECT_EQ(mass_text(0.456, {}), "0.46 g");
}

TEST(Percent, IsOfAShare) {
  EXPECT_EQ(percent(0.714), "71 %");
  EXPECT_EQ(percent(0.184, 1), "18.4 %");
}

}  // namespace
}  // namespace trueblank::report
