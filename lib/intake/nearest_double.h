// SPDX-License-Identifier: GPL-3.0-or-later
// D. Lemire, "Number parsing at a gigabyte per second", Software: Practice and Experience 51(8),
// 2021: the digits as a 64-bit number times the leading 128 bits of a power of five give all bits
// of the double and tell on which side of a tie it lies.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

namespace trueblank::intake {

__extension__ typedef unsigned __int128 Wide;  // NOLINT(modernize-use-using): takes no using

/// 5^27 is the highest power of five below 2^64; within it the product leaves no doubt.
constexpr int highest_power = 27;

struct PowerOfFive {
  std::uint64_t high = 0;
  std::uint64_t low = 0;
};

/// The leading 128 bits of 5^q: exact for q ≥ 0, the next number above them for q < 0 (equation 6).
constexpr PowerOfFive leading_bits(int q) {
  std::uint64_t five = 1;
  for (int i = 0; i < (q < 0 ? -q : q); ++i) five *= 5;
  if (q >= 0) return {five << std::countl_zero(five), 0};
  // 2^b / 5^-q with b such that 128 bits come out, by long division bit after bit.
  Wide quotient = 0;
  Wide rest = 1;
  for (int bits = 127 + static_cast<int>(std::bit_width(five - 1)); bits > 0; --bits) {
    rest *= 2;
    quotient *= 2;
    if (rest >= five) {
      rest -= five;
      quotient += 1;
    }
  }
  quotient += 1;
  return {static_cast<std::uint64_t>(quotient >> 64), static_cast<std::uint64_t>(quotient)};
}

inline constexpr std::array<PowerOfFive, 2 * highest_power + 1> powers_of_five = [] {
  std::array<PowerOfFive, 2 * highest_power + 1> all{};
  for (int q = -highest_power; q <= highest_power; ++q) {
    all[static_cast<std::size_t>(q + highest_power)] = leading_bits(q);
  }
  return all;
}();

/// The double nearest to digits × 10^q, for digits > 0 and |q| ≤ 27: neither too small nor too
/// large for a double with all its bits. Ties go to the even one.
[[nodiscard]] inline double nearest_double(std::uint64_t digits, int q) {
  constexpr int fraction_bits = 52;
  constexpr int bias = 1023;
  const PowerOfFive& power = powers_of_five[static_cast<std::size_t>(q + highest_power)];
  const int shift = std::countl_zero(digits);
  digits <<= shift;
  const Wide product = Wide{digits} * power.high;
  auto high = static_cast<std::uint64_t>(product >> 64);
  auto low = static_cast<std::uint64_t>(product);
  // All ones below the bits that are wanted: what was cut off could still carry.
  if ((high & 0x1FF) == 0x1FF) {
    const auto more = static_cast<std::uint64_t>(Wide{digits} * power.low >> 64);
    low += more;
    high += low < more;
  }
  const int top = static_cast<int>(high >> 63);
  const int cut = top + 64 - fraction_bits - 3;
  std::uint64_t fraction = high >> cut;  // one bit more than wanted, for rounding
  // ⌊q log2(5)⌋ + q, by a fraction that holds for these q (section 5).
  const int power_of_two = (217706 * q >> 16) + 63;
  int exponent = power_of_two + top - shift + bias;
  // Just between two doubles, the lower one even: can only be where 5^|q| fits (section 8).
  if (low <= 1 && q >= -4 && q <= 23 && (fraction & 3) == 1 && fraction << cut == high) {
    fraction &= ~std::uint64_t{1};
  }
  fraction = (fraction + (fraction & 1)) >> 1;
  if (fraction >> (fraction_bits + 1) != 0) {
    fraction >>= 1;
    ++exponent;
  }
  fraction &= (std::uint64_t{1} << fraction_bits) - 1;
  return std::bit_cast<double>(static_cast<std::uint64_t>(exponent) << fraction_bits | fraction);
}

}  // namespace trueblank::intake
