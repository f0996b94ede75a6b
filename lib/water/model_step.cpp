// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/model_step.h"

#include <algorithm>

namespace trueblank::water {
namespace {

void set_costs(const QuadraticModel& model, ModelStep& step) {
  const auto cost = [](double slope, double curvature, double by) {
    return slope * by + curvature * by * by / 2;
  };
  step.soft_cost_g_mm = cost(model.slope_soft, model.curvature_soft, step.soft_rad);
  step.stiff_cost_g_mm = cost(model.slope_stiff, model.curvature_stiff, step.stiff_rad);
}

}  // namespace

ModelStep step_down(const QuadraticModel& model, double radius_rad) {
  ModelStep step;
  const double k_soft = model.curvature_soft;
  // Of all steps of one length the least lies where the model, bent up by some shift, is level.
  const auto with_shift = [&](double shift) {
    step.soft_rad = -model.slope_soft / (k_soft + shift);
    step.stiff_rad = -model.slope_stiff / (model.curvature_stiff + shift);
    return step.length_rad();
  };
  step.whole = k_soft > 0 && with_shift(0) <= radius_rad;
  if (!step.whole) {
    const double slope = std::hypot(model.slope_soft, model.slope_stiff);
    double low = std::max(0.0, -k_soft);
    double high = low + slope / radius_rad;
    for (int i = 0; i < 60 && high > low; ++i) {
      const double middle = low + (high - low) / 2;
      (with_shift(middle) > radius_rad ? low : high) = middle;
    }
    // Where the soft direction is level, or all but level, no shift reaches the rim: one side of
    // what falls off to both is as good as the other.
    const bool at_rim = std::abs(with_shift(high) - radius_rad) < 1e-3 * radius_rad;
    if (!at_rim && k_soft < 0) {
      if (!std::isfinite(step.stiff_rad)) step.stiff_rad = 0;
      step.stiff_rad = std::clamp(step.stiff_rad, -radius_rad, radius_rad);
      const double left =
          std::sqrt(std::max(0.0, radius_rad * radius_rad - step.stiff_rad * step.stiff_rad));
      step.soft_rad = model.slope_soft > 0 ? -left : left;
    }
  }
  if (!std::isfinite(step.soft_rad)) step.soft_rad = 0;
  if (!std::isfinite(step.stiff_rad)) step.stiff_rad = 0;
  set_costs(model, step);
  return step;
}

ModelStep step_to_pass(const QuadraticModel& model, double radius_rad) {
  ModelStep step;
  step.whole = true;
  const auto along = [&](double slope, double curvature, double sense) {
    if (slope == 0) return 0.0;
    const double whole = sense * curvature < 0 ? -slope / curvature : HUGE_VAL;
    if (std::abs(whole) < radius_rad) return whole;
    step.whole = false;
    return std::copysign(radius_rad, sense * slope);
  };
  step.soft_rad = along(model.slope_soft, model.curvature_soft, 1);
  step.stiff_rad = along(model.slope_stiff, model.curvature_stiff, -1);
  const double shorten = std::min(1.0, radius_rad / step.length_rad());
  if (shorten < 1) {
    step.whole = false;
    step.soft_rad *= shorten;
    step.stiff_rad *= shorten;
  }
  set_costs(model, step);
  return step;
}

}  // namespace trueblank::water
