// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trueblank::notebook {

struct CopiedSheet {
  std::string text = {};
  std::vector<std::string> warnings = {};  ///< whole sentences
};

/// A new sheet from an old build's. Its first line says where it is from; of each line that is
/// changed, the old one stays above it as a comment; all else is kept byte for byte.
///
/// Where another length is asked for, every length and place is scaled with the body: the mesh by
/// `length`, sections and drawings, paths, places, diameters, depths, the coat's thickness. Masses
/// of weights, hooks and wire, and what was weighed, stay, and a warning says so.
///
/// text          of a sheet that parse_sheet takes
/// origin        for the first line: `copied from build 12, "Needle 165"`
/// length_mm     of the old body, along its own x axis; needed where a new one is asked for
/// new_length_mm > 0
/// throws        InputError where the text isn't TOML
[[nodiscard]] CopiedSheet copied_sheet(std::string_view text, const std::string& origin,
                                       std::optional<double> length_mm,
                                       std::optional<double> new_length_mm);

}  // namespace trueblank::notebook
