// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/waters_table.h"

#include <cmath>

#include "rig/waters.h"

namespace trueblank::water {
namespace {

constexpr double temperatures_c[] = {4, 10, 15, 20, 28};
constexpr double coldest_c = 4;
constexpr double warmest_c = 28;

/// The lure's reserve in any water: it displaces the same volume in each.
struct Reserve {
  double mass_g = 0;
  double volume_cm3 = 0;

  [[nodiscard]] double in(double salinity, double temperature_c) const {
    return volume_cm3 * rig::water_at(salinity, temperature_c).density_g_cm3 - mass_g;
  }
};

InWater row(const Reserve& reserve, double salinity, double temperature_c) {
  InWater water;
  water.salinity = salinity;
  water.temperature_c = temperature_c;
  water.density_g_cm3 = rig::water_at(salinity, temperature_c).density_g_cm3;
  water.reserve_g = reserve.in(salinity, temperature_c);
  water.state = state_of(reserve.mass_g, water.reserve_g);
  return water;
}

std::optional<Flip> flip(const Reserve& reserve, double salinity) {
  if (!(reserve.in(salinity, coldest_c) > 0 && reserve.in(salinity, warmest_c) < 0)) return {};
  double floats_c = coldest_c;
  double sinks_c = warmest_c;
  // 24 degrees halved 60 times is below rounding.
  for (int i = 0; i < 60; ++i) {
    const double middle_c = floats_c + (sinks_c - floats_c) / 2;
    (reserve.in(salinity, middle_c) > 0 ? floats_c : sinks_c) = middle_c;
  }
  return Flip{.salinity = salinity, .temperature_c = floats_c + (sinks_c - floats_c) / 2};
}

}  // namespace

Floater in_water(const Floater& lure, double density_g_cm3) {
  Floater other = lure;
  other.water_density_g_cm3 = density_g_cm3;
  return other;
}

WatersTable waters_table(const Floater& lure) {
  const Reserve reserve = {.mass_g = lure.mass_g,
                           .volume_cm3 = lure.displacement_full_g() / lure.water_density_g_cm3};
  WatersTable table;
  for (const double salinity : {0.0, rig::sea_salinity}) {
    for (const double temperature_c : temperatures_c) {
      table.waters.push_back(row(reserve, salinity, temperature_c));
    }
    if (const std::optional<Flip> found = flip(reserve, salinity)) table.flips.push_back(*found);
  }
  table.hovers_in_g_cm3 = reserve.mass_g / reserve.volume_cm3;
  // The warmest water of a kind carries least, the coldest most; sea water more than fresh.
  const double least_fresh_g = reserve.in(0, warmest_c);
  const double most_fresh_g = reserve.in(0, coldest_c);
  const double least_sea_g = reserve.in(rig::sea_salinity, warmest_c);
  const double most_sea_g = reserve.in(rig::sea_salinity, coldest_c);
  table.floats_in_all = least_fresh_g > 0;
  table.sinks_in_all = most_sea_g < 0;
  table.floats_in_sea_only = least_sea_g > 0 && most_fresh_g < 0;
  return table;
}

ToHover metal_to_hover(const Floater& lure, double wood_density_g_cm3, double metal_density_g_cm3) {
  const double reserve_g = lure.displacement_full_g() - lure.mass_g;
  ToHover hover;
  hover.add = reserve_g >= 0;
  hover.net_g = std::abs(reserve_g);
  hover.in_wood_g = hover.net_g / (1 - wood_density_g_cm3 / metal_density_g_cm3);
  hover.outside_g = hover.net_g / (1 - lure.water_density_g_cm3 / metal_density_g_cm3);
  return hover;
}

TankView tank_view(const Floater& lure, double tank_density_g_cm3,
                   const geometry::ParallelFor& loop) {
  const Balance in_tank = balance(in_water(lure, tank_density_g_cm3), loop);
  TankView view;
  view.density_g_cm3 = tank_density_g_cm3;
  view.reserve_g = in_tank.reserve_g;
  view.state = in_tank.state;
  view.pose_count = static_cast<int>(in_tank.poses.size());
  if (in_tank.poses.empty()) return view;
  const RestPose& first = in_tank.poses.front();
  view.tail_down_deg = first.tail_down_deg;
  view.list_deg = first.list_deg;
  view.share = first.share;
  view.indifferent = first.indifferent;
  return view;
}

}  // namespace trueblank::water
