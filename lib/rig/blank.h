// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/moments.h"

namespace trueblank::rig {

/// A bare blank of one even density.
struct Blank {
  double density_g_cm3 = 0;
  double mass_g = 0;
  geometry::Mat3 inertia_g_mm2 = geometry::Mat3::Zero();  ///< about the centroid, as in Moments
};

/// density_g_cm3 > 0
[[nodiscard]] inline Blank blank_of_density(const geometry::Moments& whole, double density_g_cm3) {
  const double g_per_mm3 = density_g_cm3 / 1000;
  return {.density_g_cm3 = density_g_cm3,
          .mass_g = g_per_mm3 * whole.volume_mm3,
          .inertia_g_mm2 = g_per_mm3 * whole.inertia_mm5};
}

/// mass_g > 0
[[nodiscard]] inline Blank blank_of_mass(const geometry::Moments& whole, double mass_g) {
  const double g_per_mm3 = mass_g / whole.volume_mm3;
  return {.density_g_cm3 = 1000 * g_per_mm3,
          .mass_g = mass_g,
          .inertia_g_mm2 = g_per_mm3 * whole.inertia_mm5};
}

}  // namespace trueblank::rig
