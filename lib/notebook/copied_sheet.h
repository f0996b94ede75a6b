// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trueblank::notebook {

struct CopyWish {
  std::string origin = {};  ///< the first line: `copied from build 12, "Needle 165"`
  std::optional<double> new_length_mm = {};  ///< > 0; without it nothing is changed
  std::optional<double> old_length_mm = {};  ///< along the body's x axis; needed with a new one
  std::optional<double> wood_density_g_cm3 = {};  ///< as it was found, for a blank that was weighed
};

struct CopiedSheet {
  std::string text = {};
  std::vector<std::string> warnings = {};  ///< whole sentences
};

/// A new sheet from an old build's. Its first line says where it is from; of each line that is
/// changed, the old one stays above it as a comment; all else is kept byte for byte.
///
/// Where another length is asked for, the body and every place in it are scaled, rounded to
/// 0.001 mm: the mesh or the drawings by `length`, sections, paths of wires, places of weights,
/// pockets with their holes, hooks' eyes, the ranges of places. What is bought or measured keeps
/// its size: grams, diameters of wires and weights, a hook's hang, the coat's thickness. What was
/// measured of the old body alone is left out: its dunk test, and its weight, in place of which
/// stands the density that it made. Warnings say so.
///
/// text    of a sheet that parse_sheet takes
/// throws  InputError where the text isn't TOML, or the old length isn't known
[[nodiscard]] CopiedSheet copied_sheet(std::string_view text, const CopyWish& wish);

}  // namespace trueblank::notebook
