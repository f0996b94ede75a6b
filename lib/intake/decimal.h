// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>

// Digits taken eight at a time out of one 64-bit word (L. Lamport, "Multiple byte processing with
// full-word instructions", CACM 18(8), 1975).
namespace trueblank::intake {

static_assert(std::endian::native == std::endian::little, "a word's lowest byte comes first");

/// Takes the first `digits` bytes of a word, each a digit's value, onto `value`.
template <int digits>
inline void take_from_word(const char*& at, std::uint64_t word, std::uint64_t& value) {
  constexpr std::uint64_t powers[] = {1,      10,      100,      1000,     10000,
                                      100000, 1000000, 10000000, 100000000};
  constexpr std::uint64_t low_bytes = 0x000000FF000000FF;
  word <<= 64 - 8 * digits;  // as many zeros in front as are wanting to eight
  word = 10 * word + (word >> 8);
  word = ((word & low_bytes) * (powers[2] + (powers[6] << 32)) +
          (word >> 16 & low_bytes) * (powers[0] + (powers[4] << 32))) >>
         32;
  value = powers[digits] * value + word;
  at += digits;
}

/// Steps over the digits that begin at `at` and takes them onto `value`, which wraps round at 2^64.
inline void take_few_digits(const char*& at, const char* end, std::uint64_t& value) {
  for (; at != end && *at >= '0' && *at <= '9'; ++at) {
    value = 10 * value + static_cast<std::uint64_t>(*at - '0');
  }
}

/// As take_few_digits; faster from about three digits on. The step to the next byte is told by a
/// branch, which the processor foresees where numbers are of one length, and not by arithmetic,
/// for which it has to wait.
inline void take_digits(const char*& at, const char* end, std::uint64_t& value) {
  constexpr std::uint64_t ones = 0x0101010101010101;
  while (end - at >= 8) {
    std::uint64_t word = 0;
    std::memcpy(&word, at, sizeof word);
    word ^= ones * '0';  // a digit's byte becomes its value, all others more than 9
    const std::uint64_t others = (word | (word + ones * 0x76)) & (ones * 0x80);
    if (others == 0) {
      take_from_word<8>(at, word, value);
      continue;
    }
    switch (std::countr_zero(others) / 8) {
      case 1:
        return take_from_word<1>(at, word, value);
      case 2:
        return take_from_word<2>(at, word, value);
      case 3:
        return take_from_word<3>(at, word, value);
      case 4:
        return take_from_word<4>(at, word, value);
      case 5:
        return take_from_word<5>(at, word, value);
      case 6:
        return take_from_word<6>(at, word, value);
      case 7:
        return take_from_word<7>(at, word, value);
      default:
        return;
    }
  }
  take_few_digits(at, end, value);
}

/// The double that is nearest to a number as it is usually written: a sign, digits with or without
/// a point, an exponent or none. Ties go to the even one.
///
/// at       where it begins
/// returns  just past it; null, with `value` as it was, for whatever else stands there, and for
///          more than 19 digits or powers of ten beyond 27, which std::from_chars can read
/// source   D. Lemire, "Number parsing at a gigabyte per second", Software: Practice and
///          Experience 51(8), 2021, sections 5 to 9
[[nodiscard]] const char* read_decimal(const char* at, const char* end, double& value);

}  // namespace trueblank::intake
