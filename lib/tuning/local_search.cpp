// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/local_search.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <nlopt.hpp>
#include <stdexcept>

namespace trueblank::tuning {
namespace {

constexpr int rough_evaluations = 40;
constexpr int fine_evaluations = 150;
constexpr double roughly_relative = 1e-5;
constexpr double settled_relative = 1e-10;
constexpr double roughly_unknown = 1e-4;
constexpr double settled_unknown = 1e-8;  // of a unit of 10 mm or 5 g: well below 0.01 mm or g
constexpr double constraint_tolerance = 1e-7;
constexpr double penalty = 10;

using Vector = std::vector<double>;

Eigen::VectorXd eigen(const double* values, unsigned count) {
  return Eigen::Map<const Eigen::VectorXd>(values, static_cast<Eigen::Index>(count));
}

Vector plain(const Eigen::VectorXd& values) { return {values.begin(), values.end()}; }

double objective(const Vector& at, Vector& slope, void* problem) {
  const Evaluated& value =
      static_cast<Problem*>(problem)->at(eigen(at.data(), static_cast<unsigned>(at.size())));
  if (!slope.empty()) slope = plain(value.objective_slope);
  return value.objective;
}

// NLopt wants the derivatives of constraint i at i·n onwards.
void write_rows(const Eigen::VectorXd& values, const Eigen::MatrixXd& slopes, double* result,
                double* gradient) {
  std::copy(values.begin(), values.end(), result);
  if (gradient == nullptr) return;
  for (Eigen::Index row = 0; row < slopes.rows(); ++row) {
    for (Eigen::Index column = 0; column < slopes.cols(); ++column) {
      *gradient++ = slopes(row, column);
    }
  }
}

void equals(unsigned, double* result, unsigned n, const double* at, double* gradient, void* data) {
  const Evaluated& value = static_cast<Problem*>(data)->at(eigen(at, n));
  write_rows(value.equal, value.equal_slope, result, gradient);
}

void atmosts(unsigned, double* result, unsigned n, const double* at, double* gradient, void* data) {
  const Evaluated& value = static_cast<Problem*>(data)->at(eigen(at, n));
  write_rows(value.atmost, value.atmost_slope, result, gradient);
}

double breach_of(const Evaluated& value) {
  double breach = 0;
  for (const double one : value.equal) breach = std::max(breach, std::abs(one));
  for (const double one : value.atmost) breach = std::max(breach, one);
  return std::isfinite(breach) ? breach : HUGE_VAL;
}

double penalised_call(const Vector& at, Vector&, void* data) {
  return penalised(*static_cast<Problem*>(data),
                   eigen(at.data(), static_cast<unsigned>(at.size())));
}

double radical_inverse(int i, int base) {
  double inverse = 0;
  double part = 1.0 / base;
  for (; i > 0; i /= base, part /= base) inverse += part * (i % base);
  return inverse;
}

}  // namespace

double penalised(Problem& problem, const Eigen::VectorXd& at) {
  const Evaluated& value = problem.at(at);
  double sum = value.objective;
  for (const double one : value.equal) sum += penalty * std::abs(one);
  for (const double one : value.atmost) sum += penalty * std::max(0.0, one);
  return std::isfinite(sum) ? sum : 1e30;
}

LocalBest local_best(Problem& problem, const Eigen::VectorXd& start, Depth depth) {
  const bool rough = depth == Depth::rough;
  LocalBest found{.at = start};
  const Evaluated first = problem.at(start);
  // More that must vanish than there are unknowns: there is nothing to search.
  if (problem.unknowns() > 0 && first.equal.size() <= start.size()) {
    const unsigned n = static_cast<unsigned>(problem.unknowns());
    nlopt::opt search(nlopt::LD_SLSQP, n);
    search.set_lower_bounds(plain(problem.low()));
    search.set_upper_bounds(plain(problem.high()));
    search.set_min_objective(objective, &problem);
    const auto tolerances = [](Eigen::Index count) {
      return Vector(static_cast<std::size_t>(count), constraint_tolerance);
    };
    search.add_equality_mconstraint(equals, &problem, tolerances(first.equal.size()));
    search.add_inequality_mconstraint(atmosts, &problem, tolerances(first.atmost.size()));
    search.set_ftol_rel(rough ? roughly_relative : settled_relative);
    search.set_xtol_abs(rough ? roughly_unknown : settled_unknown);
    search.set_maxeval(rough ? rough_evaluations : fine_evaluations);
    Vector at = plain(start);
    try {
      double least = 0;
      search.optimize(at, least);
    } catch (const nlopt::roundoff_limited&) {
      // As far as it goes: what was reached is judged below.
    } catch (const std::runtime_error&) {
    }
    found.at = eigen(at.data(), n).cwiseMax(problem.low()).cwiseMin(problem.high());
  }
  const Evaluated& last = problem.at(found.at);
  found.objective = last.objective;
  found.breach = breach_of(last);
  return found;
}

Eigen::VectorXd even_start(const Problem& problem, int i) {
  constexpr std::array bases = {2,  3,  5,  7,  11, 13, 17, 19, 23, 29, 31,  37,  41,  43,  47,
                                53, 59, 61, 67, 71, 73, 79, 83, 89, 97, 101, 103, 107, 109, 113};
  Eigen::VectorXd start = problem.low();
  const Eigen::VectorXd room = problem.high() - problem.low();
  for (Eigen::Index k = 0; k < problem.of_design(); ++k) {
    const int base = bases[static_cast<std::size_t>(k) % bases.size()];
    start[k] += room[k] * (i == 0 ? 0.5 : radical_inverse(i, base));
  }
  return start;
}

Eigen::VectorXd global_start(Problem& problem, int evaluations) {
  const unsigned n = static_cast<unsigned>(problem.unknowns());
  nlopt::opt search(nlopt::GN_DIRECT_L, n);
  search.set_lower_bounds(plain(problem.low()));
  search.set_upper_bounds(plain(problem.high()));
  search.set_min_objective(penalised_call, &problem);
  search.set_maxeval(evaluations);
  Vector at = plain((problem.low() + problem.high()) / 2);
  try {
    double least = 0;
    search.optimize(at, least);
  } catch (const std::runtime_error&) {
    // The middle is as good a start as any.
  }
  return eigen(at.data(), n).cwiseMax(problem.low()).cwiseMin(problem.high());
}

}  // namespace trueblank::tuning
