// SPDX-License-Identifier: GPL-3.0-or-later
// Newton's method within a bracket: W. Press et al., Numerical Recipes, 3rd ed., 2007, section 9.4.
#include "water/back_up.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "water/near_pose.h"
#include "water/pose_figures.h"
#include "water/sphere_grid.h"
#include "water/stationary.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double most_step_rad = 5 * degree;
constexpr double settled_rad = 1e-9;
constexpr double near_guess_rad = 3 * degree;
constexpr int most_steps = 100;
constexpr int most_steps_near = 12;
constexpr double back_up_within_deg = 45;
// How far weight and buoyancy may differ, of the mass. A waterline that its derivatives carry the
// rest of the way is good enough on the way there; at the end what is left is squared in the pose,
// and stays as it is in the stiffness.
constexpr double most_residual = 0.02;
constexpr double last_residual = 1e-10;
constexpr double last_below_rad = 1e-4;

double residual_after(double step_rad) {
  return step_rad < last_below_rad ? last_residual : std::min(most_residual, step_rad / 20);
}

bool exact(const Floater& lure, const Waterline& line) {
  return std::abs(line.residual_g) <= last_residual * lure.mass_g;
}

bool back_is_up(const RestPose& pose) {
  return !pose.list_deg || std::abs(*pose.list_deg) <= back_up_within_deg;
}

BackUp afloat(const Floater& lure) {
  BackUp found;
  found.reserve_g = lure.displacement_full_g() - lure.mass_g;
  found.state = state_of(lure.mass_g, found.reserve_g);
  return found;
}

// Under water a turn is resisted by the lever between the two centres alone.
double upright_under_water_g_mm(const Floater& lure) {
  return lure.displacement_full_g() *
         (lure.centre_of_full_buoyancy_mm() - lure.centre_of_mass_mm).z();
}

}  // namespace

// The lure in the hand, trimmed, and what a list does there.
struct BackUpSearch::Held {
  Stationary at;
  double across_g_mm = 0;   // dE/d(up.y): what turns it about the axis nearest its long one
  double upright_g_mm = 0;  // second derivative over that turn, per rad², the pitch following
};

BackUpSearch::BackUpSearch(const Floater& nominal)
    : nil_gradient_g_mm_(gradient_rounding_g_mm(nominal)),
      nil_curvature_g_mm_(curvature_rounding_g_mm(nominal)) {}

BackUpSearch::Held BackUpSearch::hold(const Floater& lure, double trim) const {
  constexpr double far = std::numeric_limits<double>::infinity();
  Held held;
  double low = -far;
  double high = far;
  double before = far;
  std::optional<double> start_mm;
  double residual = most_residual;
  for (int i = 0; i < most_steps; ++i) {
    const Vec3 up(-std::sin(trim), 0, std::cos(trim));
    const Vec3 ahead(-std::cos(trim), 0, -std::sin(trim));  // d up / d trim
    held.at.up = up;
    Waterline& line = held.at.line;
    line = waterline_at(lure, up, start_mm, residual);
    if (!line.converged) return held;
    const double slope = line.gradient_g_mm.dot(ahead);
    const double bend = ahead.dot(line.hessian_g_mm * ahead);
    (slope < 0 ? low : high) = trim;
    const double newton = bend > 0 ? -slope / bend : -std::copysign(far, slope);
    double step = std::clamp(newton, -most_step_rad, most_step_rad);
    // Where the second derivative jumps Newton's steps may not get shorter.
    const bool slow = std::isfinite(high - low) && std::abs(step) > before / 2;
    const bool within = trim + step > low && trim + step < high;
    if (std::isfinite(high - low) && (slow || !within)) step = low + (high - low) / 2 - trim;
    const bool level = std::abs(slope) <= nil_gradient_g_mm_;
    if (exact(lure, line) && (level || std::abs(step) < settled_rad)) {
      const double coupling = ahead.dot(line.hessian_g_mm * Vec3::UnitY());
      const double roll = line.hessian_g_mm(1, 1);
      held.at.converged = true;
      held.at.up = turned(up, step * ahead);  // a step so short needs no new cut
      held.at.curvature = curvatures(held.at.up, line.hessian_g_mm);
      held.across_g_mm = line.gradient_g_mm.y();
      held.upright_g_mm = bend > 0 ? roll - coupling * coupling / bend : roll;
      return held;
    }
    residual = level ? last_residual : residual_after(std::abs(step));
    before = std::abs(step);
    trim += step;
    start_mm = foreseen_offset_mm(line, up, Vec3(-std::sin(trim), 0, std::cos(trim)));
  }
  return held;
}

// Nothing turns it out of the pose in which it was held.
bool BackUpSearch::rests_as_held(const Held& held) const {
  return std::abs(held.across_g_mm) <= nil_gradient_g_mm_ &&
         held.at.curvature.soft_g_mm > nil_curvature_g_mm_;
}

BackUp BackUpSearch::let_go(const Floater& lure) const {
  BackUp found = afloat(lure);
  if (found.reserve_g <= 0) {
    found.upright_stiffness_g_mm_per_deg = upright_under_water_g_mm(lure) * degree;
    found.pose = hanging_pose(lure);
    found.stands = found.upright_stiffness_g_mm_per_deg > 0 && back_is_up(*found.pose);
    return found;
  }
  const Held held = hold(lure, 0);
  if (!held.at.converged) return found;
  found.upright_stiffness_g_mm_per_deg = held.upright_g_mm * degree;
  if (rests_as_held(held)) {
    found.pose = floating_pose(lure, held.at, false);
  } else {
    found.pose =
        pose_near(lure, held.at.up, {.start_mm = held.at.line.offset_mm, .look_for_rings = false});
  }
  found.stands =
      held.upright_g_mm > 0 && held.at.up.z() > 0 && found.pose && back_is_up(*found.pose);
  return found;
}

std::optional<BackUp> BackUpSearch::near(const Floater& lure, const BackUpGuess& guess) const {
  BackUp found = afloat(lure);
  if (found.reserve_g <= 0) return {};
  Stationary at;
  at.up = guess.up;
  std::optional<double> offset_mm = guess.offset_mm;
  double residual = residual_after(1);
  for (int i = 0; i < most_steps_near; ++i) {
    at.line = waterline_at(lure, at.up, offset_mm, residual);
    if (!at.line.converged) return {};
    at.curvature = curvatures(at.up, at.line.hessian_g_mm);
    if (at.curvature.soft_g_mm <= nil_curvature_g_mm_) return {};
    const Vec3 slope = slope_across(at.up, at.line);
    const Vec3 step = newton_step(at.curvature, slope);
    const Vec3 next = turned(at.up, step);
    if (next.dot(guess.up) < std::cos(near_guess_rad)) return {};
    const double length = step.norm();
    const bool level = slope.norm() <= nil_gradient_g_mm_;
    if (exact(lure, at.line) && (level || length < settled_rad)) {
      at.up = next;  // a step so short needs no new cut
      found.pose = floating_pose(lure, at, false);
      found.stands = guess.stands && back_is_up(*found.pose);
      return found;
    }
    residual = level ? last_residual : residual_after(length);
    offset_mm = foreseen_offset_mm(at.line, at.up, next);
    at.up = next;
  }
  return {};
}

BackUpSearch::Standing BackUpSearch::standing(const Floater& lure, double trim_rad) const {
  if (lure.displacement_full_g() <= lure.mass_g) {
    const BackUp hanging = let_go(lure);
    return {.stands = hanging.stands,
            .upright_stiffness_g_mm_per_deg = hanging.upright_stiffness_g_mm_per_deg};
  }
  const Held held = hold(lure, trim_rad);
  if (!held.at.converged) return {};
  Standing found{.upright_stiffness_g_mm_per_deg = held.upright_g_mm * degree,
                 .trim_rad = std::atan2(-held.at.up.x(), held.at.up.z())};
  if (held.upright_g_mm <= 0 || held.at.up.z() <= 0) return found;
  found.stands = rests_as_held(held);
  if (found.stands) return found;
  const std::optional<RestPose> pose =
      pose_near(lure, held.at.up, {.start_mm = held.at.line.offset_mm, .look_for_rings = false});
  found.stands = pose && back_is_up(*pose);
  return found;
}

}  // namespace trueblank::water
