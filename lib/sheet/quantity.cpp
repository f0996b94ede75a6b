// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/quantity.h"

#include <array>
#include <charconv>

namespace trueblank::sheet {

namespace {

struct Unit {
  std::string_view name;  // in small letters
  Quantity quantity;
  double factor;  // to the default unit
};

constexpr double g_per_lb = 453.59237;
constexpr double mm_per_inch = 25.4;

constexpr std::array units{
    Unit{"mm", Quantity::length, 1},
    Unit{"cm", Quantity::length, 10},
    Unit{"m", Quantity::length, 1000},
    Unit{"in", Quantity::length, mm_per_inch},
    Unit{"ft", Quantity::length, 12 * mm_per_inch},
    Unit{"g", Quantity::mass, 1},
    Unit{"kg", Quantity::mass, 1000},
    Unit{"oz", Quantity::mass, g_per_lb / 16},
    Unit{"lb", Quantity::mass, g_per_lb},
    Unit{"g/cm3", Quantity::density, 1},
    Unit{"g/cm³", Quantity::density, 1},
    Unit{"kg/m3", Quantity::density, 0.001},
    Unit{"kg/m³", Quantity::density, 0.001},
    Unit{"°c", Quantity::temperature, 1},
    Unit{"c", Quantity::temperature, 1},
    Unit{"%", Quantity::percent, 1},
    Unit{"°", Quantity::angle, 1},
    Unit{"deg", Quantity::angle, 1},
    Unit{"m/s", Quantity::speed, 1},
    Unit{"cm/s", Quantity::speed, 0.01},
    Unit{"ft/s", Quantity::speed, 12 * mm_per_inch / 1000},
};

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Takes a number without a sign off the front of `text`; nothing where there is none.
std::optional<double> take_number(std::string_view& text) {
  const bool begins = !text.empty() && (is_digit(text[0]) ||
                                        (text[0] == '.' && text.size() > 1 && is_digit(text[1])));
  if (!begins) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc()) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

// "1/2" or the whole of "1 1/2" once `value` holds its first number. Leaves text alone where no
// fraction follows.
ReadQuantity::Fault take_fraction(std::string_view& text, double& value) {
  std::string_view rest = trimmed(text);
  double whole = 0;
  double above = value;
  if (!rest.starts_with('/')) {  // perhaps the second number of "1 1/2" or "1-1/2"
    if (rest.starts_with('-')) rest.remove_prefix(1);
    const std::optional<double> second = take_number(rest);
    rest = trimmed(rest);
    if (!second || !rest.starts_with('/')) return ReadQuantity::Fault::none;
    whole = value;
    above = *second;
  }
  rest = trimmed(rest.substr(1));
  const std::optional<double> below = take_number(rest);
  if (!below) return ReadQuantity::Fault::not_a_number;
  if (*below == 0) return ReadQuantity::Fault::zero_denominator;
  value = whole + above / *below;
  text = rest;
  return ReadQuantity::Fault::none;
}

std::string small_letters(std::string_view text) {
  std::string small;
  for (const char c : text) small += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return small;
}

}  // namespace

std::string_view quantity_name(Quantity quantity) {
  switch (quantity) {
    case Quantity::length:
      return "a length";
    case Quantity::mass:
      return "a mass";
    case Quantity::density:
      return "a density";
    case Quantity::temperature:
      return "a temperature";
    case Quantity::percent:
      return "a percentage";
    case Quantity::angle:
      return "an angle";
    case Quantity::speed:
      return "a speed";
    case Quantity::stiffness:
      return "a stiffness in g mm per degree";
    case Quantity::salinity:
      break;
  }
  return "a salinity";
}

std::string_view quantity_units(Quantity quantity) {
  switch (quantity) {
    case Quantity::length:
      return "mm, cm, m, in, ft";
    case Quantity::mass:
      return "g, kg, oz, lb";
    case Quantity::density:
      return "g/cm3, kg/m3";
    case Quantity::temperature:
      return "°C";
    case Quantity::percent:
      return "%";
    case Quantity::angle:
      return "°, deg";
    case Quantity::speed:
      return "m/s, cm/s, ft/s";
    case Quantity::stiffness:
    case Quantity::salinity:
      break;
  }
  return "";
}

ReadQuantity read_quantity(std::string_view text, Quantity wanted) {
  using Fault = ReadQuantity::Fault;
  std::string_view rest = trimmed(text);
  double sign = 1;
  if (rest.starts_with('-') || rest.starts_with('+')) {
    if (rest[0] == '-') sign = -1;
    rest = trimmed(rest.substr(1));
  }
  std::optional<double> value = take_number(rest);
  if (!value) return {.fault = Fault::not_a_number};
  if (rest.size() > 1 && rest[0] == ',' && is_digit(rest[1])) {
    return {.fault = Fault::decimal_comma};
  }
  const Fault fraction = take_fraction(rest, *value);
  if (fraction != Fault::none) return {.fault = fraction};

  const std::string unit = small_letters(trimmed(rest));
  if (unit.empty() && !quantity_units(wanted).empty()) {
    return {.fault = Fault::no_unit, .value = sign * *value};
  }
  if (unit.empty()) return {.value = sign * *value};
  for (const Unit& row : units) {
    if (row.name != unit) continue;
    return {.fault = row.quantity == wanted ? Fault::none : Fault::other_quantity,
            .value = sign * *value * row.factor,
            .unit = unit,
            .is = row.quantity};
  }
  return {.fault = Fault::unknown_unit, .unit = std::string(trimmed(rest))};
}

}  // namespace trueblank::sheet
