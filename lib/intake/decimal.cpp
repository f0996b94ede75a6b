// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/decimal.h"

#include <cstddef>

#include "intake/nearest_double.h"

namespace trueblank::intake {
namespace {

constexpr int most_digits = 19;  // that fit into 64 bits whatever they are

/// Digits without the zeros before the first that is not.
std::ptrdiff_t significant(const char* from, const char* to, std::ptrdiff_t digits) {
  for (; from != to && (*from == '0' || *from == '.'); ++from) digits -= *from == '0';
  return digits;
}

}  // namespace

const char* read_decimal(const char* at, const char* end, double& value) {
  const bool negative = at != end && *at == '-';
  if (negative || (at != end && *at == '+')) ++at;
  const char* const from = at;
  std::uint64_t mantissa = 0;
  take_few_digits(at, end, mantissa);
  std::ptrdiff_t digits = at - from;
  std::ptrdiff_t exponent = 0;
  if (at != end && *at == '.') {
    const char* const point = at++;
    take_digits(at, end, mantissa);
    exponent = point + 1 - at;
    digits -= exponent;
  }
  if (digits == 0) return nullptr;
  if (digits > most_digits && significant(from, at, digits) > most_digits) return nullptr;
  if (at != end && (*at | 0x20) == 'e') {
    ++at;
    const bool down = at != end && *at == '-';
    if (down || (at != end && *at == '+')) ++at;
    const char* const first = at;
    std::uint64_t power = 0;
    take_few_digits(at, end, power);
    if (at == first || at - first > 3) return nullptr;
    exponent += down ? -static_cast<std::ptrdiff_t>(power) : static_cast<std::ptrdiff_t>(power);
  }
  double size = 0;
  if (mantissa != 0) {
    if (exponent < -highest_power || exponent > highest_power) return nullptr;
    size = nearest_double(mantissa, static_cast<int>(exponent));
  }
  value = negative ? -size : size;
  return at;
}

}  // namespace trueblank::intake
