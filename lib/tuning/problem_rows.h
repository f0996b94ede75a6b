// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>
#include <vector>

#include "tuning/problem.h"

// What a problem gathers at one point. Inside the room.
namespace trueblank::tuning {

// One unit of each scaled unknown: steps that change a lure about alike.
inline constexpr double angle_unit_deg = 10;
inline constexpr double place_unit_mm = 10;
inline constexpr double mass_unit_g = 5;

/// A row for each thing asked.
struct Problem::Rows {
  Eigen::Index unknowns;
  double objective = 0;
  Eigen::RowVectorXd objective_slope;
  std::vector<double> equal = {};
  std::vector<Eigen::RowVectorXd> equal_slope = {};
  std::vector<double> atmost = {};
  std::vector<Eigen::RowVectorXd> atmost_slope = {};

  explicit Rows(Eigen::Index n) : unknowns(n), objective_slope(Eigen::RowVectorXd::Zero(n)) {}

  [[nodiscard]] Eigen::RowVectorXd nil() const { return Eigen::RowVectorXd::Zero(unknowns); }

  void must_vanish(double value, Eigen::RowVectorXd slope) {
    equal.push_back(value);
    equal_slope.push_back(std::move(slope));
  }

  void must_not_be_positive(double value, Eigen::RowVectorXd slope) {
    atmost.push_back(value);
    atmost_slope.push_back(std::move(slope));
  }

  static Eigen::MatrixXd matrix(const std::vector<Eigen::RowVectorXd>& rows, Eigen::Index n) {
    Eigen::MatrixXd made(static_cast<Eigen::Index>(rows.size()), n);
    for (std::size_t i = 0; i < rows.size(); ++i) made.row(static_cast<Eigen::Index>(i)) = rows[i];
    return made;
  }

  static Eigen::VectorXd vector(const std::vector<double>& values) {
    return Eigen::Map<const Eigen::VectorXd>(values.data(),
                                             static_cast<Eigen::Index>(values.size()));
  }
};

}  // namespace trueblank::tuning
