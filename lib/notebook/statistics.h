// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <vector>

// Figures of few values, and how likely chance alone makes them.
namespace trueblank::notebook {

/// What lies in the middle of some values and how far they spread.
struct Summary {
  int count = 0;
  double median = 0;
  double lower_quartile = 0;
  double upper_quartile = 0;
  double least = 0;
  double greatest = 0;
};

/// The value below which `share` of the values lie: between neighbours where it falls between two,
/// at place share·(n − 1) counted from 0. What spreadsheets call QUARTILE.INC.
///
/// rising  at least one value, in rising order
/// share   0 to 1
/// source  R. Hyndman, Y. Fan, The American Statistician 50(4), 1996, definition 7
[[nodiscard]] double quantile(std::span<const double> rising, double share);

/// Nothing of no values. Quartiles as quantile() has them, so that the median of an even count is
/// the mean of its middle two.
[[nodiscard]] std::optional<Summary> summary(std::vector<double> values);

/// The chance of a sum of squares of `degrees` standard normal numbers above `value`.
///
/// degrees  1 or more; value ≥ 0
[[nodiscard]] double chi_squared_above(double value, int degrees);

/// The chance of a ratio of mean squares above `value`, F distribution.
///
/// degrees  of freedom, above and below the line, 1 or more each; value ≥ 0
[[nodiscard]] double f_above(double value, int above, int below);

/// Of n alike and independent values and one more, the chance that the one more lies between the
/// least and the greatest of the n: (n − 1)/(n + 1), whatever their distribution, ties left out.
/// source  S. Wilks, Annals of Mathematical Statistics 12, 1941 (from memory); by symmetry each of
///         the n + 1 is as likely as any other to be the least or the greatest
[[nodiscard]] double chance_within(int count);

/// Likewise that it is no more than the greatest of the n: n/(n + 1).
[[nodiscard]] double chance_not_above(int count);

}  // namespace trueblank::notebook
