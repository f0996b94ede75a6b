// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/learning_trials.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "notebook/statistics_fit.h"
#include "water/sensitivity.h"

namespace trueblank::notebook {
namespace {

// Two readings of one figure of one build differ by their own doubts alone; were these next to
// nothing beside the build's scatter, rounding would make up what they say.
constexpr double least_of_scatter = 1e-4;

// A doubt of nil would leave no room for anything else.
double stated(const std::optional<double>& sd, double otherwise) {
  return sd && *sd > 0 ? *sd : otherwise;
}

// The readings of one build, as they are come upon.
class Gathered {
 public:
  Gathered(BuildReadings& into, const Foretelling& foretelling, std::span<const double> causes)
      : into_(into), foretelling_(foretelling), causes_(causes) {}

  void take_to(const rig::Water& water, std::int64_t record) {
    record_ = record;
    into_.waters.push_back(water);
    foretold_ = foretelling_.figures(into_.build, water, causes_);
    other_pose_ = false;
  }

  [[nodiscard]] const std::optional<double>& foretold(Figure figure) const {
    return of(foretold_, figure);
  }

  void lies_otherwise() { other_pose_ = true; }

  void add(Figure figure, double read, double sd) {
    const std::optional<double>& foretold = of(foretold_, figure);
    if (!foretold) return;
    const bool angle = figure == Figure::tail_down_deg || figure == Figure::list_deg;
    into_.readings.push_back({.reading = {.build = into_.build,
                                          .tank_record = record_,
                                          .figure = figure,
                                          .read = read,
                                          .sd = sd,
                                          .foretold = *foretold,
                                          .other_pose = angle && other_pose_},
                              .water = into_.waters.size() - 1});
  }

 private:
  BuildReadings& into_;
  const Foretelling& foretelling_;
  std::span<const double> causes_;
  FigureSet foretold_ = {};
  std::int64_t record_ = 0;
  bool other_pose_ = false;
};

bool far_from(Figure figure, const std::optional<double>& read,
              const std::optional<double>& foretold) {
  return read && foretold && std::abs(apart(figure, *read, *foretold)) > water::rolls_beyond_deg;
}

void add_state(BuildReadings& found, const TankRecord& record, const Gathered& gathered) {
  const std::optional<double>& mass_g = gathered.foretold(Figure::mass_g);
  const std::optional<double>& reserve_g = gathered.foretold(Figure::reserve_g);
  if (!record.state || !mass_g || !reserve_g) return;
  const water::State foretold = water::state_of(*mass_g, *reserve_g);
  if (*record.state == water::State::suspends || foretold == water::State::suspends) return;
  ++found.states;
  if (foretold == *record.state) return;
  found.wrong_states.push_back({.build = found.build,
                                .tank_record = record.number,
                                .read = *record.state,
                                .foretold = foretold});
}

void add_record(BuildReadings& found, const TankRecord& record, Gathered& gathered,
                const LearningOptions& options) {
  gathered.take_to(record.water, record.number);
  if (far_from(Figure::tail_down_deg, record.tail_down_deg,
               gathered.foretold(Figure::tail_down_deg)) ||
      far_from(Figure::list_deg, record.list_deg, gathered.foretold(Figure::list_deg))) {
    gathered.lies_otherwise();
  }
  add_state(found, record, gathered);
  if (record.sank_with_g) {
    // Lead loses in water what it displaces (Archimedes).
    const double in_water = 1 - record.water.density_g_cm3 / options.lead_density_g_cm3;
    gathered.add(Figure::reserve_g, in_water * *record.sank_with_g,
                 in_water * stated(record.sank_sd_g, options.sank_sd_g));
  }
  if (record.tail_down_deg) {
    gathered.add(Figure::tail_down_deg, *record.tail_down_deg,
                 stated(record.tail_down_sd_deg, options.angle_sd_deg));
  }
  if (record.list_deg) {
    gathered.add(Figure::list_deg, *record.list_deg,
                 stated(record.list_sd_deg, options.angle_sd_deg));
  }
  if (record.mass_before_g) {
    gathered.add(Figure::mass_g, *record.mass_before_g, options.weighed_sd_g);
  }
  if (record.mass_before_g && record.mass_after_g) {
    gathered.add(Figure::soak_gain_g, *record.mass_after_g - *record.mass_before_g,
                 std::numbers::sqrt2 * options.weighed_sd_g);
  }
}

Trial trial_of(BuildReadings&& found, const Foretelling& foretelling) {
  Trial trial{.build = found.build, .waters = std::move(found.waters)};
  for (WetReading& one : found.readings) {
    if (!one.reading.other_pose) trial.readings.push_back(one);
  }
  const Eigen::Index n = static_cast<Eigen::Index>(trial.readings.size());
  if (n == 0) return trial;
  const FigureScatter scatter = scatter_of(foretelling, trial.build);
  const auto figure = [&](Eigen::Index i) {
    return static_cast<Eigen::Index>(trial.readings[static_cast<std::size_t>(i)].reading.figure);
  };
  trial.doubt.resize(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) trial.doubt(i, j) = scatter(figure(i), figure(j));
    const double sd = std::max(trial.readings[static_cast<std::size_t>(i)].reading.sd,
                               least_of_scatter * std::sqrt(trial.doubt(i, i)));
    trial.doubt(i, i) += sd * sd;
  }
  trial.lower = trial.doubt.llt().matrixL();
  return trial;
}

}  // namespace

double apart(Figure figure, double one, double other) {
  if (figure == Figure::list_deg) return std::remainder(one - other, 360);
  return one - other;
}

FigureSet figures_at(const Foretelling& foretelling, std::size_t build, const rig::Water& water,
                     const Eigen::VectorXd& causes) {
  return foretelling.figures(build, water,
                             {causes.data(), static_cast<std::size_t>(causes.size())});
}

FigureScatter scatter_of(const Foretelling& foretelling, std::size_t build) {
  return foretelling.scatter ? foretelling.scatter(build) : FigureScatter(FigureScatter::Zero());
}

double Reading::off() const { return apart(figure, read, foretold); }

BuildReadings readings_of(std::size_t place, const ListedBuild& build,
                          const Foretelling& foretelling, std::span<const double> causes,
                          const LearningOptions& options) {
  BuildReadings found{.build = place};
  Gathered gathered(found, foretelling, causes);
  if (build.facts.as_built && build.facts.as_built->total_g) {
    gathered.take_to(TankRecord{}.water, 0);
    gathered.add(Figure::mass_g, *build.facts.as_built->total_g, options.weighed_sd_g);
  }
  for (const TankRecord& record : build.tank) add_record(found, record, gathered, options);
  return found;
}

std::optional<Eigen::VectorXd> Trial::off(const Foretelling& foretelling,
                                          const Eigen::VectorXd& causes) const {
  std::vector<FigureSet> foretold;
  for (const rig::Water& water : waters) {
    foretold.push_back(figures_at(foretelling, build, water, causes));
  }
  Eigen::VectorXd off(static_cast<Eigen::Index>(readings.size()));
  Eigen::Index row = 0;
  for (const WetReading& one : readings) {
    const std::optional<double>& figure = of(foretold[one.water], one.reading.figure);
    if (!figure) return {};
    off[row++] = apart(one.reading.figure, one.reading.read, *figure);
  }
  return off;
}

Eigen::MatrixXd Trial::in_doubts(const Eigen::MatrixXd& rows) const {
  return lower.triangularView<Eigen::Lower>().solve(rows);
}

std::vector<Trial> trials_of(std::span<const ListedBuild> builds, const Foretelling& foretelling,
                             std::size_t causes, const LearningOptions& options) {
  const std::vector<double> none(causes, 0.0);
  std::vector<Trial> trials;
  for (std::size_t i = 0; i < builds.size(); ++i) {
    Trial trial = trial_of(readings_of(i, builds[i], foretelling, none, options), foretelling);
    if (!trial.readings.empty()) trials.push_back(std::move(trial));
  }
  return trials;
}

std::vector<LinearTrial> linear(std::span<const Trial> trials, const Foretelling& foretelling,
                                std::span<const Cause> causes, const Eigen::VectorXd& at) {
  Eigen::VectorXd steps(at.size());
  for (Eigen::Index i = 0; i < steps.size(); ++i) {
    steps[i] = slope_step * causes[static_cast<std::size_t>(i)].prior_sd;
  }
  std::vector<LinearTrial> all;
  for (const Trial& trial : trials) {
    const Misfit off = [&](const Eigen::VectorXd& with) { return trial.off(foretelling, with); };
    // What was read is foretold by the sheet at least.
    const std::optional<Eigen::VectorXd> there = off(at);
    const Eigen::VectorXd from = there ? at : Eigen::VectorXd(Eigen::VectorXd::Zero(at.size()));
    const Eigen::VectorXd here = there ? *there : off(from).value();
    LinearTrial found;
    found.slopes = slopes_of(off, from, here, steps);
    found.offset = here - found.slopes * from;
    found.offset_in_doubts = trial.in_doubts(found.offset);
    found.slopes_in_doubts = trial.in_doubts(found.slopes);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace trueblank::notebook
