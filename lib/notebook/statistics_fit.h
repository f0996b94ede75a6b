// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <functional>
#include <optional>

// Least squares with what was known beforehand.
namespace trueblank::notebook {

/// What is left unexplained, each in its own standard deviation, at a choice of parameters; nothing
/// where there is no answer.
using Misfit = std::function<std::optional<Eigen::VectorXd>(const Eigen::VectorXd& at)>;

/// What was known beforehand: each parameter is `mean`, give or take a normal `sd`. An sd of 0
/// stands for nothing known.
struct Prior {
  Eigen::VectorXd mean;
  Eigen::VectorXd sd;
};

struct Fit {
  Eigen::VectorXd at = {};
  /// Of the parameters, for misfits of unit variance: (JᵀJ + diag(1/sd²))⁻¹.
  Eigen::MatrixXd covariance = {};
  double squares = 0;  ///< of the misfits
  double prior_squares = 0;
  bool settled = false;  ///< false too where the parameters can't be told from each other
};

/// misfit(at) = offset + slopes·at, solved in one step by QR of the stacked rows.
///
/// offset (n), slopes (n×k), prior (k); well_determined where n plus the priors known is at least k
/// source  Å. Björck, Numerical Methods for Least Squares Problems, SIAM 1996, sect. 1.4, 2.7
[[nodiscard]] Fit linear_fit(const Eigen::VectorXd& offset, const Eigen::MatrixXd& slopes,
                             const Prior& prior);

/// Gauss-Newton with halved steps, slopes by central differences.
///
/// start   where misfit() has an answer
/// steps   (k) > 0, of the differences
/// source  Björck as above, sect. 9.2
[[nodiscard]] Fit least_squares(const Misfit& misfit, const Eigen::VectorXd& start,
                                const Prior& prior, const Eigen::VectorXd& steps);

/// Slopes of a misfit by central differences, one-sided where one side has no answer, 0 where
/// neither has.
[[nodiscard]] Eigen::MatrixXd slopes_of(const Misfit& misfit, const Eigen::VectorXd& at,
                                        const Eigen::VectorXd& here, const Eigen::VectorXd& steps);

}  // namespace trueblank::notebook
