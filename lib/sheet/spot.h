// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace trueblank::sheet {

/// A place in a sheet's text, both from 1; a column is a character, not a byte.
struct Spot {
  int line = 1;
  int column = 1;
};

/// "needle.toml:31:1"
[[nodiscard]] inline std::string where(const std::string& file, const Spot& spot) {
  return file + ':' + std::to_string(spot.line) + ':' + std::to_string(spot.column);
}

}  // namespace trueblank::sheet
