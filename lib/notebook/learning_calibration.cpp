// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/learning_calibration.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "notebook/learning_selection.h"
#include "notebook/learning_trials.h"
#include "notebook/statistics.h"

namespace trueblank::notebook {
namespace {

// The trials that were known when trial `own` was foretold.
std::vector<const LinearTrial*> known_then(const std::vector<LinearTrial>& trials, std::size_t own,
                                           KnownThen known) {
  std::vector<const LinearTrial*> found;
  for (std::size_t i = 0; i < trials.size(); ++i) {
    if (i == own || (known == KnownThen::earlier_builds && i > own)) continue;
    found.push_back(&trials[i]);
  }
  return found;
}

// What the others taught.
struct Taught {
  Eigen::VectorXd values;
  Eigen::MatrixXd covariance;
  double noise = 1;
};

Taught taught_by(const std::vector<const LinearTrial*>& others, std::span<const Cause> causes,
                 double level) {
  const Eigen::Index k = static_cast<Eigen::Index>(causes.size());
  Taught taught{.values = Eigen::VectorXd::Zero(k), .covariance = Eigen::MatrixXd::Zero(k, k)};
  const Stacked all(others, causes);
  const Selection selected = select(all, level);
  taught.noise = noise_of(all, all.fit(selected.causes));
  const Stacked::Subset fit = all.fit(selected.causes, taught.noise);
  for (std::size_t i = 0; i < fit.causes.size(); ++i) {
    const Eigen::Index row = static_cast<Eigen::Index>(fit.causes[i]);
    taught.values[row] = fit.values[static_cast<Eigen::Index>(i)];
    for (std::size_t j = 0; j < fit.causes.size(); ++j) {
      taught.covariance(row, static_cast<Eigen::Index>(fit.causes[j])) =
          fit.covariance(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
    }
  }
  return taught;
}

// One line a figure: of several readings the one that was furthest off.
void add_furthest(std::vector<Hindsight>& all, const Hindsight& one) {
  const auto same = std::ranges::find_if(all, [&](const Hindsight& other) {
    return other.build == one.build && other.figure == one.figure;
  });
  if (same == all.end()) {
    all.push_back(one);
  } else if (std::abs(one.off) > std::abs(same->off)) {
    *same = one;
  }
}

Calibration calibration_of(Figure figure, std::span<const Hindsight> last) {
  Calibration found{.figure = figure, .builds = static_cast<int>(last.size())};
  std::vector<double> off;
  for (const Hindsight& one : last) {
    off.push_back(std::abs(one.off));
    found.within = std::max(found.within, std::abs(one.off));
    found.within_by_sheet = std::max(found.within_by_sheet, std::abs(one.off_by_sheet));
    if (std::abs(one.off) <= 2 * one.sd) ++found.held;
  }
  found.median = summary(std::move(off))->median;
  found.chance_next = chance_not_above(found.builds);
  return found;
}

}  // namespace

std::vector<Hindsight> hindsight(std::span<const ListedBuild> builds, std::span<const Cause> causes,
                                 const Foretelling& foretelling, KnownThen known,
                                 const LearningOptions& options) {
  const std::vector<Trial> trials = trials_of(builds, foretelling, causes.size(), options);
  const Learned learned = learn(builds, causes, foretelling, options);
  const Eigen::VectorXd at = Eigen::Map<const Eigen::VectorXd>(
      learned.values.data(), static_cast<Eigen::Index>(learned.values.size()));
  const std::vector<LinearTrial> near = linear(trials, foretelling, causes, at);
  std::vector<Hindsight> all;
  for (std::size_t i = 0; i < trials.size(); ++i) {
    const Taught taught = taught_by(known_then(near, i, known), causes, options.level);
    const std::optional<Eigen::VectorXd> off = trials[i].off(foretelling, taught.values);
    if (!off) continue;
    const Eigen::MatrixXd doubt = taught.noise * taught.noise * trials[i].doubt +
                                  near[i].slopes * taught.covariance * near[i].slopes.transpose();
    std::vector<Hindsight> of_build;
    for (Eigen::Index row = 0; row < off->size(); ++row) {
      const Reading& reading = trials[i].readings[static_cast<std::size_t>(row)].reading;
      add_furthest(of_build, {.build = reading.build,
                              .figure = reading.figure,
                              .off = (*off)[row],
                              .off_by_sheet = reading.off(),
                              .sd = std::sqrt(doubt(row, row))});
    }
    std::ranges::stable_sort(of_build, {}, &Hindsight::figure);
    all.insert(all.end(), of_build.begin(), of_build.end());
  }
  return all;
}

std::vector<Calibration> calibration(std::span<const Hindsight> all, int last) {
  std::vector<Calibration> found;
  for (std::size_t i = 0; i < figure_kinds; ++i) {
    const Figure figure = static_cast<Figure>(i);
    std::vector<Hindsight> of_figure;
    std::ranges::copy_if(all, std::back_inserter(of_figure),
                         [&](const Hindsight& one) { return one.figure == figure; });
    if (of_figure.empty()) continue;
    const std::size_t count = std::min(of_figure.size(), static_cast<std::size_t>(last));
    found.push_back(calibration_of(figure, std::span(of_figure).last(count)));
  }
  return found;
}

}  // namespace trueblank::notebook
