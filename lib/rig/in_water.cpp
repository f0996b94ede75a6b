// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/in_water.h"

namespace trueblank::rig {

Rig in_water(Rig rig, const Water& water) {
  rig.water = water;
  for (Pocket& pocket : rig.pockets) {
    if (pocket.filled_with_water) pocket.filling_density_g_cm3 = water.density_g_cm3;
  }
  return rig;
}

}  // namespace trueblank::rig
