// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/chance.h"

#include <cmath>

namespace trueblank::symmetry {
namespace {

// The continued fraction 1/(1 + d₁/(1 + d₂/(1 + …))) of DLMF 8.17.22, which converges fast for
// x < (a + 1)/(a + b + 2).
double fraction(double x, double a, double b) {
  constexpr double tiny = 1e-300;
  constexpr int most_terms = 10'000;
  const auto no_zero = [](double value) { return std::abs(value) < tiny ? tiny : value; };
  double c = 1;
  double d = 1 / no_zero(1 - (a + b) * x / (a + 1));
  double result = d;
  for (int m = 1; m <= most_terms; ++m) {
    const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / no_zero(1 + even * d);
    c = no_zero(1 + even / c);
    result *= d * c;
    const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / no_zero(1 + odd * d);
    c = no_zero(1 + odd / c);
    const double change = d * c;
    result *= change;
    if (std::abs(change - 1) < 1e-15) break;
  }
  return result;
}

}  // namespace

double incomplete_beta(double x, double a, double b) {
  if (!(x > 0)) return 0;
  if (!(x < 1)) return 1;
  const double front = std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) +
                                a * std::log(x) + b * std::log1p(-x));
  if (x < (a + 1) / (a + b + 2)) return front * fraction(x, a, b) / a;
  return 1 - front * fraction(1 - x, b, a) / b;
}

double chance_of_f(double f, double d1, double d2) {
  if (!(f > 0)) return 1;
  return incomplete_beta(d2 / (d2 + d1 * f), d2 / 2, d1 / 2);
}

double chance_of_t(double t, double freedom) {
  return incomplete_beta(freedom / (freedom + t * t), freedom / 2, 0.5);
}

}  // namespace trueblank::symmetry
