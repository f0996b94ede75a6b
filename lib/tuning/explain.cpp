// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/explain.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "tuning/doubt.h"

namespace trueblank::tuning {
namespace {

constexpr double explains_alone_below = 1.5;
constexpr double explains_alone_at_least = 0.5;  // of what the sheet leaves unexplained

double root_mean_square(const Eigen::VectorXd& values) {
  return values.size() == 0 ? 0 : values.norm() / std::sqrt(static_cast<double>(values.size()));
}

Explained::Change change_of(const water::MayBeOff& parameter, double sigmas, double sd_sigmas) {
  return {.what = parameter.what,
          .unit = parameter.unit,
          .by = sigmas * parameter.sd,
          .sd = sd_sigmas * parameter.sd,
          .sigmas = sigmas};
}

}  // namespace

Explained explain(const Workpiece& lure, const rig::Tolerances& tolerances,
                  const water::RestPose& nominal, const Seen& seen) {
  const Doubt doubt(lure, tolerances, nominal, seen);
  const std::vector<Eigen::Index> all = doubt.all();
  const Eigen::VectorXd off = doubt.most_likely(all);
  const Eigen::MatrixXd slope = doubt.slopes(off);
  const Eigen::Index m = slope.rows();
  const Eigen::MatrixXd inner = slope * slope.transpose() + Eigen::MatrixXd::Identity(m, m);
  const Eigen::MatrixXd gain = inner.ldlt().solve(slope);
  Explained found;
  found.sigmas = off.norm();
  found.misfit = root_mean_square(doubt.misfit(off));
  found.by_sheet = water::lies(lure.cut, doubt.where_seen(), 1, nominal.up);
  found.now = doubt.lies_with(off);
  for (const Eigen::Index i : all) {
    const double left = std::max(0.0, 1 - slope.col(i).dot(gain.col(i)));
    found.changes.push_back(
        change_of(doubt.parameters()[static_cast<std::size_t>(i)], off[i], std::sqrt(left)));
  }
  std::ranges::stable_sort(found.changes, {},
                           [](const Explained::Change& one) { return -std::abs(one.sigmas); });
  const double by_sheet = root_mean_square(doubt.misfit(Eigen::VectorXd::Zero(off.size())));
  for (const Eigen::Index i : all) {
    const Eigen::VectorXd alone = doubt.most_likely({i});
    const double misfit = root_mean_square(doubt.misfit(alone));
    if (misfit >= explains_alone_below) continue;
    if (misfit > (1 - explains_alone_at_least) * by_sheet) continue;
    const double pull = slope.col(i).squaredNorm();
    found.alone.push_back({.change = change_of(doubt.parameters()[static_cast<std::size_t>(i)],
                                               alone[i], 1 / std::sqrt(1 + pull)),
                           .misfit = misfit});
  }
  std::ranges::stable_sort(found.alone, {},
                           [](const Explained::Alone& one) { return std::abs(one.change.sigmas); });
  return found;
}

}  // namespace trueblank::tuning
