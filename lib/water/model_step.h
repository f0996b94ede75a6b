// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>

namespace trueblank::water {

/// A quadratic model of the energy over turns, along its own two directions: the slopes, g·mm per
/// rad, and the second derivatives, g·mm per rad².
struct QuadraticModel {
  double slope_soft = 0;
  double slope_stiff = 0;
  double curvature_soft = 0;
  double curvature_stiff = 0;  ///< ≥ soft
};

/// A step in such a model: how far along each direction, and what the energy gains by each there.
struct ModelStep {
  double soft_rad = 0;
  double stiff_rad = 0;
  double soft_cost_g_mm = 0;
  double stiff_cost_g_mm = 0;
  bool whole = false;  ///< to where the model is level, not to the rim

  [[nodiscard]] double length_rad() const { return std::hypot(soft_rad, stiff_rad); }

  [[nodiscard]] double cost_g_mm() const { return soft_cost_g_mm + stiff_cost_g_mm; }

  [[nodiscard]] double scale_g_mm() const {
    return std::abs(soft_cost_g_mm) + std::abs(stiff_cost_g_mm);
  }
};

/// The step of no more than `radius_rad` at which the model is least (A. R. Conn, N. I. M. Gould,
/// Ph. L. Toint, Trust-Region Methods, 2000, chapter 7). Where it is level along a direction that
/// falls off to both sides, one of the two is taken.
[[nodiscard]] ModelStep step_down(const QuadraticModel& model, double radius_rad);

/// The step of no more than `radius_rad` towards the model's pass: uphill along the soft direction,
/// downhill along the stiff one, whatever the signs of its second derivatives.
[[nodiscard]] ModelStep step_to_pass(const QuadraticModel& model, double radius_rad);

}  // namespace trueblank::water
