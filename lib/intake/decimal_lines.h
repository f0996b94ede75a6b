// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>

#include "intake/nearest_double.h"

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

// Three numbers with a blank between and a line's end after them, as most lines of large text files
// are. The ends of all three are sought at once, and each number is then taken from its end on by
// steps that are the same whatever its length, so that the processor has nothing to foresee.
namespace trueblank::intake {

/// So many bytes before and after the first number are looked at, whatever they are; the caller has
/// to own them.
constexpr std::ptrdiff_t bytes_before_line = 32;
constexpr std::ptrdiff_t bytes_of_line = 64;

namespace lines {

inline constexpr std::uint64_t ones = 0x0101010101010101;
inline constexpr int most_digits = 24;
inline constexpr std::uint64_t ten_to_8 = 100'000'000;
inline constexpr std::uint64_t ten_to_16 = ten_to_8 * ten_to_8;

inline std::uint64_t word_at(const void* at) {
  std::uint64_t word = 0;
  std::memcpy(&word, at, sizeof word);
  return word;
}

/// Read from its byte 8 + n on, what keeps the last n of 16 bytes; from byte n on, the last n - 16
/// of eight.
inline constexpr unsigned char keeping[48] = {
    0,   0,   0,   0,   0,   0,   0,   0,   0,   0,   0,   0,   0,   0,   0,   0,
    0,   0,   0,   0,   0,   0,   0,   0,   255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255};

/// Eight digits' values, the first in the lowest byte, as a number (L. Lamport, "Multiple byte
/// processing with full-word instructions", CACM 18(8), 1975).
inline std::uint64_t value_of_8(std::uint64_t word) {
  constexpr std::uint64_t low_bytes = 0x000000FF000000FF;
  word = 10 * word + (word >> 8);
  return ((word & low_bytes) * (100 + (std::uint64_t{1000000} << 32)) +
          (word >> 16 & low_bytes) * (1 + (std::uint64_t{10000} << 32))) >>
         32;
}

/// Of the digits before `end`, at most 24, the first up to eight, with 16 left after them; a point
/// parts the last `after` from the rest.
inline std::uint64_t first_8_of_24(const char* end, int after, int all) {
  const std::uint64_t right = word_at(end - 24);
  const std::uint64_t left = word_at(end - 25);
  const std::uint64_t word = ((left ^ right) & word_at(keeping + after)) ^ left;
  return value_of_8((word ^ ones * '0') & word_at(keeping + all));
}

/// Keeps the last n of eight bytes.
inline constexpr std::uint64_t keeping_of_8[9] = {0,
                                                  0xFF00000000000000,
                                                  0xFFFF000000000000,
                                                  0xFFFFFF0000000000,
                                                  0xFFFFFFFF00000000,
                                                  0xFFFFFFFFFF000000,
                                                  0xFFFFFFFFFFFF0000,
                                                  0xFFFFFFFFFFFFFF00,
                                                  0xFFFFFFFFFFFFFFFF};

/// Ten to 1 + n; from 8 on, less than nothing.
inline constexpr double signed_powers[16] = {1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,
                                             -1e1, -1e2, -1e3, -1e4, -1e5, -1e6, -1e7, -1e8};

/// A number with a point: where that and the byte after the number stand, digits before the point,
/// and one fewer than after it.
struct Fixed {
  int point = 0;
  int end = 0;
  unsigned before = 0;
  unsigned after_first = 0;
  unsigned negative = 0;

  Fixed() = default;

  Fixed(int from, int point_at, int end_at, std::uint64_t minuses)
      : point(point_at), end(end_at), negative(static_cast<unsigned>(minuses >> from & 1)) {
    before = static_cast<unsigned>(point - from) - negative;
    after_first = static_cast<unsigned>(end - point - 2);
  }

  [[nodiscard]] unsigned after() const { return after_first + 1; }

  [[nodiscard]] const double* power() const { return signed_powers + after_first; }

  [[nodiscard]] const double* signed_power() const {
    return signed_powers + (after_first | negative << 3);
  }
};

/// A bit for each byte: no digit; a minus.
struct Marks {
  std::uint64_t others = 0;
  std::uint64_t minuses = 0;
};

#if defined(__SSE2__)

inline Marks marks_of_16(const char* at) {
  const __m128i bytes = _mm_loadu_si128(reinterpret_cast<const __m128i*>(at));
  const __m128i values = _mm_sub_epi8(bytes, _mm_set1_epi8('0'));
  const __m128i digits = _mm_cmpeq_epi8(_mm_min_epu8(values, _mm_set1_epi8(9)), values);
  const __m128i minuses = _mm_cmpeq_epi8(bytes, _mm_set1_epi8('-'));
  return {static_cast<std::uint64_t>(_mm_movemask_epi8(digits) ^ 0xFFFF),
          static_cast<std::uint64_t>(_mm_movemask_epi8(minuses))};
}

/// Of such digits the last 16.
inline std::uint64_t last_16(const char* end, int after, int all) {
  const auto bytes_at = [](const void* at) {
    return _mm_loadu_si128(static_cast<const __m128i*>(at));
  };
  const __m128i right = bytes_at(end - 16);
  const __m128i left = bytes_at(end - 17);
  const __m128i text =
      _mm_xor_si128(_mm_and_si128(_mm_xor_si128(left, right), bytes_at(keeping + 8 + after)), left);
  const __m128i digits =
      _mm_and_si128(_mm_xor_si128(text, _mm_set1_epi8('0')), bytes_at(keeping + 8 + all));
  // Ever two neighbours become one: numbers of two digits, of four, of eight.
  const __m128i firsts = _mm_and_si128(digits, _mm_set1_epi16(0xFF));
  const __m128i twos =
      _mm_add_epi16(_mm_mullo_epi16(firsts, _mm_set1_epi16(10)), _mm_srli_epi16(digits, 8));
  const __m128i fours = _mm_madd_epi16(twos, _mm_set1_epi32(100 + (1 << 16)));
  const __m128i eights =
      _mm_madd_epi16(_mm_packs_epi32(fours, fours), _mm_set1_epi32(10000 + (1 << 16)));
  const auto both = static_cast<std::uint64_t>(_mm_cvtsi128_si64(eights));
  return ten_to_8 * (both & 0xFFFFFFFF) + (both >> 32);
}

inline __m128i two_words(const void* low, const void* high) {
  return _mm_castpd_si128(
      _mm_loadh_pd(_mm_castsi128_pd(_mm_loadl_epi64(static_cast<const __m128i*>(low))),
                   static_cast<const double*>(high)));
}

inline __m128d two_doubles(const double* low, const double* high) {
  return _mm_loadh_pd(_mm_load_sd(low), high);
}

/// Of the last few of twice eight digits, each four as a number.
inline __m128i fours_of(__m128i text, __m128i kept) {
  const __m128i digits = _mm_and_si128(_mm_xor_si128(text, _mm_set1_epi8('0')), kept);
  const __m128i firsts = _mm_and_si128(digits, _mm_set1_epi16(0xFF));
  const __m128i twos =
      _mm_add_epi16(_mm_mullo_epi16(firsts, _mm_set1_epi16(10)), _mm_srli_epi16(digits, 8));
  return _mm_madd_epi16(twos, _mm_set1_epi32(100 + (1 << 16)));
}

inline __m128i eights_of(__m128i fours, __m128i more_fours) {
  return _mm_madd_epi16(_mm_packs_epi32(fours, more_fours), _mm_set1_epi32(10000 + (1 << 16)));
}

inline __m128i fours_of(const char* line, const Fixed& number) {
  return fours_of(two_words(line + number.point - 8, line + number.end - 8),
                  two_words(keeping_of_8 + number.before, keeping_of_8 + number.after()));
}

/// Both parts of three numbers side by side: before the point times a power of ten, plus what is
/// after it, all below 2^53, over that power (W. Clinger, as in short_decimal).
inline void fixed_decimals(const char* line, const Fixed* number, double* values) {
  const __m128i xy = eights_of(fours_of(line, number[0]), fours_of(line, number[1]));
  const __m128i zz = eights_of(fours_of(line, number[2]), _mm_setzero_si128());
  const __m128d x = _mm_cvtepi32_pd(xy);
  const __m128d y = _mm_cvtepi32_pd(_mm_unpackhi_epi64(xy, xy));
  const __m128d z = _mm_cvtepi32_pd(zz);
  const __m128d scale = two_doubles(number[0].power(), number[1].power());
  const __m128d digits =
      _mm_add_pd(_mm_mul_pd(_mm_unpacklo_pd(x, y), scale), _mm_unpackhi_pd(x, y));
  const __m128d signed_scale = two_doubles(number[0].signed_power(), number[1].signed_power());
  _mm_storeu_pd(values, _mm_div_pd(digits, signed_scale));
  const __m128d last =
      _mm_add_sd(_mm_mul_sd(z, _mm_load_sd(number[2].power())), _mm_unpackhi_pd(z, z));
  _mm_store_sd(values + 2, _mm_div_sd(last, _mm_load_sd(number[2].signed_power())));
}

#else

inline void fixed_decimals(const char* line, const Fixed* number, double* values) {
  for (int k = 0; k < 3; ++k) {
    const auto eight = [line](int end, unsigned kept) {
      return value_of_8((word_at(line + end - 8) ^ ones * '0') & keeping_of_8[kept]);
    };
    const double before = static_cast<double>(eight(number[k].point, number[k].before));
    const double after = static_cast<double>(eight(number[k].end, number[k].after()));
    values[k] = (before * *number[k].power() + after) / *number[k].signed_power();
  }
}

inline Marks marks_of_8(const char* at) {
  // Each byte's top bit tells, no carry reaching the next; the product gathers them.
  const auto gathered = [](std::uint64_t tops) {
    return ((tops & ones * 0x80) >> 7) * 0x0102040810204080 >> 56;
  };
  const std::uint64_t text = word_at(at);
  const std::uint64_t values = text ^ ones * '0';
  const std::uint64_t differing = text ^ ones * '-';
  return {gathered(((values & ones * 0x7F) + ones * 0x76) | values),
          gathered(~(((differing & ones * 0x7F) + ones * 0x7F) | differing))};
}

inline Marks marks_of_16(const char* at) {
  const Marks low = marks_of_8(at);
  const Marks high = marks_of_8(at + 8);
  return {low.others | high.others << 8, low.minuses | high.minuses << 8};
}

/// Of such digits the last 16.
inline std::uint64_t last_16(const char* end, int after, int all) {
  const auto eight = [&](std::ptrdiff_t before, std::ptrdiff_t mask) {
    const std::uint64_t right = word_at(end - before);
    const std::uint64_t left = word_at(end - before - 1);
    const std::uint64_t word = ((left ^ right) & word_at(keeping + mask + after)) ^ left;
    return value_of_8((word ^ ones * '0') & word_at(keeping + mask + all));
  };
  return ten_to_8 * eight(16, 8) + eight(8, 16);
}

#endif

/// 16 times `count` bytes.
template <int count>
inline Marks marks_of(const char* at) {
  Marks all;
  for (int i = 0; i < count; ++i) {
    const Marks some = marks_of_16(at + 16 * i);
    all.others |= some.others << 16 * i;
    all.minuses |= some.minuses << 16 * i;
  }
  return all;
}

/// Where the lowest bit stands, which is taken away.
inline int next_of(std::uint64_t& bits) {
  const int at = __builtin_ctzll(bits);
  bits &= bits - 1;
  return at;
}

/// Ten to so much, which a double holds exactly.
inline constexpr double powers_of_ten[] = {1e0, 1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7, 1e8,
                                           1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16};

/// The digits of a number in a line, and where the point among them stands.
struct Token {
  int end = 0;
  int digits = 0;
  int after_point = 0;
  int together = 0;  ///< digits at the end with no point between them
  bool negative = false;
};

/// The number up to the next two marks, or one where it has no point.
inline bool next_token(const char* line, int from, std::uint64_t minuses, std::uint64_t& stops,
                       Token& token) {
  if (stops == 0) return false;
  const int negative = static_cast<int>(minuses >> from & 1);
  const int stop = next_of(stops);
  token.negative = negative != 0;
  token.digits = token.together = stop - from - negative;
  token.end = stop;
  token.after_point = 0;
  if (line[stop] == '.') {
    if (stops == 0) return false;
    token.end = next_of(stops);
    token.after_point = token.together = token.end - stop - 1;
    token.digits += token.after_point;
  }
  return token.digits > 0 && token.digits <= most_digits;
}

inline double with_sign(double size, bool negative) {
  return std::bit_cast<double>(std::bit_cast<std::uint64_t>(size) | std::uint64_t{negative} << 63);
}

/// Of no more than 16 digits: those below 2^53 and the power of ten are doubles, and so is what
/// their quotient rounds to, the nearest (W. Clinger, "How to read floating point numbers
/// accurately", PLDI 1990).
inline bool short_decimal(const char* line, const Token& token, double& number) {
  const std::uint64_t digits = last_16(line + token.end, token.together, token.digits);
  if (digits >> 53 != 0) return false;
  number = with_sign(
      static_cast<double>(static_cast<std::int64_t>(digits)) / powers_of_ten[token.after_point],
      token.negative);
  return true;
}

inline bool long_decimal(const char* line, const Token& token, double& number) {
  const char* const end = line + token.end;
  const std::uint64_t first = first_8_of_24(end, token.together, token.digits);
  constexpr std::uint64_t most_first = ~std::uint64_t{0} / ten_to_16 - 1;
  const std::uint64_t digits = ten_to_16 * first + last_16(end, token.together, token.digits);
  if (first > most_first) return false;
  number = with_sign(digits == 0 ? 0 : nearest_double(digits, -token.after_point), token.negative);
  return true;
}

/// The start of the next line, if one ends here.
inline const char* past_line_end(const char* at) {
  at += *at == '\r';
  return *at == '\n' ? at + 1 : nullptr;
}

/// A minus stands before a number or nowhere.
inline bool minuses_lead(std::uint64_t minuses, int x_end, int y_end, int z_end) {
  const std::uint64_t starts = 1 | std::uint64_t{2} << x_end | std::uint64_t{2} << y_end;
  const std::uint64_t within = (std::uint64_t{1} << z_end) - 1;
  return (minuses & within & ~starts) == 0;
}

/// As read_three_decimals, for numbers that all have a point, up to seven digits before it and one
/// to eight after, as nearly all programs write them.
inline const char* three_fixed_decimals(const char* at, const Marks& marks, double* numbers) {
  std::uint64_t stops = marks.others & ~marks.minuses;
  int stop[6];
  const auto next_two = [&stops](int* two) {
    if ((stops & (stops - 1)) == 0) return false;
    two[0] = next_of(stops);
    two[1] = next_of(stops);
    return true;
  };
  // The first number mostly tells how all are written.
  if (!next_two(stop) || stop[1] - stop[0] > 9 || !next_two(stop + 2) || !next_two(stop + 4)) {
    return nullptr;
  }
  const Fixed number[3] = {{0, stop[0], stop[1], marks.minuses},
                           {stop[1] + 1, stop[2], stop[3], marks.minuses},
                           {stop[3] + 1, stop[4], stop[5], marks.minuses}};
  const unsigned most = number[0].before | number[1].before | number[2].before |
                        number[0].after_first | number[1].after_first | number[2].after_first;
  if (most > 7 || at[stop[0]] != '.' || at[stop[1]] != ' ' || at[stop[2]] != '.' ||
      at[stop[3]] != ' ' || at[stop[4]] != '.' ||
      !minuses_lead(marks.minuses, stop[1], stop[3], stop[5])) {
    return nullptr;
  }
  fixed_decimals(at, number, numbers);
  return past_line_end(at + stop[5]);
}

}  // namespace lines

/// Three decimals: digits, with a minus before and a point among them or not. No exponents.
///
/// at       where the first begins
/// returns  the start of the next line; null for whatever else stands there. Then `numbers` may
///          hold anything.
[[nodiscard]] inline const char* read_three_decimals(const char* at, double* numbers) {
  using namespace lines;
  const Marks marks = marks_of<bytes_of_line / 16>(at);
  const char* const after_fixed = three_fixed_decimals(at, marks, numbers);
  if (after_fixed != nullptr) return after_fixed;
  std::uint64_t stops = marks.others & ~marks.minuses;
  Token x;
  Token y;
  Token z;
  if (!next_token(at, 0, marks.minuses, stops, x) || at[x.end] != ' ' ||
      !next_token(at, x.end + 1, marks.minuses, stops, y) || at[y.end] != ' ' ||
      !next_token(at, y.end + 1, marks.minuses, stops, z)) {
    return nullptr;
  }
  const char* const next = past_line_end(at + z.end);
  if (next == nullptr || !minuses_lead(marks.minuses, x.end, y.end, z.end)) return nullptr;
  if (std::max({x.digits, y.digits, z.digits}) <= 16) {
    if (short_decimal(at, x, numbers[0]) && short_decimal(at, y, numbers[1]) &&
        short_decimal(at, z, numbers[2])) {
      return next;
    }
  }
  if (long_decimal(at, x, numbers[0]) && long_decimal(at, y, numbers[1]) &&
      long_decimal(at, z, numbers[2])) {
    return next;
  }
  return nullptr;
}

/// Three whole numbers of up to eight digits, otherwise as read_three_decimals.
[[nodiscard]] inline const char* read_three_counts(const char* at, unsigned* numbers) {
  using namespace lines;
  std::uint64_t stops = marks_of<2>(at).others;
  int from = 0;
  for (int k = 0; k < 3; ++k) {
    if (stops == 0) return nullptr;
    const int stop = next_of(stops);
    const int digits = stop - from;
    if (digits < 1 || digits > 8 || (k < 2 && at[stop] != ' ')) return nullptr;
    const std::uint64_t word = (word_at(at + from) ^ ones * '0') << (64 - 8 * digits);
    numbers[k] = static_cast<unsigned>(value_of_8(word));
    from = stop + 1;
  }
  return past_line_end(at + from - 1);
}

}  // namespace trueblank::intake
