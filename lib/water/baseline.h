// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/mesh.h"

namespace trueblank::water {

/// How far the far end of a line in the lure hangs below its near end, in degrees: as tail_down,
/// with the line from `nose_mm` to `tail_mm` (body frame, apart) in place of the long axis.
[[nodiscard]] inline double tail_down_along_deg(const geometry::Vec3& up,
                                                const geometry::Vec3& nose_mm,
                                                const geometry::Vec3& tail_mm) {
  const double rise = up.dot((tail_mm - nose_mm).normalized());
  return std::asin(std::clamp(-rise, -1.0, 1.0)) * 180 / std::numbers::pi;
}

}  // namespace trueblank::water
