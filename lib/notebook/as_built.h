// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trueblank::notebook {

/// A part as it came out: weighed, and where it was measured to sit.
struct AsBuiltPart {
  std::string name = {};  ///< as in the sheet
  std::optional<double> mass_g = {};
  std::vector<double> at_mm = {};  ///< body frame: x, z or x, y, z; empty where not measured

  bool operator==(const AsBuiltPart&) const = default;
};

/// What the bench showed of a finished build.
struct AsBuilt {
  std::string text = {};  ///< as it was written, byte for byte
  std::optional<double> total_g = {};
  std::optional<double> blank_g = {};  ///< the bare blank before holes
  std::vector<AsBuiltPart> parts = {};

  bool operator==(const AsBuilt&) const = default;
};

/// Reads a file of as-built figures:
///
///     total = "58.3 g"
///     blank = "31.4 g"
///     [[part]]
///     name = "belly"
///     mass = "9.1 g"
///     at = [70, -9]
///
/// Everything may be left out but a part's name; quantities as in a build sheet.
///
/// file    for messages
/// throws  InputError with file:line:column
[[nodiscard]] AsBuilt parse_as_built(std::string_view text, const std::string& file);

}  // namespace trueblank::notebook
