// SPDX-License-Identifier: GPL-3.0-or-later
// Short decimal numbers by W. Clinger, "How to read floating point numbers accurately", PLDI 1990:
// a mantissa below 2^53 times or over a power of ten up to 10^22 is one exact operation, so the
// result is the correctly rounded one. All others go through std::from_chars.
#include "intake/text_scanner.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace trueblank::intake {
namespace {

constexpr int highest_exact_power = 22;
constexpr std::array<double, highest_exact_power + 1> powers_of_ten = {
    1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
constexpr std::uint64_t highest_exact_mantissa = std::uint64_t{1} << 53;
constexpr int most_digits = 19;  // that fit into 64 bits whatever they are

/// Digits into `mantissa`; how many there were.
int take_digits(const char*& p, const char* end, std::uint64_t& mantissa) {
  const char* from = p;
  for (; p != end && TextScanner::is_digit(*p); ++p) {
    mantissa = 10 * mantissa + static_cast<std::uint64_t>(*p - '0');
  }
  return static_cast<int>(std::min<std::ptrdiff_t>(p - from, 1000));
}

}  // namespace

bool TextScanner::fast_number(double& value) {
  const char* p = at_;
  const bool negative = p != end_ && *p == '-';
  if (negative || (p != end_ && *p == '+')) ++p;
  std::uint64_t mantissa = 0;
  int digits = take_digits(p, end_, mantissa);
  int exponent = 0;
  if (p != end_ && *p == '.') {
    ++p;
    const int decimals = take_digits(p, end_, mantissa);
    digits += decimals;
    exponent = -decimals;
  }
  if (digits == 0 || digits > most_digits || mantissa > highest_exact_mantissa) return false;
  if (p != end_ && (*p == 'e' || *p == 'E')) {
    ++p;
    const bool down = p != end_ && *p == '-';
    if (down || (p != end_ && *p == '+')) ++p;
    std::uint64_t power = 0;
    const int power_digits = take_digits(p, end_, power);
    if (power_digits == 0 || power_digits > 3) return false;
    exponent += down ? -static_cast<int>(power) : static_cast<int>(power);
  }
  if (p != end_ && !is_blank(*p) && *p != '\n') return false;
  if (exponent < -highest_exact_power || exponent > highest_exact_power) return false;
  value = static_cast<double>(mantissa);
  if (exponent < 0) {
    value /= powers_of_ten[static_cast<std::size_t>(-exponent)];
  } else {
    value *= powers_of_ten[static_cast<std::size_t>(exponent)];
  }
  if (negative) value = -value;
  at_ = p;
  return true;
}

double TextScanner::slow_number(std::string_view of_what) {
  const char* from = at_;
  const std::string_view found = word();
  if (found.empty()) throw number_missing(where(from), of_what);
  const char* first = found.data();
  const char* last = first + found.size();
  if (*first == '+' && found.size() > 1 && first[1] != '-') ++first;
  double value = 0;
  const auto [rest, trouble] = std::from_chars(first, last, value);
  if (rest != last) {
    if (rest != first && *rest == ',') throw decimal_comma(where(from));
    throw not_a_number(where(from), found);
  }
  if (trouble == std::errc::result_out_of_range) {
    // Too small for a double is as good as nil, too large is an error.
    const std::size_t power = found.find_first_of("eE");
    if (power != std::string_view::npos && found.find('-', power) == power + 1) return 0;
    if (power == std::string_view::npos && found.find('.') < 2) return 0;
    throw number_too_large(where(from), found);
  }
  if (trouble != std::errc()) throw not_a_number(where(from), found);
  if (!std::isfinite(value)) throw not_finite(where(from), of_what);
  return value;
}

std::string TextScanner::where(const char* byte) const {
  const auto lines = std::count(begin_, byte, '\n');
  return shown_name(name_) + ":" + std::to_string(lines + 1);
}

}  // namespace trueblank::intake
