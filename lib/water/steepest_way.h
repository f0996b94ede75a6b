// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <optional>

#include "water/passes.h"

namespace trueblank::water {

/// The end of a steepest way from a pass, and the hardest push on it.
struct Way {
  Vec3 end = Vec3::UnitZ();      ///< within some 1e-7 rad of rest, or at a kink near by
  double energy_g_mm = 0;        ///< there
  double hardest_push_g_mm = 0;  ///< greatest |dE/d(turn)|, per rad, from the pass to the end
};

enum class Steepest { descent, ascent };

/// Follows steepest descent, or ascent, truly (not on the table) from a pass to where it is level.
///
/// towards   the side: unit, square to the pass's up; Pass::over or against it for descent
/// step_rad  of the steps, which are halved where the energy would turn; the hardest push is read
///           between them from its own slope, to about 1e-3 of itself at half a degree, and to 1e-6
///           where the way is straight
/// arrived   asked of every direction and its energy (g·mm): true ends the way there
/// returns   nothing where 2000 steps do not bring it to rest
[[nodiscard]] std::optional<Way> way_from(
    const Floater& lure, const Pass& pass, const Vec3& towards, Steepest kind, double step_rad,
    const std::function<bool(const Vec3&, double)>& arrived = {});

}  // namespace trueblank::water
