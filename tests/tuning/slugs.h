// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "tuning/hole.h"

namespace trueblank::tuning {

// What walls_to_skin() promises.
inline constexpr double promised_mm = 1e-3;

inline Slug drilled(const Vec3& at_mm, const Vec3& axis, double diameter_mm, double length_mm) {
  return {at_mm, axis, diameter_mm, std::numbers::pi / 4 * diameter_mm * diameter_mm * length_mm};
}

inline Slug ball(const Vec3& at_mm, double radius_mm) {
  return {at_mm, Vec3::UnitZ(), 0, 4 * std::numbers::pi / 3 * std::pow(radius_mm, 3)};
}

inline Wall least_of(const std::vector<Wall>& walls) {
  return *std::min_element(walls.begin(), walls.end(),
                           [](const Wall& p, const Wall& q) { return p.mm < q.mm; });
}

/// A ballast that fills a hole over a length.
inline rig::Ballast in_hole(const std::string& name, const Vec3& at_mm, rig::HoleAxis axis,
                            double diameter_mm, double length_mm) {
  const double density = 11.34;
  const Slug slug = drilled(at_mm, rig::direction(axis), diameter_mm, length_mm);
  return {.name = name,
          .at_mm = at_mm,
          .mass_g = density * slug.volume_mm3 / 1000,
          .density_g_cm3 = density,
          .diameter_mm = diameter_mm,
          .axis = axis};
}

}  // namespace trueblank::tuning
