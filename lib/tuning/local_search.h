// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <vector>

#include "tuning/problem.h"

// Searches of one problem. Inside the room, as NLopt is.
namespace trueblank::tuning {

struct LocalBest {
  Eigen::VectorXd at = {};
  double objective = 0;
  /// The greatest breach of what must vanish (mm of lever, g) or must not be positive (g, mm,
  /// g·mm per degree).
  double breach = 0;

  [[nodiscard]] bool holds() const { return breach < 1e-4; }
};

/// Downhill by sequential quadratic programming.
/// source  D. Kraft, ACM TOMS 20(3), 262-281, 1994 (SLSQP), as in NLopt
[[nodiscard]] LocalBest local_best(Problem& problem, const Eigen::VectorXd& start);

/// Even starts within the bounds: the first `count` of a Halton sequence, angles and slack from
/// their middle and least.
/// source  J. H. Halton, Numerische Mathematik 2, 84-90, 1960
[[nodiscard]] std::vector<Eigen::VectorXd> even_starts(const Problem& problem, int count);

/// The lowest point that DIRECT-L finds of the objective with every breach as a penalty.
/// source  J. M. Gablonsky & C. T. Kelley, J. Global Optim. 21(1), 27-37, 2001, as in NLopt
[[nodiscard]] Eigen::VectorXd global_start(Problem& problem, int evaluations);

}  // namespace trueblank::tuning
