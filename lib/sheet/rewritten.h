// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

// A sheet's text with one thing in it changed, all else byte for byte. Of each line that is changed
// the old one stays above it as a comment.
namespace trueblank::sheet {

/// The wood of [wood] given anew, by its name in the table or, where that is empty, by its density;
/// what stood there (a weight, halves, where it balances) becomes a comment.
///
/// text    of a sheet that parse_sheet takes
/// throws  InputError where the text isn't TOML
[[nodiscard]] std::string with_wood(std::string_view text, const std::string& name,
                                    double density_g_cm3);

/// As it must be written to a file in another folder: the names of mesh and drawings lead from
/// there to the same files. Unchanged where the folder is the same.
///
/// sheet_path  where the text was read from; "-": standard input, so the folder one is in
/// throws      InputError where the text isn't TOML
[[nodiscard]] std::string for_file(std::string_view text, const std::string& sheet_path,
                                   const std::string& file_path);

/// The names of its mesh and drawings as they stand in it, relative to the sheet.
///
/// throws  InputError where the text isn't TOML
[[nodiscard]] std::vector<std::string> file_names(std::string_view text);

/// With files named anew: of each pair the name that stands there, and the one that is to. No
/// comment is kept.
///
/// throws  InputError where the text isn't TOML
[[nodiscard]] std::string with_file_names(
    std::string_view text, std::span<const std::pair<std::string, std::string>> names);

}  // namespace trueblank::sheet
