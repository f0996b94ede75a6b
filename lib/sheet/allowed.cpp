// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/allowed.h"

namespace trueblank::sheet {

namespace {

constexpr double beyond_any_lure_mm = 1e6;
constexpr double beyond_any_lure_g = 1e6;
// Osmium, the densest stuff there is, has 22.6 g/cm³.
constexpr double beyond_any_density_g_cm3 = 25;
constexpr double beyond_any_speed_m_s = 100;
constexpr double beyond_any_stiffness = 1e9;

Allowed or_none(Allowed positive) {
  positive.above_least = false;
  positive.range = "0 or more";
  return positive;
}

}  // namespace

Allowed any_length() {
  return {.quantity = Quantity::length,
          .least = -beyond_any_lure_mm,
          .most = beyond_any_lure_mm,
          .range = "within a kilometre"};
}

Allowed positive_length() {
  return {.quantity = Quantity::length,
          .least = 0,
          .most = beyond_any_lure_mm,
          .above_least = true,
          .range = "more than 0",
          .range_above = "less than a kilometre"};
}

Allowed length_or_none(std::string_view mend) {
  Allowed length = or_none(positive_length());
  length.mend = mend;
  return length;
}

Allowed any_mass() {
  return {.quantity = Quantity::mass,
          .least = -beyond_any_lure_g,
          .most = beyond_any_lure_g,
          .range = "within a tonne"};
}

Allowed positive_mass() {
  return {.quantity = Quantity::mass,
          .least = 0,
          .most = beyond_any_lure_g,
          .above_least = true,
          .range = "more than 0",
          .range_above = "less than a tonne"};
}

Allowed mass_or_none() { return or_none(positive_mass()); }

Allowed positive_density() {
  return {.quantity = Quantity::density,
          .least = 0,
          .most = beyond_any_density_g_cm3,
          .above_least = true,
          .range = "more than 0 and at most 25",
          .mend = "it is in g/cm3"};
}

Allowed scatter_percent() {
  return {.quantity = Quantity::percent,
          .least = 0,
          .most = 20,
          .range = "between 0 and 20",
          .mend = "it is one standard deviation in percent"};
}

Allowed any_tilt() {
  return {.quantity = Quantity::angle,
          .least = -90,
          .most = 90,
          .range = "between -90 and 90",
          .mend = "it is in degrees, 90 with the tail straight down"};
}

Allowed positive_angle() {
  return {.quantity = Quantity::angle,
          .least = 0,
          .most = 90,
          .above_least = true,
          .range = "more than 0 and at most 90",
          .mend = "it is in degrees"};
}

Allowed speed_or_none() {
  return {.quantity = Quantity::speed,
          .least = 0,
          .most = beyond_any_speed_m_s,
          .range = "between 0 and 100",
          .mend = "it is in m/s"};
}

Allowed positive_stiffness() {
  return {.quantity = Quantity::stiffness,
          .least = 0,
          .most = beyond_any_stiffness,
          .above_least = true,
          .range = "more than 0",
          .mend = "it is in g mm per degree",
          .range_above = "less than 1e9"};
}

}  // namespace trueblank::sheet
