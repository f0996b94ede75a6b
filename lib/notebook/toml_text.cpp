// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/toml_text.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace trueblank::notebook {

namespace {

unsigned byte_at(std::string_view text, std::size_t i) {
  return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
}

bool between(unsigned value, unsigned low, unsigned high) { return value >= low && value <= high; }

// Table 3-7: how many bytes the well-formed character at `i` has; 0 where there is none.
std::size_t character_bytes(std::string_view text, std::size_t i) {
  const unsigned first = byte_at(text, i);
  if (first < 0x80) return 1;
  if (!between(first, 0xC2, 0xF4)) return 0;
  const unsigned second_low = first == 0xE0 ? 0xA0U : (first == 0xF0 ? 0x90U : 0x80U);
  const unsigned second_high = first == 0xED ? 0x9FU : (first == 0xF4 ? 0x8FU : 0xBFU);
  if (!between(byte_at(text, i + 1), second_low, second_high)) return 0;
  const std::size_t count = first < 0xE0 ? 2 : (first < 0xF0 ? 3 : 4);
  for (std::size_t k = 2; k < count; ++k) {
    if (!between(byte_at(text, i + k), 0x80, 0xBF)) return 0;
  }
  return count;
}

}  // namespace

bool is_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t bytes = character_bytes(text, i);
    if (bytes == 0) return false;
    i += bytes;
  }
  return true;
}

std::string toml_number(double value) {
  constexpr double most_without_exponent = 1e15;
  if (value == 0) return std::signbit(value) ? "-0.0" : "0";
  std::array<char, 40> room{};
  char* const end = room.data() + room.size();
  const char* const past =
      std::abs(value) < most_without_exponent
          ? std::to_chars(room.data(), end, value).ptr
          : std::to_chars(room.data(), end, value, std::chars_format::scientific).ptr;
  return std::string(static_cast<const char*>(room.data()), past);
}

}  // namespace trueblank::notebook
