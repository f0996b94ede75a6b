// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace trueblank::test_text {

/// A text as it was before it was wrapped: each run of spaces and line ends is one space.
inline std::string in_one_line(const std::string& text) {
  std::string line;
  for (const char c : text) {
    const bool space = c == ' ' || c == '\n';
    if (!space || !line.ends_with(' ')) line += space ? ' ' : c;
  }
  return line;
}

}  // namespace trueblank::test_text
