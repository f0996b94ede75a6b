// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>

#include "intake/decimal_lines.h"

namespace trueblank::intake {

/// How a face's line is laid out: which of its bytes are digits, and what stands between them. Most
/// lines are laid out as the one before, so that one comparison tells all about them, and the next
/// line is begun without waiting for this one's numbers.
class FaceLayout {
 public:
  /// So many bytes from a line's start on are looked at, whatever they are, and eight before them;
  /// the caller has to own them.
  static constexpr std::ptrdiff_t most_bytes = 96;

  /// Takes over how the line at `at` is laid out.
  ///
  /// returns  whether it is a face of three corners, each a number of up to eight digits and maybe
  ///          slashes and digits after it; else no line fits.
  bool learn(const char* at) {
    blocks_ = 0;
    if (at[0] != 'f' || at[1] != ' ') return false;
    int to = 1;
    for (int k = 0; k < 3; ++k) {
      while (to < most_bytes && at[to] == ' ') ++to;
      const int from = to;
      while (to < most_bytes && is_digit(at[to])) ++to;
      ends_[k] = to;
      if (to == from || to - from > most_digits) return false;
      kept_[k] = lines::keeping_of_8[to - from];
      if (to < most_bytes && at[to] == '/') {
        while (to < most_bytes && (at[to] == '/' || is_digit(at[to]))) ++to;
      }
      if (k < 2 && (to == most_bytes || at[to] != ' ')) return false;
    }
    while (to < most_bytes && (at[to] == ' ' || at[to] == '\r')) ++to;
    if (to == most_bytes || at[to] != '\n') return false;
    length_ = to + 1;
    take_pattern(at);
    return true;
  }

  [[nodiscard]] bool fits(const char* at) const {
    if (blocks_ == 0) return false;
#if defined(__SSE2__)
    const auto block = [](const void* from) {
      return _mm_loadu_si128(static_cast<const __m128i*>(from));
    };
    __m128i others = _mm_setzero_si128();
    for (int i = 0; i < 16 * blocks_; i += 16) {
      const __m128i differing = _mm_xor_si128(block(at + i), block(pattern_ + i));
      others = _mm_or_si128(others, _mm_adds_epu8(differing, block(slack_ + i)));
    }
    return _mm_movemask_epi8(others) == 0;
#else
    std::uint64_t others = 0;
    for (int i = 0; i < 16 * blocks_; i += 8) {
      const std::uint64_t differing = lines::word_at(at + i) ^ lines::word_at(pattern_ + i);
      others |= ((differing & lines::ones * 0x7F) + lines::word_at(slack_ + i)) | differing;
    }
    return (others & lines::ones * 0x80) == 0;
#endif
  }

  /// The bytes of a line that fits.
  [[nodiscard]] std::ptrdiff_t length() const { return length_; }

  /// The three corners of a line that fits, counted from 0: none where the line has a 0. Writes to
  /// four places.
  void read(const char* at, int* corners) const {
#if defined(__SSE2__)
    const __m128i two = lines::fours_of(lines::two_words(at + ends_[0] - 8, at + ends_[1] - 8),
                                        lines::two_words(kept_, kept_ + 1));
    const __m128i third = lines::fours_of(lines::two_words(at + ends_[2] - 8, at),
                                          lines::two_words(kept_ + 2, kept_ + 3));
    const __m128i counts = lines::eights_of(two, third);
    _mm_storeu_si128(reinterpret_cast<__m128i*>(corners),
                     _mm_add_epi32(counts, _mm_set1_epi32(-1)));
#else
    for (int k = 0; k < 3; ++k) {
      const std::uint64_t word = lines::word_at(at + ends_[k] - 8) ^ lines::ones * '0';
      corners[k] = static_cast<int>(lines::value_of_8(word & kept_[k])) - 1;
    }
#endif
  }

 private:
  static constexpr int most_digits = 8;

  static bool is_digit(char c) { return c >= '0' && c <= '9'; }

  /// What a byte differs by from its pattern, and the slack on top, reach 128 where it is none that
  /// fits: other than a digit for a digit, anything else for what is not one.
  void take_pattern(const char* at) {
    std::memset(pattern_, 0, sizeof pattern_);
    std::memset(slack_, 0, sizeof slack_);
    for (int i = 0; i < length_; ++i) {
      pattern_[i] = is_digit(at[i]) ? '0' : at[i];
      slack_[i] = is_digit(at[i]) ? 128 - 10 : 128 - 1;
    }
    blocks_ = (length_ + 15) / 16;
  }

  char pattern_[most_bytes] = {};
  unsigned char slack_[most_bytes] = {};
  std::uint64_t kept_[4] = {};  ///< of the eight bytes before each end; the fourth is none
  int ends_[3] = {};
  int blocks_ = 0;
  int length_ = 0;
};

}  // namespace trueblank::intake
