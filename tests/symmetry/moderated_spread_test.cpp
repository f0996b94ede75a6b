// SPDX-License-Identifier: GPL-3.0-or-later
// Spreads of few values, drawn towards each other.
#include "symmetry/moderated_spread.h"

#include <gtest/gtest.h>

#include <random>
#include <vector>

namespace trueblank::symmetry {
namespace {

// Variances of two degrees of freedom each, of places whose true variances are drawn from a known
// prior: it is found again.
TEST(ModeratedSpread, APriorIsFoundAgain) {
  std::mt19937 dice(7);
  constexpr double prior_mm2 = 0.04;
  for (const double freedom : {4.0, 10.0}) {
    std::chi_squared_distribution<double> of_prior(freedom);
    std::chi_squared_distribution<double> of_place(2);
    std::vector<double> variances;
    for (int i = 0; i < 20000; ++i) {
      const double own = prior_mm2 * freedom / of_prior(dice);
      variances.push_back(own * of_place(dice) / 2);
    }
    const SpreadPrior found = spread_prior(variances, 2);
    EXPECT_NEAR(found.freedom, freedom, 0.15 * freedom);
    EXPECT_NEAR(found.variance_mm2, prior_mm2, 0.05 * prior_mm2);
  }
}

TEST(ModeratedSpread, PlacesThatAreAlikeShareOneVariance) {
  std::mt19937 dice(8);
  std::chi_squared_distribution<double> of_place(2);
  std::vector<double> variances;
  for (int i = 0; i < 2000; ++i) variances.push_back(0.01 * of_place(dice) / 2);
  const SpreadPrior found = spread_prior(variances, 2);
  EXPECT_GT(found.freedom, 20);
  EXPECT_NEAR(found.moderated_mm2(0.0001, 2), 0.01, 0.002);
}

TEST(ModeratedSpread, OfFewPlacesNothingIsBorrowed) {
  const SpreadPrior none = spread_prior(std::vector<double>{0.01, 0.02, 0.0}, 2);
  EXPECT_EQ(none.freedom, 0);
  EXPECT_EQ(none.moderated_mm2(0.3, 2), 0.3);
}

}  // namespace
}  // namespace trueblank::symmetry
