// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "geometry/mesh.h"

// How a lure lies, told from `up`: the unit vector away from the centre of the Earth, body frame.
namespace trueblank::water {

/// A lure that stands so nearly on its nose or tail has no list.
inline constexpr double no_list_beyond_tail_down_deg = 85;

/// asin(−up.x), -90 to 90: > 0 with the tail down.
[[nodiscard]] inline double tail_down_deg(const geometry::Vec3& up) {
  constexpr double degree = std::numbers::pi / 180;
  return std::asin(std::clamp(-up.x(), -1.0, 1.0)) / degree;
}

/// atan2(−up.y, up.z), up to 180 either way: > 0 with the right flank down, 180 keel up. Nothing
/// where it means nothing.
[[nodiscard]] inline std::optional<double> list_deg(const geometry::Vec3& up) {
  constexpr double degree = std::numbers::pi / 180;
  if (std::abs(tail_down_deg(up)) > no_list_beyond_tail_down_deg) return {};
  const double list = std::atan2(-up.y(), up.z()) / degree;
  return list < -180 + 1e-9 ? 180.0 : list;  // whichever side of it rounding falls
}

}  // namespace trueblank::water
