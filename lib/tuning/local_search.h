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

/// How far a search goes: until about where it ends is known, or to the last digit that counts.
enum class Depth { rough, fine };

/// Downhill by sequential quadratic programming.
/// source  D. Kraft, ACM TOMS 20(3), 262-281, 1994 (SLSQP), as in NLopt
[[nodiscard]] LocalBest local_best(Problem& problem, const Eigen::VectorXd& start,
                                   Depth depth = Depth::fine);

/// The objective with every breach as a penalty.
[[nodiscard]] double penalised(Problem& problem, const Eigen::VectorXd& at);

/// The `i`-th of even starts within the bounds, angles and slack from their middle and least: of a
/// Halton sequence, the first the middle of all ranges.
/// source  J. H. Halton, Numerische Mathematik 2, 84-90, 1960
[[nodiscard]] Eigen::VectorXd even_start(const Problem& problem, int i);

/// The lowest point that DIRECT-L finds of the objective with every breach as a penalty.
/// source  J. M. Gablonsky & C. T. Kelley, J. Global Optim. 21(1), 27-37, 2001, as in NLopt
[[nodiscard]] Eigen::VectorXd global_start(Problem& problem, int evaluations);

}  // namespace trueblank::tuning
