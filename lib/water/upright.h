// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "water/waterline.h"

// Why a lure that a hand holds on the water back up stays so or tips over, and what moving one of
// its parts would do about it.
namespace trueblank::water {

struct Upright {
  double gm_mm = 0;       ///< of M over G, the pitch following; negative: M lies lower
  double aside_g_mm = 0;  ///< moment of all masses about y = 0; positive: the right flank goes down
};

/// upright_stiffness_g_mm_per_deg  as BackUpSearch tells it
/// source                          Bouguer, Traité du navire, 1746: what rights it for a small turn
///                                 is mass × GM a radian
[[nodiscard]] Upright upright(const Floater& lure, double upright_stiffness_g_mm_per_deg);

/// How far one part alone would have to be moved, the lure being level, and about so where its trim
/// is small. To first order: the trim and what lies under water stay, and G goes the part's share
/// of the way.
struct UprightMove {
  double lower_mm = 0;  ///< down, for the upright stiffness to be nil; negative: so much room
  double left_mm = 0;   ///< to the left, for the masses to balance about y = 0; negative: right
};

/// part_g  > 0
[[nodiscard]] UprightMove move_upright(const Floater& lure, const Upright& upright, double part_g);

}  // namespace trueblank::water
