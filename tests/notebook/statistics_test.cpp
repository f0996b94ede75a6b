// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/statistics.h"

#include <gmock/gmock.h>

#include <cmath>
#include <numbers>
#include <vector>

namespace trueblank::tests {
namespace {

// Source: the example that spreadsheets document for QUARTILE.INC, first quartile 3.5; the others
// by the definition's own formula at place share·7.
TEST(Quartiles, AreASpreadsheets) {
  const auto found = notebook::summary({12, 1, 2, 10, 4, 9, 7, 8});
  ASSERT_TRUE(found);
  EXPECT_EQ(found->count, 8);
  EXPECT_EQ(found->lower_quartile, 3.5);
  EXPECT_EQ(found->median, 7.5);
  EXPECT_EQ(found->upper_quartile, 9.25);
  EXPECT_EQ(found->least, 1);
  EXPECT_EQ(found->greatest, 12);
}

// Source: R's documented default (type 7) for 1:10: 3.25, 5.5, 7.75.
TEST(Quartiles, AreRsDefault) {
  std::vector<double> values = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
  EXPECT_DOUBLE_EQ(notebook::quantile(values, 0.25), 3.25);
  EXPECT_DOUBLE_EQ(notebook::quantile(values, 0.5), 5.5);
  EXPECT_DOUBLE_EQ(notebook::quantile(values, 0.75), 7.75);
  EXPECT_EQ(notebook::quantile(values, 0), 1);
  EXPECT_EQ(notebook::quantile(values, 1), 10);
}

TEST(Quartiles, OfOneValueAreThatValueAndOfNoneNothing) {
  const auto one = notebook::summary({4.25});
  ASSERT_TRUE(one);
  EXPECT_EQ(one->lower_quartile, 4.25);
  EXPECT_EQ(one->median, 4.25);
  EXPECT_EQ(one->upper_quartile, 4.25);
  EXPECT_FALSE(notebook::summary({}));
}

// Source: closed forms: erfc(√(x/2)) for one degree, e^(−x/2) times the first k terms of the series
// of e^(x/2) for 2k.
TEST(ChiSquaredTail, IsThatOfTheClosedForms) {
  for (const double value : {0.0, 1e-6, 0.1, 0.7, 1.0, 3.84, 6.6, 12.0, 40.0, 150.0, 700.0}) {
    const double one = std::erfc(std::sqrt(value / 2));
    EXPECT_NEAR(notebook::chi_squared_above(value, 1), one, 1e-12 * one + 1e-300) << value;
    double term = std::exp(-value / 2);
    double sum = 0;
    for (int k = 1; k <= 15; ++k) {
      sum += term;
      term *= value / 2 / k;
      EXPECT_NEAR(notebook::chi_squared_above(value, 2 * k), sum, 1e-12 * sum + 1e-300)
          << value << " of " << 2 * k;
    }
  }
}

// Source: closed form (1 + 2x/d)^(−d/2) for two and d degrees; F with a and b beyond x is 1 − F
// with b and a beyond 1/x; the square of Student's t of one degree: 1 − 2·atan(t)/π.
TEST(FTail, IsThatOfTheClosedForms) {
  for (const double value : {1e-6, 0.3, 1.0, 2.5, 4.0, 9.0, 60.0}) {
    for (const int below : {1, 2, 3, 5, 12, 40, 300}) {
      const double chance = std::pow(1 + 2 * value / below, -below / 2.0);
      EXPECT_NEAR(notebook::f_above(value, 2, below), chance, 1e-11 * chance) << value << below;
      for (const int above : {1, 3, 7}) {
        EXPECT_NEAR(notebook::f_above(value, above, below),
                    1 - notebook::f_above(1 / value, below, above), 1e-11);
      }
    }
    EXPECT_NEAR(notebook::f_above(value * value, 1, 1), 1 - 2 * std::atan(value) / std::numbers::pi,
                1e-11);
  }
  EXPECT_EQ(notebook::f_above(0, 3, 4), 1);
}

// Source: printed tables: 3.841 and 6.635 for one degree at 5 % and 1 %; 4.965 for 1 and 10.
TEST(Tails, AreThoseOfThePrintedTables) {
  EXPECT_NEAR(notebook::chi_squared_above(3.841, 1), 0.05, 5e-5);
  EXPECT_NEAR(notebook::chi_squared_above(6.635, 1), 0.01, 5e-5);
  EXPECT_NEAR(notebook::f_above(4.965, 1, 10), 0.05, 5e-5);
}

// By counting: of three alike values any is as likely as another to be the middle one, so that one
// in three lies between two others; of seven, one in seven is above six others.
TEST(OneMoreValue, LiesWithinByCounting) {
  EXPECT_DOUBLE_EQ(notebook::chance_within(2), 1.0 / 3);
  EXPECT_DOUBLE_EQ(notebook::chance_within(3), 0.5);
  EXPECT_DOUBLE_EQ(notebook::chance_not_above(6), 6.0 / 7);
}

}  // namespace
}  // namespace trueblank::tests
