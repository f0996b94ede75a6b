// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "water/waterline.h"

namespace trueblank::water {

/// How a lure hangs in still water on a line that is held still and tight, all of it under water: a
/// sinker below the line, a floater above it, held down.
struct TightLine {
  Vec3 up = Vec3::UnitZ();
  double tail_down_deg = 0;
  std::optional<double> list_deg;     ///< nothing where |tail_down| > 85
  double tension_g = 0;               ///< |mass − all displacement|
  bool holds_down = false;            ///< the line runs down from the eye (a floater)
  double stiffness_g_mm_per_deg = 0;  ///< alike about every horizontal axis
};

/// With M the mass at G and D all displacement at B: E(up) = (M(G − e) − D(B − e))·up, least where
/// up points the other way. Where M ≠ D that is the line through the eye e and the centre of the
/// weight in water, C = (M·G − D·B)/(M − D). The line's own weight and drag are left out.
///
/// eye_mm   where the line is tied, body frame
/// returns  nothing where no direction is better than another by 0.01 g·mm
[[nodiscard]] std::optional<TightLine> on_tight_line(const Floater& lure, const Vec3& eye_mm);

}  // namespace trueblank::water
