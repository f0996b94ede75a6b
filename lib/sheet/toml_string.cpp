// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/toml_string.h"

namespace trueblank::sheet {

std::string toml_string(std::string_view text) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '\n') {
      out += "\\n";
    } else if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20 || byte == 0x7F) {
      out += "\\u00";
      out += digits[byte >> 4U];
      out += digits[byte & 0xFU];
    } else {
      out += c;
    }
  }
  return out + '"';
}

}  // namespace trueblank::sheet
