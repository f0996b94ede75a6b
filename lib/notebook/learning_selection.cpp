// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/learning_selection.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "notebook/statistics.h"
#include "notebook/statistics_fit.h"

namespace trueblank::notebook {
namespace {

// A cause of which the records tell less than the maker's own tolerances do is not to be named:
// they must at least halve its variance.
constexpr double most_of_prior_variance = 0.5;
constexpr double about_as_well = 2;
constexpr double as_good = 1e-9;  // gains that differ by rounding alone

// Nothing in the water takes water out of the wood.
bool only_more(const Cause& cause) { return cause.kind == CauseKind::water_taken_up_percent; }

bool can_be(const Stacked& all, const Stacked::Subset& fit) {
  for (std::size_t i = 0; i < fit.causes.size(); ++i) {
    if (only_more(all.causes()[fit.causes[i]]) && fit.values[static_cast<Eigen::Index>(i)] < 0) {
      return false;
    }
  }
  return true;
}

bool is_told(const Stacked& all, const Stacked::Subset& fit, std::size_t place) {
  const double prior_sd = all.causes()[fit.causes[place]].prior_sd;
  const Eigen::Index i = static_cast<Eigen::Index>(place);
  return fit.covariance(i, i) <= most_of_prior_variance * prior_sd * prior_sd;
}

std::vector<std::size_t> with(std::vector<std::size_t> causes, std::size_t more) {
  causes.push_back(more);
  return causes;
}

std::vector<std::size_t> without(std::vector<std::size_t> causes, std::size_t place) {
  causes.erase(causes.begin() + static_cast<std::ptrdiff_t>(place));
  return causes;
}

bool contains(const std::vector<std::size_t>& causes, std::size_t one) {
  return std::ranges::find(causes, one) != causes.end();
}

// The chance that a cause that isn't there takes as much off the squares.
double chance_of(const Stacked& all, double gain, const Stacked::Subset& then) {
  const double chance = chi_squared_above(std::max(gain, 0.0), 1);
  const int left = all.readings() - static_cast<int>(then.causes.size());
  const double scatter = then.squares / left;
  if (scatter <= 1) return chance;
  return std::max(chance, f_above(std::max(gain, 0.0) / scatter, 1, left));
}

struct Step {
  std::size_t cause = 0;
  Stacked::Subset then = {};
  double gain = -1;  // none found
  int tried = 0;
};

Step best_step(const Stacked& all, const Stacked::Subset& now,
               const std::vector<std::size_t>& dropped) {
  Step best;
  for (std::size_t i = 0; i < all.causes().size(); ++i) {
    if (contains(now.causes, i) || contains(dropped, i)) continue;
    const Stacked::Subset then = all.fit(with(now.causes, i));
    if (!is_told(all, then, now.causes.size())) continue;
    ++best.tried;
    const double gain = now.cost - then.cost;
    if (!can_be(all, then) || gain <= best.gain * (1 + as_good)) continue;
    best.cause = i;
    best.then = then;
    best.gain = gain;
  }
  return best;
}

// What an earlier cause stood for may be told better by a later one.
void drop_needless(const Stacked& all, double level, Selection& selected,
                   std::vector<std::size_t>& dropped) {
  while (selected.causes.size() > 1) {
    const Stacked::Subset now = all.fit(selected.causes);
    std::size_t least = 0;
    double least_rise = -1;
    for (std::size_t i = 0; i + 1 < selected.causes.size(); ++i) {  // the last was just found
      const double rise = all.fit(without(selected.causes, i)).cost - now.cost;
      if (least_rise >= 0 && rise >= least_rise) continue;
      least = i;
      least_rise = rise;
    }
    if (chi_squared_above(std::max(least_rise, 0.0), 1) <= level) return;
    dropped.push_back(selected.causes[least]);
    selected.causes = without(selected.causes, least);
    selected.chances.erase(selected.chances.begin() + static_cast<std::ptrdiff_t>(least));
  }
}

}  // namespace

Stacked::Stacked(std::span<const LinearTrial* const> trials, std::span<const Cause> causes)
    : causes_(causes), builds_(static_cast<int>(trials.size())) {
  Eigen::Index n = 0;
  for (const LinearTrial* trial : trials) n += trial->offset.size();
  offset_.resize(n);
  slopes_.resize(n, static_cast<Eigen::Index>(causes.size()));
  Eigen::Index row = 0;
  for (const LinearTrial* trial : trials) {
    const Eigen::Index rows = trial->offset.size();
    offset_.segment(row, rows) = trial->offset_in_doubts;
    slopes_.middleRows(row, rows) = trial->slopes_in_doubts;
    row += rows;
  }
}

Stacked::Subset Stacked::fit(std::vector<std::size_t> causes, double noise) const {
  const Eigen::Index k = static_cast<Eigen::Index>(causes.size());
  Eigen::MatrixXd slopes(slopes_.rows(), k);
  Prior prior{.mean = Eigen::VectorXd::Zero(k), .sd = Eigen::VectorXd(k)};
  for (Eigen::Index i = 0; i < k; ++i) {
    const std::size_t cause = causes[static_cast<std::size_t>(i)];
    slopes.col(i) = slopes_.col(static_cast<Eigen::Index>(cause));
    prior.sd[i] = causes_[cause].prior_sd;
  }
  const Fit found = linear_fit(offset_ / noise, slopes / noise, prior);
  return {.causes = std::move(causes),
          .values = found.at,
          .covariance = found.covariance,
          .squares = found.squares,
          .cost = found.squares + found.prior_squares};
}

double Stacked::cosine(std::size_t a, std::size_t b) const {
  const auto one = slopes_.col(static_cast<Eigen::Index>(a));
  const auto other = slopes_.col(static_cast<Eigen::Index>(b));
  const double lengths = one.norm() * other.norm();
  return lengths > 0 ? one.dot(other) / lengths : 0;
}

Selection select(const Stacked& all, double level) {
  Selection selected;
  if (all.readings() == 0) return selected;
  const int most = std::min(all.builds(), all.readings()) - 1;
  std::vector<std::size_t> dropped;
  while (static_cast<int>(selected.causes.size()) < most) {
    const Step step = best_step(all, all.fit(selected.causes), dropped);
    selected.end = LearningEnd::nothing_more;
    if (step.gain < 0) return selected;
    const double chance = std::min(1.0, step.tried * chance_of(all, step.gain, step.then));
    if (chance > level) return selected;
    selected.causes.push_back(step.cause);
    selected.chances.push_back(chance);
    drop_needless(all, level, selected, dropped);
  }
  selected.end = LearningEnd::no_more_fit;
  return selected;
}

double noise_of(const Stacked& all, const Stacked::Subset& fit) {
  const int left = all.readings() - static_cast<int>(fit.causes.size());
  return left > 0 ? std::sqrt(std::max(1.0, fit.squares / left)) : 1;
}

std::vector<Estimate> or_else(const Stacked& all, const Stacked::Subset& fit,
                              std::size_t in_place_of, double noise) {
  std::vector<Estimate> found;
  for (std::size_t i = 0; i < all.causes().size(); ++i) {
    if (contains(fit.causes, i)) continue;
    const Stacked::Subset other = all.fit(with(without(fit.causes, in_place_of), i), noise);
    if (other.cost - fit.cost > about_as_well || !can_be(all, other)) continue;
    const Eigen::Index last = other.values.size() - 1;
    if (!is_told(all, other, static_cast<std::size_t>(last))) continue;
    found.push_back({i, other.values[last], std::sqrt(other.covariance(last, last))});
  }
  return found;
}

}  // namespace trueblank::notebook
