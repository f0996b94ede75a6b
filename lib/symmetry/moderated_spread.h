// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>

// Inside the room: the spread of few values at one place, made surer by that of all others.
namespace trueblank::symmetry {

/// How the true variances of all places are spread themselves: as `variance_mm2` · `freedom` over a
/// chi square with so many degrees of freedom. Infinite where they are all alike.
struct SpreadPrior {
  double variance_mm2 = 0;
  double freedom = 0;

  /// A place's own variance, of so many degrees of freedom, drawn towards the others'.
  [[nodiscard]] double moderated_mm2(double own_mm2, double own_freedom) const;
};

/// The prior that the variances themselves show, by the mean and the variance of their logarithms.
///
/// variances_mm2  of places, > 0 each (others are left out), each of `freedom` degrees of freedom
/// returns        freedom 0 where fewer than three are left: nothing is borrowed
/// source         G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 3(1), art. 3, 2004, sect. 6.2 (from
///                memory)
[[nodiscard]] SpreadPrior spread_prior(std::span<const double> variances_mm2, double freedom);

}  // namespace trueblank::symmetry
