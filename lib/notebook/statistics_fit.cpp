// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/statistics_fit.h"

#include <Eigen/Dense>

namespace trueblank::notebook {
namespace {

constexpr int most_rounds = 100;
constexpr int most_halvings = 30;
constexpr double settled_below = 1e-6;  // of a step, in the parameters' own doubt

// What the priors leave unexplained, a row for each that is known.
struct PriorRows {
  Eigen::VectorXd offset;
  Eigen::MatrixXd slopes;
};

PriorRows rows_of(const Prior& prior) {
  const Eigen::Index k = prior.sd.size();
  const Eigen::Index known = (prior.sd.array() > 0).count();
  PriorRows rows{.offset = Eigen::VectorXd(known), .slopes = Eigen::MatrixXd::Zero(known, k)};
  Eigen::Index row = 0;
  for (Eigen::Index i = 0; i < k; ++i) {
    if (!(prior.sd[i] > 0)) continue;
    rows.slopes(row, i) = 1 / prior.sd[i];
    rows.offset[row++] = -prior.mean[i] / prior.sd[i];
  }
  return rows;
}

}  // namespace

Fit linear_fit(const Eigen::VectorXd& offset, const Eigen::MatrixXd& slopes, const Prior& prior) {
  const Eigen::Index n = offset.size();
  const Eigen::Index k = slopes.cols();
  if (k == 0) return {.squares = offset.squaredNorm(), .settled = true};
  const PriorRows known = rows_of(prior);
  Eigen::MatrixXd all(n + known.slopes.rows(), k);
  all << slopes, known.slopes;
  Eigen::VectorXd target(all.rows());
  target << -offset, -known.offset;
  // Columns of one length, so that the rank does not hang on the parameters' units.
  Eigen::VectorXd lengths = all.colwise().norm().transpose();
  for (double& length : lengths) {
    if (!(length > 0)) length = 1;
  }
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(all * lengths.cwiseInverse().asDiagonal());
  Fit fit;
  fit.settled = qr.rank() == k;
  fit.at = lengths.cwiseInverse().asDiagonal() * qr.solve(target);
  fit.covariance = Eigen::MatrixXd::Zero(k, k);
  if (fit.settled) {
    const Eigen::MatrixXd inverse =
        qr.matrixR().topLeftCorner(k, k).triangularView<Eigen::Upper>().solve(
            Eigen::MatrixXd::Identity(k, k));
    Eigen::MatrixXd back = qr.colsPermutation() * inverse;
    back = lengths.cwiseInverse().asDiagonal() * back;
    fit.covariance = back * back.transpose();
  }
  fit.squares = (offset + slopes * fit.at).squaredNorm();
  fit.prior_squares = (known.offset + known.slopes * fit.at).squaredNorm();
  return fit;
}

Eigen::MatrixXd slopes_of(const Misfit& misfit, const Eigen::VectorXd& at,
                          const Eigen::VectorXd& here, const Eigen::VectorXd& steps) {
  Eigen::MatrixXd slopes = Eigen::MatrixXd::Zero(here.size(), at.size());
  for (Eigen::Index i = 0; i < at.size(); ++i) {
    Eigen::VectorXd low = at;
    Eigen::VectorXd high = at;
    low[i] -= steps[i];
    high[i] += steps[i];
    const std::optional<Eigen::VectorXd> below = misfit(low);
    const std::optional<Eigen::VectorXd> above = misfit(high);
    if (!below && !above) continue;
    const double apart = (above ? high[i] : at[i]) - (below ? low[i] : at[i]);
    slopes.col(i) = (above.value_or(here) - below.value_or(here)) / apart;
  }
  return slopes;
}

Fit least_squares(const Misfit& misfit, const Eigen::VectorXd& start, const Prior& prior,
                  const Eigen::VectorXd& steps) {
  const PriorRows known = rows_of(prior);
  const auto prior_squares = [&](const Eigen::VectorXd& at) {
    return (known.offset + known.slopes * at).squaredNorm();
  };
  Fit fit;
  fit.at = start;
  std::optional<Eigen::VectorXd> here = misfit(start);
  if (!here) return fit;
  for (int round = 0; round < most_rounds; ++round) {
    const Eigen::MatrixXd slopes = slopes_of(misfit, fit.at, *here, steps);
    const Fit next = linear_fit(*here - slopes * fit.at, slopes, prior);
    fit.covariance = next.covariance;
    fit.squares = here->squaredNorm();
    fit.prior_squares = prior_squares(fit.at);
    if (!next.settled) return fit;
    Eigen::VectorXd step = next.at - fit.at;
    // (step/doubt)², the doubts' correlations taken into account.
    const double far = (slopes * step).squaredNorm() + (known.slopes * step).squaredNorm();
    if (far <= settled_below * settled_below) {
      fit.settled = true;
      return fit;
    }
    bool better = false;
    for (int halving = 0; halving < most_halvings; ++halving, step /= 2) {
      const Eigen::VectorXd there = fit.at + step;
      const std::optional<Eigen::VectorXd> left = misfit(there);
      if (!left) continue;
      if (left->squaredNorm() + prior_squares(there) >= fit.squares + fit.prior_squares) continue;
      fit.at = there;
      here = left;
      better = true;
      break;
    }
    // No step goes down any more: as far down as rounding lets one see.
    if (!better) {
      fit.settled = far < 1e-4;
      return fit;
    }
  }
  return fit;
}

}  // namespace trueblank::notebook
