// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/base64.h"

#include <cstdint>

namespace trueblank::intake {
namespace {

/// 0 to 63, or −1.
int value_of(char letter) {
  if (letter >= 'A' && letter <= 'Z') return letter - 'A';
  if (letter >= 'a' && letter <= 'z') return letter - 'a' + 26;
  if (letter >= '0' && letter <= '9') return letter - '0' + 52;
  if (letter == '+') return 62;
  return letter == '/' ? 63 : -1;
}

}  // namespace

std::optional<std::string> from_base64(std::string_view text) {
  std::string bytes;
  bytes.reserve(text.size() / 4 * 3 + 3);
  std::uint32_t held = 0;
  int bits = 0;
  std::size_t i = 0;
  for (; i < text.size() && text[i] != '='; ++i) {
    if (text[i] == '\n' || text[i] == '\r' || text[i] == ' ') continue;
    const int value = value_of(text[i]);
    if (value < 0) return {};
    held = held << 6 | static_cast<std::uint32_t>(value);
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes += static_cast<char>(held >> bits & 0xff);
  }
  if (text.find_first_not_of("=\r\n ", i) != std::string_view::npos) return {};
  return bytes;
}

}  // namespace trueblank::intake
