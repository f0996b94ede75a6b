// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/moderated_spread.h"

#include <boost/math/special_functions/digamma.hpp>
#include <boost/math/special_functions/polygamma.hpp>
#include <boost/math/special_functions/trigamma.hpp>
#include <cmath>
#include <limits>
#include <vector>

namespace trueblank::symmetry {

namespace {

using boost::math::digamma;
using boost::math::trigamma;

// The x > 0 at which trigamma is `value`, > 0, by Newton's method on 1/trigamma, which is nearly
// straight and convex: every step stays on one side.
double trigamma_inverse(double value) {
  double x = 0.5 + 1 / value;
  constexpr int most_steps = 60;
  for (int step = 0; step < most_steps; ++step) {
    const double here = trigamma(x);
    const double move = here * (1 - here / value) / boost::math::polygamma(2, x);
    x += move;
    if (std::abs(move) < 1e-9 * x) break;
  }
  return x;
}

}  // namespace

double SpreadPrior::moderated_mm2(double own_mm2, double own_freedom) const {
  if (std::isinf(freedom)) return variance_mm2;
  return (freedom * variance_mm2 + own_freedom * own_mm2) / (freedom + own_freedom);
}

SpreadPrior spread_prior(std::span<const double> variances_mm2, double freedom) {
  std::vector<double> logs;
  const double own_mean = digamma(freedom / 2) - std::log(freedom / 2);
  for (const double variance : variances_mm2) {
    if (variance > 0) logs.push_back(std::log(variance) - own_mean);
  }
  constexpr std::size_t least_places = 3;
  if (logs.size() < least_places) return {};
  const double count = static_cast<double>(logs.size());
  double mean = 0;
  for (const double one : logs) mean += one / count;
  double spread = 0;
  for (const double one : logs) spread += (one - mean) * (one - mean) / (count - 1);
  const double beyond = spread - trigamma(freedom / 2);
  if (!(beyond > 0)) return {std::exp(mean), std::numeric_limits<double>::infinity()};
  const double half = trigamma_inverse(beyond);
  return {std::exp(mean + digamma(half) - std::log(half)), 2 * half};
}

}  // namespace trueblank::symmetry
