// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/numbers.h"

#include <array>
#include <charconv>
#include <cmath>

namespace trueblank::report {

namespace {

// International yard and pound agreement, 1959: exact.
constexpr double mm_per_inch = 25.4;
constexpr double g_per_ounce = 28.349523125;

bool is_nothing(const std::string& digits) {
  return digits.find_first_not_of("-0.") == std::string::npos;
}

// Groups of three in the whole part of a written number.
std::string in_groups(const std::string& digits) {
  const std::size_t start = digits.starts_with('-') ? 1 : 0;
  const std::size_t point = digits.find('.');
  const std::size_t end = point == std::string::npos ? digits.size() : point;
  std::string text = digits.substr(0, start);
  for (std::size_t i = start; i < end; ++i) {
    if (i > start && (end - i) % 3 == 0) text += ' ';
    text += digits[i];
  }
  return text + digits.substr(end);
}

}  // namespace

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "–";
  std::array<char, 400> room{};  // the greatest double has 309 digits before the point
  const auto end = std::to_chars(room.data(), room.data() + room.size(), value,
                                 std::chars_format::fixed, decimals);
  std::string digits(room.data(), end.ptr);
  if (digits.starts_with('-') && is_nothing(digits)) digits.erase(0, 1);
  return digits;
}

std::string with_sign(double value, int decimals) {
  const std::string digits = fixed(value, decimals);
  const bool signless = digits.starts_with('-') || is_nothing(digits) || !std::isfinite(value);
  return signless ? digits : '+' + digits;
}

std::string grouped(long long count) { return in_groups(std::to_string(count)); }

std::string grouped(double value, int decimals) { return in_groups(fixed(value, decimals)); }

std::string figures(double value, int count) {
  if (!std::isfinite(value)) return "–";
  if (value == 0) return "0";  // exactly nothing: no digit counts
  const int whole = static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
  const int decimals = count - whole;
  return fixed(value, decimals > 0 ? decimals : 0);
}

double inches(double mm) { return mm / mm_per_inch; }

double ounces(double g) { return g / g_per_ounce; }

std::string length_text(double mm, int decimals, const TextStyle& style) {
  std::string text = fixed(mm, decimals) + " mm";
  if (style.imperial) text += " (" + fixed(inches(mm), decimals + 1) + " in)";
  return text;
}

std::string mass_text(double g, const TextStyle& style) {
  std::string text = fixed(g, std::abs(g) < 1 ? 2 : 1) + " g";
  if (style.imperial) text += " (" + fixed(ounces(g), 3) + " oz)";
  return text;
}

std::string percent(double share, int decimals) { return fixed(100 * share, decimals) + " %"; }

}  // namespace trueblank::report
