// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/learning.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>

#include "notebook/learning_selection.h"
#include "notebook/learning_trials.h"
#include "notebook/statistics_fit.h"

namespace trueblank::notebook {
namespace {

constexpr int most_rounds = 5;
constexpr double alike_from = 0.98;
constexpr double doubtful_beyond = 3.5;

Stacked stacked(const std::vector<LinearTrial>& trials, std::span<const Cause> causes) {
  std::vector<const LinearTrial*> all;
  all.reserve(trials.size());
  for (const LinearTrial& trial : trials) all.push_back(&trial);
  return {all, causes};
}

// The causes that are chosen, as a vector of all.
Eigen::VectorXd spread(const Eigen::VectorXd& values, const std::vector<std::size_t>& causes,
                       std::size_t count) {
  Eigen::VectorXd all = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(count));
  for (std::size_t i = 0; i < causes.size(); ++i) {
    all[static_cast<Eigen::Index>(causes[i])] = values[static_cast<Eigen::Index>(i)];
  }
  return all;
}

// The chosen causes without taking anything to be linear.
Eigen::VectorXd refined(std::span<const Trial> trials, const Foretelling& foretelling,
                        std::span<const Cause> causes, const std::vector<std::size_t>& chosen) {
  const Eigen::Index k = static_cast<Eigen::Index>(chosen.size());
  if (k == 0) return Eigen::VectorXd::Zero(static_cast<Eigen::Index>(causes.size()));
  Prior prior{.mean = Eigen::VectorXd::Zero(k), .sd = Eigen::VectorXd(k)};
  for (Eigen::Index i = 0; i < k; ++i) {
    prior.sd[i] = causes[chosen[static_cast<std::size_t>(i)]].prior_sd;
  }
  const Misfit misfit = [&](const Eigen::VectorXd& values) -> std::optional<Eigen::VectorXd> {
    const Eigen::VectorXd all = spread(values, chosen, causes.size());
    std::vector<double> rows;
    for (const Trial& trial : trials) {
      const std::optional<Eigen::VectorXd> off = trial.off(foretelling, all);
      if (!off) return {};
      const Eigen::VectorXd in_doubts = trial.in_doubts(*off);
      rows.insert(rows.end(), in_doubts.begin(), in_doubts.end());
    }
    return Eigen::Map<const Eigen::VectorXd>(rows.data(), static_cast<Eigen::Index>(rows.size()));
  };
  const Fit fit = least_squares(misfit, Eigen::VectorXd::Zero(k), prior,
                                Eigen::VectorXd(slope_step * prior.sd));
  return spread(fit.at, chosen, causes.size());
}

void tell_named(const Stacked& all, const Selection& selected, Learned& learned) {
  const std::size_t count = all.causes().size();
  const double noise = noise_of(all, all.fit(selected.causes));
  const Stacked::Subset fit = all.fit(selected.causes, noise);
  const Eigen::Index k = static_cast<Eigen::Index>(count);
  learned.scatter = noise;
  learned.values.assign(count, 0);
  learned.covariance = Eigen::MatrixXd::Zero(k, k);
  for (std::size_t i = 0; i < selected.causes.size(); ++i) {
    const Eigen::Index at = static_cast<Eigen::Index>(i);
    const std::size_t cause = selected.causes[i];
    learned.values[cause] = fit.values[at];
    for (std::size_t j = 0; j < selected.causes.size(); ++j) {
      learned.covariance(static_cast<Eigen::Index>(cause),
                         static_cast<Eigen::Index>(selected.causes[j])) =
          fit.covariance(at, static_cast<Eigen::Index>(j));
    }
    learned.named.push_back({.found = {cause, fit.values[at], std::sqrt(fit.covariance(at, at))},
                             .chance = selected.chances[i],
                             .or_else = or_else(all, fit, i, noise)});
  }
  learned.squares_before = all.fit({}).squares;
  learned.squares_after = fit.squares * noise * noise;
}

void tell_all(const Stacked& all, Learned& learned) {
  std::vector<std::size_t> every;
  for (std::size_t i = 0; i < all.causes().size(); ++i) every.push_back(i);
  const Stacked::Subset fit = all.fit(every, learned.scatter);
  const Eigen::VectorXd sds = fit.covariance.diagonal().cwiseSqrt();
  for (std::size_t i = 0; i < every.size(); ++i) {
    const Eigen::Index at = static_cast<Eigen::Index>(i);
    learned.all.push_back({i, fit.values[at], sds[at]});
    for (std::size_t j = i + 1; j < every.size(); ++j) {
      if (std::abs(all.cosine(i, j)) > alike_from) learned.alike.push_back({i, j});
    }
  }
  learned.all_correlation =
      sds.cwiseInverse().asDiagonal() * fit.covariance * sds.cwiseInverse().asDiagonal();
}

void tell_doubtful(std::span<const Trial> trials, const Foretelling& foretelling,
                   Learned& learned) {
  const Eigen::VectorXd at = Eigen::Map<const Eigen::VectorXd>(
      learned.values.data(), static_cast<Eigen::Index>(learned.values.size()));
  for (const Trial& trial : trials) {
    const std::optional<Eigen::VectorXd> off = trial.off(foretelling, at);
    for (Eigen::Index i = 0; off && i < off->size(); ++i) {
      if (std::abs((*off)[i]) <= doubtful_beyond * std::sqrt(trial.doubt(i, i))) continue;
      Reading reading = trial.readings[static_cast<std::size_t>(i)].reading;
      reading.foretold = reading.read - (*off)[i];
      learned.doubtful.push_back(reading);
    }
  }
}

// How a figure answers to each cause that has a doubt, at what was learnt; a step is one doubt.
Eigen::RowVectorXd slopes_of_figure(const Learned& learned, const Foretelling& foretelling,
                                    std::size_t build, const rig::Water& water,
                                    std::size_t figure) {
  const Eigen::Index k = static_cast<Eigen::Index>(learned.values.size());
  const Eigen::VectorXd at = Eigen::Map<const Eigen::VectorXd>(learned.values.data(), k);
  Eigen::RowVectorXd slopes = Eigen::RowVectorXd::Zero(k);
  for (const Named& one : learned.named) {
    const Eigen::Index i = static_cast<Eigen::Index>(one.found.cause);
    Eigen::VectorXd low = at;
    Eigen::VectorXd high = at;
    low[i] -= one.found.sd;
    high[i] += one.found.sd;
    const std::optional<double> below = figures_at(foretelling, build, water, low)[figure];
    const std::optional<double> above = figures_at(foretelling, build, water, high)[figure];
    if (below && above) slopes[i] = (*above - *below) / (2 * one.found.sd);
  }
  return slopes;
}

}  // namespace

std::vector<Cause> causes_of(std::span<const ListedBuild> builds,
                             const rig::Tolerances& tolerances) {
  std::map<std::string, int> woods;
  for (const ListedBuild& build : builds) {
    if (!build.tank.empty()) ++woods[build.facts.figures.wood];
  }
  std::vector<Cause> causes = {
      {.kind = CauseKind::scale_percent, .prior_sd = tolerances.scale_percent}};
  for (const auto& [wood, count] : woods) {
    if (count < 2) continue;
    causes.push_back({.kind = CauseKind::wood_density_percent,
                      .wood = wood,
                      .prior_sd = tolerances.wood_density_percent});
  }
  if (causes.size() == 1) {
    causes.push_back(
        {.kind = CauseKind::wood_density_percent, .prior_sd = tolerances.wood_density_percent});
  }
  causes.push_back(
      {.kind = CauseKind::water_taken_up_percent, .prior_sd = water_taken_up_sd_percent});
  causes.push_back({.kind = CauseKind::hook_mass_g, .prior_sd = tolerances.mass_g});
  std::erase_if(causes, [](const Cause& one) { return !(one.prior_sd > 0); });
  return causes;
}

Comparison compare(std::span<const ListedBuild> builds, const Foretelling& foretelling,
                   std::span<const double> causes, const LearningOptions& options) {
  Comparison comparison;
  for (std::size_t i = 0; i < builds.size(); ++i) {
    const BuildReadings found = readings_of(i, builds[i], foretelling, causes, options);
    for (const WetReading& one : found.readings) comparison.readings.push_back(one.reading);
    comparison.states += found.states;
    comparison.wrong_states.insert(comparison.wrong_states.end(), found.wrong_states.begin(),
                                   found.wrong_states.end());
  }
  return comparison;
}

Learned learn(std::span<const ListedBuild> builds, std::span<const Cause> causes,
              const Foretelling& foretelling, const LearningOptions& options) {
  const std::vector<Trial> trials = trials_of(builds, foretelling, causes.size(), options);
  Eigen::VectorXd at = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(causes.size()));
  std::vector<LinearTrial> near = linear(trials, foretelling, causes, at);
  Selection selected = select(stacked(near, causes), options.level);
  for (int round = 0; round < most_rounds && !selected.causes.empty(); ++round) {
    at = refined(trials, foretelling, causes, selected.causes);
    near = linear(trials, foretelling, causes, at);
    const Selection again = select(stacked(near, causes), options.level);
    const bool same = again.causes == selected.causes;
    selected = again;
    if (same) break;
  }
  const Stacked all = stacked(near, causes);
  Learned learned;
  learned.builds = all.builds();
  learned.readings = all.readings();
  learned.end = selected.end;
  tell_named(all, selected, learned);
  tell_all(all, learned);
  tell_doubtful(trials, foretelling, learned);
  return learned;
}

std::vector<Expected> expected(const Learned& learned, const Foretelling& foretelling,
                               std::size_t build, const rig::Water& water) {
  const Eigen::Index k = static_cast<Eigen::Index>(learned.values.size());
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(k);
  const Eigen::VectorXd named = Eigen::Map<const Eigen::VectorXd>(learned.values.data(), k);
  const FigureSet by_sheet = figures_at(foretelling, build, water, none);
  const FigureSet with_named = figures_at(foretelling, build, water, named);
  const FigureScatter scatter = scatter_of(foretelling, build);
  std::vector<Expected> found;
  for (std::size_t i = 0; i < figure_kinds; ++i) {
    if (!by_sheet[i] || !with_named[i]) continue;
    const Eigen::RowVectorXd slopes = slopes_of_figure(learned, foretelling, build, water, i);
    const Eigen::Index at = static_cast<Eigen::Index>(i);
    const double own = learned.scatter * learned.scatter * scatter(at, at);
    const double of_causes = (slopes * learned.covariance * slopes.transpose()).value();
    found.push_back({.figure = static_cast<Figure>(i),
                     .by_sheet = *by_sheet[i],
                     .learned = *with_named[i],
                     .sd = std::sqrt(own + of_causes)});
  }
  return found;
}

}  // namespace trueblank::notebook
