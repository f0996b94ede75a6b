// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <span>
#include <vector>

#include "notebook/learning.h"
#include "notebook/learning_trials.h"

// Which causes are worth naming, where all is linear. Inside the room.
namespace trueblank::notebook {

/// Misfit and priors of all trials stacked: misfit(causes) = offset + slopes·causes, in doubts.
class Stacked {
 public:
  /// trials  those that count
  /// causes  k of them, with their priors
  Stacked(std::span<const LinearTrial* const> trials, std::span<const Cause> causes);

  struct Subset {
    std::vector<std::size_t> causes = {};
    Eigen::VectorXd values = {};      ///< one for each
    Eigen::MatrixXd covariance = {};  ///< likewise
    double squares = 0;               ///< of the misfits
    double cost = 0;                  ///< with the priors' squares
  };

  /// The least squares of a choice of causes, the others nil.
  /// noise  what the doubts of the readings are to be multiplied by
  [[nodiscard]] Subset fit(std::vector<std::size_t> causes, double noise = 1) const;

  [[nodiscard]] int readings() const { return static_cast<int>(offset_.size()); }

  [[nodiscard]] int builds() const { return builds_; }

  [[nodiscard]] std::span<const Cause> causes() const { return causes_; }

  /// Of the slopes of two causes, in doubts; 0 where one of them does nothing.
  [[nodiscard]] double cosine(std::size_t a, std::size_t b) const;

 private:
  std::span<const Cause> causes_;
  int builds_ = 0;
  Eigen::VectorXd offset_;
  Eigen::MatrixXd slopes_;
};

struct Selection {
  std::vector<std::size_t> causes = {};  ///< in the order in which they were found
  std::vector<double> chances = {};      ///< likewise
  LearningEnd end = LearningEnd::no_readings;
};

/// See Learned.
[[nodiscard]] Selection select(const Stacked& all, double level);

/// What the doubts fall short of the scatter by: 1 or more.
[[nodiscard]] double noise_of(const Stacked& all, const Stacked::Subset& fit);

/// Causes that would do about as well in place of one of `fit`; with their amounts.
[[nodiscard]] std::vector<Estimate> or_else(const Stacked& all, const Stacked::Subset& fit,
                                            std::size_t in_place_of, double noise);

}  // namespace trueblank::notebook
