// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/statistics.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/complement.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <cstddef>

namespace trueblank::notebook {

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

double chi_squared_above(double value, int degrees) {
  return cdf(complement(boost::math::chi_squared_distribution<double>(degrees), value));
}

double f_above(double value, int above, int below) {
  return cdf(complement(boost::math::fisher_f_distribution<double>(above, below), value));
}

double chance_within(int count) { return static_cast<double>(count - 1) / (count + 1); }

double chance_not_above(int count) { return static_cast<double>(count) / (count + 1); }

}  // namespace trueblank::notebook
