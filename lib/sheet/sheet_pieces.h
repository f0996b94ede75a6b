// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace trueblank::sheet {

/// A stretch of a sheet's text, of a table that may be rewritten or left out, or of all else.
struct SheetPiece {
  std::string text = {};
  std::string table = {};  ///< "ballast", "wire", "pocket", "hook", "outside", "wood", "finish",
                           ///< "water"; empty: of none of them
  int index = -1;  ///< which of its kind, in the sheet's order; −1: the text may be of all of them
};

/// A sheet's text cut up, so that single tables can be taken out of it or written anew with all
/// else left byte for byte. Joined in their order the pieces are the text.
///
/// A table under its own heading goes with the comments right above that heading, save those that
/// the file begins with, and with what is below it to the next heading: to its own last line, the
/// comments right below that, and the blank lines after those. Headings of tables within it are its
/// own; where another table stands between, it takes several pieces of one table and index.
///
/// What is written as a key of the sheet ("hook = [ … ]", "wood = { … }", "wood.density = 0.4") is
/// a piece with index −1 of its lines, as all of its kind may be in it. A table can't be put in its
/// place, as keys of the sheet may follow: it can at the end of the text.
///
/// What is left where all pieces of a table and index are taken out, or all of a table, is TOML.
///
/// text    of a sheet that parse_sheet takes
/// throws  InputError where the text isn't TOML
[[nodiscard]] std::vector<SheetPiece> sheet_pieces(std::string_view text);

}  // namespace trueblank::sheet
