// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace trueblank::sheet {

/// What a number in a sheet measures. Default units: mm, g, g/cm³, °C, %, degrees, m/s; a salinity
/// and a stiffness (g·mm per degree) are plain numbers.
enum class Quantity {
  length,
  mass,
  density,
  temperature,
  percent,
  salinity,
  angle,
  speed,
  stiffness
};

/// "a length", "a mass", …
[[nodiscard]] std::string_view quantity_name(Quantity quantity);
/// The units that it may be written in: "mm, cm, m, in, ft"; empty for a plain number.
[[nodiscard]] std::string_view quantity_units(Quantity quantity);

/// A text read as a quantity, or why it can't be.
struct ReadQuantity {
  enum class Fault {
    none,
    not_a_number,
    decimal_comma,
    no_unit,
    unknown_unit,
    other_quantity,  ///< `is` says which
    zero_denominator
  };

  Fault fault = Fault::none;
  double value = 0;  ///< in the default unit
  std::string unit = {};
  Quantity is = Quantity::length;
};

/// Reads "14 g", "1/2 oz", "1 1/2 in", "2.4m". Capitals are not minded in units.
///
/// source  1 in = 25.4 mm, 1 lb = 453.59237 g = 16 oz exactly (international yard and pound
///         agreement, 1959)
[[nodiscard]] ReadQuantity read_quantity(std::string_view text, Quantity wanted);

}  // namespace trueblank::sheet
