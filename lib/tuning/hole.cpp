// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/hole.h"

#include <cmath>
#include <numbers>

namespace trueblank::tuning {

using std::numbers::pi;

double Slug::length_mm() const {
  if (ball()) return 2 * radius_mm();
  return volume_mm3 / (pi / 4 * diameter_mm * diameter_mm);
}

double Slug::radius_mm() const {
  return ball() ? std::cbrt(0.75 / pi * volume_mm3) : diameter_mm / 2;
}

Slug slug_of(const rig::Ballast& ballast) {
  return {.at_mm = ballast.at_mm,
          .axis = rig::direction(ballast.axis.value_or(rig::HoleAxis::upright)),
          .diameter_mm = ballast.diameter_mm.value_or(0),
          .volume_mm3 = 1000 * ballast.mass_g / ballast.density_g_cm3};
}

Slug slug_of(const rig::Pocket& pocket) {
  return {.at_mm = pocket.at_mm,
          .axis = rig::direction(pocket.axis),
          .diameter_mm = pocket.diameter_mm,
          .volume_mm3 = pi / 4 * pocket.diameter_mm * pocket.diameter_mm * pocket.depth_mm};
}

}  // namespace trueblank::tuning
