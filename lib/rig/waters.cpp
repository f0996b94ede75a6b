// SPDX-License-Identifier: GPL-3.0-or-later
// N. P. Fofonoff, R. C. Millard, "Algorithms for computation of fundamental properties of
// seawater", Unesco Technical Papers in Marine Science 44, 1983, section 3; the equation of state
// at one atmosphere of F. J. Millero, A. Poisson, Deep-Sea Research 28A, 625-629, 1981.
#include "rig/waters.h"

#include <cmath>

namespace trueblank::rig {

double water_density_kg_m3(double salinity, double temperature_c) {
  const double s = salinity;
  const double t = temperature_c;
  const double pure =
      999.842594 +
      t * (6.793952e-2 +
           t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))));
  const double linear =
      0.824493 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
  // 1.0227e-4: copies with 1.0277e-4 are about. They miss the printed check values of salt water.
  const double three_halves = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6);
  const double square = 4.8314e-4;
  return pure + linear * s + three_halves * s * std::sqrt(s) + square * s * s;
}

Water water_at(double salinity, double temperature_c) {
  return {.salinity = salinity,
          .temperature_c = temperature_c,
          .density_g_cm3 = water_density_kg_m3(salinity, temperature_c) / 1000,
          .density_given = false};
}

}  // namespace trueblank::rig
