// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/upright.h"

#include <numbers>

namespace trueblank::water {

Upright upright(const Floater& lure, double upright_stiffness_g_mm_per_deg) {
  constexpr double degrees_a_radian = 180 / std::numbers::pi;
  return {.gm_mm = upright_stiffness_g_mm_per_deg * degrees_a_radian / lure.mass_g,
          .aside_g_mm = lure.mass_g * lure.centre_of_mass_mm.y()};
}

UprightMove move_upright(const Floater& lure, const Upright& upright, double part_g) {
  return {.lower_mm = -upright.gm_mm * lure.mass_g / part_g,
          .left_mm = upright.aside_g_mm / part_g};
}

}  // namespace trueblank::water
