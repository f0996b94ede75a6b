// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/doubt.h"

#include <Eigen/Dense>

namespace trueblank::tuning {
namespace {

constexpr int most_rounds = 30;
constexpr double slope_step = 0.2;  // of a standard deviation
constexpr double settled = 1e-4;

}  // namespace

Eigen::MatrixXd Doubt::slopes(const Eigen::VectorXd& off) const {
  const Eigen::Index n = off.size();
  Eigen::MatrixXd slopes;
  for (Eigen::Index i = 0; i < n; ++i) {
    Eigen::VectorXd less = off;
    Eigen::VectorXd more = off;
    less[i] -= slope_step;
    more[i] += slope_step;
    const Eigen::VectorXd slope = (misfit(more) - misfit(less)) / (2 * slope_step);
    if (i == 0) slopes.resize(slope.size(), n);
    slopes.col(i) = slope;
  }
  return slopes;
}

Eigen::VectorXd Doubt::most_likely(const std::vector<Eigen::Index>& which) const {
  Eigen::VectorXd off = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(parameters_.size()));
  const auto cost = [&](const Eigen::VectorXd& at) {
    return at.squaredNorm() + misfit(at).squaredNorm();
  };
  double least = cost(off);
  for (int round = 0; round < most_rounds; ++round) {
    Eigen::MatrixXd slope = slopes(off);
    Eigen::MatrixXd moving = Eigen::MatrixXd::Zero(slope.rows(), slope.cols());
    for (const Eigen::Index i : which) moving.col(i) = slope.col(i);
    const Eigen::Index m = moving.rows();
    const Eigen::MatrixXd inner = moving * moving.transpose() + Eigen::MatrixXd::Identity(m, m);
    const Eigen::VectorXd next =
        -moving.transpose() * inner.ldlt().solve(misfit(off) - moving * off);
    Eigen::VectorXd step = next - off;
    bool better = false;
    for (int halving = 0; halving < 8; ++halving, step /= 2) {
      const double there = cost(off + step);
      if (there >= least) continue;
      off += step;
      least = there;
      better = true;
      break;
    }
    if (!better || step.norm() < settled) break;
  }
  return off;
}

std::vector<Eigen::Index> Doubt::all() const {
  std::vector<Eigen::Index> all;
  for (std::size_t i = 0; i < parameters_.size(); ++i) all.push_back(static_cast<Eigen::Index>(i));
  return all;
}

}  // namespace trueblank::tuning
