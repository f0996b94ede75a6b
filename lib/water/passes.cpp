// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/passes.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <utility>

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double step_settled_rad = 1e-9;

bool curved_as_a_pass(const Floater& lure, const Curvatures& k) {
  const double nil = curvature_rounding_g_mm(lure);
  return k.soft_g_mm < -nil && k.stiff_g_mm > -nil;
}

}  // namespace

std::optional<Pass> pass_near(const Floater& lure, const Vec3& start, double leash_rad,
                              std::optional<double> start_mm) {
  constexpr int most_steps = 60;
  const double nil = gradient_rounding_g_mm(lure);
  const double rounding = gradient_rounding_g_mm(lure) / 4;
  Stationary here;
  here.up = start;
  here.line = waterline_at(lure, start, start_mm);
  double radius = leash_rad;
  for (int i = 0; i < most_steps && here.line.converged; ++i) {
    here.curvature = curvatures(here.up, here.line.hessian_g_mm);
    const Vec3 slope = slope_across(here.up, here.line);
    const ModelStep step = step_to_pass(model_at(slope, here.curvature), radius);
    const bool level = slope.norm() <= nil || (step.whole && step.length_rad() < step_settled_rad &&
                                               curved_as_a_pass(lure, here.curvature));
    const Vec3 next = turned(here.up, turn_of(step, here.curvature));
    if (angle_between_rad(start, next) > leash_rad) return {};
    const Waterline line = waterline_at(lure, next, foreseen_offset_mm(here.line, here.up, next));
    const double off =
        std::abs(line.energy_g_mm - here.line.energy_g_mm - step.cost_g_mm()) / step.scale_g_mm();
    const bool flatter = slope_across(next, line).norm() < slope.norm();
    if (line.converged && (step.scale_g_mm() <= rounding ? flatter : off <= 0.5)) {
      here.up = next;
      here.line = line;
      if (off < 0.1) radius = std::min(2 * radius, leash_rad);
    } else {
      const bool at_rounding = step.scale_g_mm() <= rounding && slope.norm() <= 1e3 * nil;
      here.converged = level || at_rounding;
      radius = std::min(radius, step.length_rad()) / 4;
      if (radius < 1e-12) break;
    }
    here.converged = here.converged || level;
    if (here.converged) break;
  }
  here.curvature = curvatures(here.up, here.line.hessian_g_mm);
  if (!here.converged || !curved_as_a_pass(lure, here.curvature)) return {};
  return Pass{here, here.curvature.soft_towards, 0};
}

namespace {

// A direction near a start by its amounts along two directions square to it, and what the energy
// does there.
class Patch {
 public:
  Patch(const Floater& lure, const Vec3& start) : lure_(&lure), start_(start) {
    line_ = waterline_at(lure, start);
    const Curvatures k = curvatures(start, line_.hessian_g_mm);
    over_ = k.soft_towards;
    across_ = k.stiff_towards;
  }

  [[nodiscard]] const Vec3& over() const { return over_; }

  [[nodiscard]] const Vec3& up() const { return up_; }

  [[nodiscard]] const Waterline& line() const { return line_; }

  // The energy's slopes (per unit of s and t) where they are the amounts.
  std::pair<double, double> slopes(double s, double t) {
    const Vec3 point = start_ + s * over_ + t * across_;
    up_ = point.normalized();
    line_ = waterline_at(*lure_, up_, line_.offset_mm);
    const Vec3 slope = slope_across(up_, line_) / point.norm();
    return {slope.dot(over_), slope.dot(across_)};
  }

 private:
  const Floater* lure_;
  Vec3 start_;
  Vec3 up_ = start_;
  Vec3 over_;
  Vec3 across_;
  Waterline line_;
};

// Where a function that is below nil at `low` and above it at `high` passes nil, by regula falsi
// with the Illinois rule; the last place asked is the one returned. Nothing where it is not so.
std::optional<double> root_between(double low, double high,
                                   const std::function<double(double)>& value) {
  double at_low = value(low);
  double at_high = value(high);
  if (!(at_low < 0) || !(at_high > 0)) return {};
  int side = 0;
  double middle = low;
  for (int i = 0; i < 100; ++i) {
    const double narrow = 1e-3 * (high - low);
    middle =
        std::clamp(low + (high - low) * at_low / (at_low - at_high), low + narrow, high - narrow);
    if (i % 8 == 7) middle = low + (high - low) / 2;
    const double here = value(middle);
    if (here == 0 || high - low < step_settled_rad) break;
    if (here < 0) {
      low = middle;
      at_low = here;
      if (side == -1) at_high /= 2;
      side = -1;
    } else {
      high = middle;
      at_high = here;
      if (side == 1) at_low /= 2;
      side = 1;
    }
  }
  return middle;
}

}  // namespace

std::optional<Pass> bracketed_pass(const Floater& lure, const Vec3& start, double reach_rad) {
  Patch patch(lure, start);
  bool floored = true;
  double slope_over = 0;
  double last_t = 0;
  const auto fall_over = [&](double s) {
    const std::optional<double> t = root_between(-reach_rad, reach_rad, [&](double at) {
      const std::pair<double, double> slopes = patch.slopes(s, at);
      slope_over = slopes.first;
      return slopes.second;
    });
    floored = floored && t.has_value();
    last_t = t.value_or(0);
    return -slope_over;  // uphill before the pass, downhill behind it
  };
  const std::optional<double> s = root_between(-reach_rad, reach_rad, fall_over);
  if (!s || !floored) return {};
  const auto [over, across] = patch.slopes(*s, last_t);
  Pass pass;
  pass.at.up = patch.up();
  pass.at.line = patch.line();
  pass.at.curvature = curvatures(pass.at.up, pass.at.line.hessian_g_mm);
  pass.at.converged = pass.at.line.converged;
  pass.over = (patch.over() - patch.up().dot(patch.over()) * patch.up()).normalized();
  pass.tolerance_g_mm =
      std::hypot(over, across) * step_settled_rad + gradient_rounding_g_mm(lure) / 4;
  return pass;
}

namespace {

struct Start {
  double energy_g_mm = 0;
  int node = 0;
  Vec3 up;
};

// Where a node's own quadratic model has a pass; nothing where that is further off than 1.5 nodes
// are apart. A direction along which the model is level counts as passed already.
std::optional<Start> model_pass(const EnergyField& field, int i) {
  const Vec3& up = field.grid().node(i);
  const EnergyField::Node& node = field.node(i);
  const Curvatures k = curvatures(up, node.hessian_g_mm);
  if (k.soft_g_mm >= 0) return {};
  const double reach = 1.5 * field.grid().spacing_rad();
  const double g_soft = node.gradient_g_mm.dot(k.soft_towards);
  const double g_stiff = node.gradient_g_mm.dot(k.stiff_towards);
  const double soft = -g_soft / k.soft_g_mm;
  double stiff = k.stiff_g_mm > 0 ? -g_stiff / k.stiff_g_mm : HUGE_VAL;
  if (!(std::abs(stiff) <= reach) && std::abs(g_stiff) * reach < 0.1 * indifferent_within_g_mm) {
    stiff = 0;
  }
  if (!(std::hypot(soft, stiff) <= reach)) return {};
  return Start{node.energy_g_mm + (g_soft * soft + g_stiff * stiff) / 2, i,
               turned(up, soft * k.soft_towards + stiff * k.stiff_towards)};
}

bool near_any(const std::vector<Vec3>& points, const Vec3& up, double within_rad) {
  return std::any_of(points.begin(), points.end(),
                     [&](const Vec3& point) { return angle_between_rad(point, up) < within_rad; });
}

}  // namespace

bool add_pass(std::vector<Pass>& passes, const Pass& pass) {
  for (const Pass& known : passes) {
    if (angle_between_rad(known.at.up, pass.at.up) < same_pose_deg * degree) return false;
  }
  const auto above = [](double energy, const Pass& other) {
    return energy < other.at.line.energy_g_mm;
  };
  passes.insert(std::upper_bound(passes.begin(), passes.end(), pass.at.line.energy_g_mm, above),
                pass);
  return true;
}

std::vector<Pass> search_passes(const Floater& lure, const EnergyField& field,
                                const RestPlaces& places) {
  // On a ridge that is a ring each node shows a pass: enough is enough.
  constexpr int most_tries = 2000;
  std::vector<Start> starts;
  for (int i = 0; i < field.grid().node_count(); ++i) {
    if (const std::optional<Start> start = model_pass(field, i)) starts.push_back(*start);
  }
  std::stable_sort(starts.begin(), starts.end(),
                   [](const Start& a, const Start& b) { return a.energy_g_mm < b.energy_g_mm; });
  std::vector<Pass> passes;
  std::vector<Vec3> known;
  int tries = 0;
  for (const Start& start : starts) {
    if (near_any(known, start.up, 0.3 * degree)) continue;
    if (places.ring_with(start.up, start.energy_g_mm)) continue;
    if (++tries > most_tries) break;
    const double offset_mm = field.foreseen_offset_mm(start.node, start.up);
    const double reach = 2 * field.grid().spacing_rad();
    std::optional<Pass> pass = pass_near(lure, start.up, reach, offset_mm);
    if (!pass || !add_pass(passes, *pass)) continue;
    known.push_back(pass->at.up);
  }
  return passes;
}

namespace {

// Sets of nodes that are joined, each with the place that it holds (−1: none).
class Joined {
 public:
  explicit Joined(int count) : parent_(static_cast<std::size_t>(count)) {
    for (int i = 0; i < count; ++i) parent_[static_cast<std::size_t>(i)] = i;
  }

  int root(int i) {
    while (parent_[static_cast<std::size_t>(i)] != i) {
      int& up = parent_[static_cast<std::size_t>(i)];
      up = parent_[static_cast<std::size_t>(up)];
      i = up;
    }
    return i;
  }

  void join(int from, int into) { parent_[static_cast<std::size_t>(from)] = into; }

 private:
  std::vector<int> parent_;
};

int nearest_node(const SphereGrid& grid, const Vec3& up) {
  const SphereGrid::Spot spot = grid.locate(up);
  int corner = 0;
  spot.weights.maxCoeff(&corner);
  return grid.face(spot.face)[static_cast<std::size_t>(corner)];
}

}  // namespace

std::vector<std::optional<TablePass>> table_passes(const EnergyField& field,
                                                   const std::vector<RestPlace>& places) {
  const SphereGrid& grid = field.grid();
  const int n = grid.node_count();
  std::vector<std::vector<int>> held(static_cast<std::size_t>(n));
  for (std::size_t i = 0; i < places.size(); ++i) {
    held[static_cast<std::size_t>(nearest_node(grid, places[i].at.up))].push_back(
        static_cast<int>(i));
  }
  std::vector<int> rising(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) rising[static_cast<std::size_t>(i)] = i;
  std::stable_sort(rising.begin(), rising.end(), [&](int a, int b) {
    return field.node(a).energy_g_mm < field.node(b).energy_g_mm;
  });
  std::vector<std::optional<TablePass>> passes(places.size());
  std::vector<bool> wet(static_cast<std::size_t>(n));
  Joined joined(n);
  for (const int node : rising) {
    wet[static_cast<std::size_t>(node)] = true;
    for (const int other : grid.around(node)) {
      if (!wet[static_cast<std::size_t>(other)]) continue;
      const int into = joined.root(node);
      const int from = joined.root(other);
      if (into == from) continue;
      std::vector<int>& ours = held[static_cast<std::size_t>(into)];
      std::vector<int>& theirs = held[static_cast<std::size_t>(from)];
      if (!ours.empty() && !theirs.empty()) {
        for (const std::vector<int>* side : {&ours, &theirs}) {
          for (const int place : *side) {
            std::optional<TablePass>& pass = passes[static_cast<std::size_t>(place)];
            if (!pass) pass = TablePass{field.node(node).energy_g_mm, node};
          }
        }
      }
      ours.insert(ours.end(), theirs.begin(), theirs.end());
      theirs.clear();
      joined.join(from, into);
    }
  }
  return passes;
}

}  // namespace trueblank::water
