// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace trueblank::rig {

/// The practical salinity that "sea" stands for.
inline constexpr double sea_salinity = 35;

/// Density of water at one atmosphere, EOS-80.
///
/// salinity       practical, 0 to 42
/// temperature_c  °C (IPTS-68; 0.005 below a modern thermometer at 20 °C, left out of account: it
///                is worth 0.001 kg/m³), -2 to 40
/// source         Fofonoff & Millard, Unesco Technical Papers in Marine Science 44, 1983
[[nodiscard]] double water_density_kg_m3(double salinity, double temperature_c);

/// The water that a lure lies in.
struct Water {
  double salinity = 0;
  double temperature_c = 15;
  double density_g_cm3 = 0;  ///< what counts; the other two are for telling
  bool density_given = false;
};

/// Fresh water (salinity 0) or sea water (35) at a temperature, its density by EOS-80.
[[nodiscard]] Water water_at(double salinity, double temperature_c);

}  // namespace trueblank::rig
