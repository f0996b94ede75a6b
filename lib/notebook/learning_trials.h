// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <vector>

#include "notebook/learning.h"

// What was read of each build, and how far off what was foretold is. Inside the room.
namespace trueblank::notebook {

[[nodiscard]] inline std::optional<double>& of(FigureSet& figures, Figure figure) {
  return figures[static_cast<std::size_t>(figure)];
}

[[nodiscard]] inline const std::optional<double>& of(const FigureSet& figures, Figure figure) {
  return figures[static_cast<std::size_t>(figure)];
}

/// One figure less another of its kind; of lists the short way round.
[[nodiscard]] double apart(Figure figure, double one, double other);

/// Slopes are taken over this much of a cause's prior standard deviation, both ways: wide enough to
/// pass over many facets.
inline constexpr double slope_step = 0.2;

/// Of a vector of causes.
[[nodiscard]] FigureSet figures_at(const Foretelling& foretelling, std::size_t build,
                                   const rig::Water& water, const Eigen::VectorXd& causes);

/// Nil where there is none.
[[nodiscard]] FigureScatter scatter_of(const Foretelling& foretelling, std::size_t build);

/// A reading and the water that it was taken in: its place in BuildReadings::waters.
struct WetReading {
  Reading reading = {};
  std::size_t water = 0;
};

/// All that was read of one build; `foretold` is what its sheet says.
struct BuildReadings {
  std::size_t build = 0;
  std::vector<rig::Water> waters = {};
  std::vector<WetReading> readings = {};
  int states = 0;
  std::vector<WrongState> wrong_states = {};
};

/// With the causes as given.
[[nodiscard]] BuildReadings readings_of(std::size_t place, const ListedBuild& build,
                                        const Foretelling& foretelling,
                                        std::span<const double> causes,
                                        const LearningOptions& options);

/// The readings of one build that can be learnt from: n of them.
struct Trial {
  std::size_t build = 0;
  std::vector<rig::Water> waters = {};
  std::vector<WetReading> readings = {};
  Eigen::MatrixXd doubt = {};  ///< n×n: the readings' own variances and the build's scatter
  Eigen::MatrixXd lower = {};  ///< of its Cholesky factors

  /// Read less foretold; nothing where something that was read is not foretold.
  [[nodiscard]] std::optional<Eigen::VectorXd> off(const Foretelling& foretelling,
                                                   const Eigen::VectorXd& causes) const;

  /// In doubts that are independent of each other and of unit variance.
  [[nodiscard]] Eigen::MatrixXd in_doubts(const Eigen::MatrixXd& rows) const;
};

/// Builds of which nothing can be used are left out.
[[nodiscard]] std::vector<Trial> trials_of(std::span<const ListedBuild> builds,
                                           const Foretelling& foretelling, std::size_t causes,
                                           const LearningOptions& options);

/// A trial near one choice of causes: off(causes) = offset + slopes·causes.
struct LinearTrial {
  Eigen::VectorXd offset = {};  ///< (n)
  Eigen::MatrixXd slopes = {};  ///< n×k
  Eigen::VectorXd offset_in_doubts = {};
  Eigen::MatrixXd slopes_in_doubts = {};
};

/// at  (k); a trial that is not foretold there is told near all causes nil
[[nodiscard]] std::vector<LinearTrial> linear(std::span<const Trial> trials,
                                              const Foretelling& foretelling,
                                              std::span<const Cause> causes,
                                              const Eigen::VectorXd& at);

}  // namespace trueblank::notebook
