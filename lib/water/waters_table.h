// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/parallel.h"
#include "water/rest_poses.h"
#include "water/waterline.h"

namespace trueblank::water {

/// The same lure in another water; what it weighs does not change.
[[nodiscard]] Floater in_water(const Floater& lure, double density_g_cm3);

/// What a lure does in one water.
struct InWater {
  double salinity = 0;
  double temperature_c = 0;
  double density_g_cm3 = 0;
  double reserve_g = 0;
  State state = State::floats;
};

/// A temperature at which the reserve passes nil: it floats in colder water of this kind, and sinks
/// in warmer.
struct Flip {
  double salinity = 0;
  double temperature_c = 0;
};

/// Fresh and sea water over the year. Only the water's density changes: swelling of the wood with
/// warmth or wet, which may be worth more, is left out.
struct WatersTable {
  std::vector<InWater> waters;      ///< fresh at 4, 10, 15, 20, 28 °C, then sea (salinity 35)
  std::vector<Flip> flips;          ///< fresh, then sea; at most one each
  double hovers_in_g_cm3 = 0;       ///< the density of water in which its reserve would be nil
  bool floats_in_all = false;       ///< reserve > 0 from 4 to 28 °C in both
  bool sinks_in_all = false;        ///< reserve < 0 likewise
  bool floats_in_sea_only = false;  ///< reserve > 0 in all sea water, < 0 in all fresh
};

/// source  EOS-80 (rig/waters.h); between 4 and 28 °C both waters only grow lighter with warmth,
///         so that the temperature is found by bisection
[[nodiscard]] WatersTable waters_table(const Floater& lure);

/// How much metal must be added to make a floater hang in the water, or taken off a sinker.
struct ToHover {
  bool add = true;       ///< false: take off
  double net_g = 0;      ///< |reserve|: of mass that takes no water's and no wood's place
  double in_wood_g = 0;  ///< of metal in a drilled hole, whose wood it replaces
  double outside_g = 0;  ///< of metal stuck on outside, which displaces water itself
};

/// wood_density_g_cm3   ≥ 0
/// metal_density_g_cm3  more than the wood's and the water's
[[nodiscard]] ToHover metal_to_hover(const Floater& lure, double wood_density_g_cm3,
                                     double metal_density_g_cm3);

/// What the tub at home will show.
struct TankView {
  double density_g_cm3 = 0;
  double reserve_g = 0;
  State state = State::floats;
  std::optional<double> tail_down_deg;  ///< of the first pose; nothing where there is none
  std::optional<double> list_deg;       ///< likewise
  double share = 0;
  int pose_count = 0;
  bool indifferent = false;  ///< the first pose is
};

/// cost  as balance()
[[nodiscard]] TankView tank_view(const Floater& lure, double tank_density_g_cm3,
                                 const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::water
