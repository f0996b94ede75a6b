// SPDX-License-Identifier: GPL-3.0-or-later
// The tail of the χ² distribution by the finite sums for whole degrees of freedom (M. Abramowitz,
// I. Stegun, Handbook of Mathematical Functions, 1964, 26.4.4 and 26.4.5), that of the F
// distribution by the continued fraction of the incomplete beta function (NIST Digital Library of
// Mathematical Functions, 8.17.22), worked from its front (W. Lentz, Applied Optics 15, 1976). From
// memory; the tests hold both to another library.
#include "notebook/statistics.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace trueblank::notebook {
namespace {

constexpr int most_terms = 10000;  // some √(degrees of freedom) do

// So that a fraction over it stays finite.
double not_nil(double value) {
  constexpr double least = 1e-300;
  return std::abs(value) < least ? least : value;
}

// The coefficient of the fraction's term `j`, from 1.
double beta_coefficient(int j, double a, double b, double x) {
  const int half = j / 2;  // rounded down
  const double m = half;
  if (j % 2 == 0) return m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
  return -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
}

double beta_fraction(double a, double b, double x) {
  double upper = 1;
  double lower = 0;
  double product = 1;
  for (int j = 1; j < most_terms; ++j) {
    const double coefficient = beta_coefficient(j, a, b, x);
    lower = 1 / not_nil(1 + coefficient * lower);
    upper = not_nil(1 + coefficient / upper);
    product *= upper * lower;
    if (std::abs(upper * lower - 1) <= std::numeric_limits<double>::epsilon()) break;
  }
  return 1 / product;
}

// The regularized incomplete beta function I_x(a, b); y = 1 − x is given, so that it keeps its
// digits.
double incomplete_beta(double a, double b, double x, double y) {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incomplete_beta(b, a, y, x);
  const double front = std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) +
                                a * std::log(x) + b * std::log(y));
  return front * beta_fraction(a, b, x) / a;
}

}  // namespace

double quantile(std::span<const double> rising, double share) {
  const double place = share * static_cast<double>(rising.size() - 1);
  const std::size_t below = static_cast<std::size_t>(place);
  const std::size_t above = std::min(below + 1, rising.size() - 1);
  return rising[below] + (place - static_cast<double>(below)) * (rising[above] - rising[below]);
}

std::optional<Summary> summary(std::vector<double> values) {
  if (values.empty()) return {};
  std::ranges::sort(values);
  return Summary{.count = static_cast<int>(values.size()),
                 .median = quantile(values, 0.5),
                 .lower_quartile = quantile(values, 0.25),
                 .upper_quartile = quantile(values, 0.75),
                 .least = values.front(),
                 .greatest = values.back()};
}

MeanAndDeviation mean_and_deviation(std::span<const double> values) {
  const double count = static_cast<double>(values.size());
  const double first = values.front();
  double sum = 0;
  for (const double value : values) sum += value - first;
  const double mean = sum / count;
  double squares = 0;
  double rest = 0;  // nil but for rounding, which it takes away again
  for (const double value : values) {
    const double off = (value - first) - mean;
    squares += off * off;
    rest += off;
  }
  MeanAndDeviation found{.mean = first + mean};
  if (values.size() > 1) {
    found.standard_deviation = std::sqrt((squares - rest * rest / count) / (count - 1));
  }
  return found;
}

double chi_squared_above(double value, int degrees) {
  const double half = value / 2;
  const bool even = degrees % 2 == 0;
  double sum = even ? 0 : std::erfc(std::sqrt(half));
  for (int term = 0; term < degrees / 2; ++term) {
    const double power = even ? term : term + 0.5;
    if (half == 0) {  // 0 to the power 0 is 1, and its logarithm none
      sum += power == 0 ? 1 : 0;
      continue;
    }
    sum += std::exp(power * std::log(half) - half - std::lgamma(power + 1));
  }
  return std::min(sum, 1.0);
}

double f_above(double value, int above, int below) {
  const double whole = below + above * value;
  return incomplete_beta(below / 2.0, above / 2.0, below / whole, above * value / whole);
}

double chance_within(int count) { return static_cast<double>(count - 1) / (count + 1); }

double chance_not_above(int count) { return static_cast<double>(count) / (count + 1); }

}  // namespace trueblank::notebook
