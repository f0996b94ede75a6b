// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sheet/spot.h"

namespace trueblank::sheet {

struct Entry;

/// A piece of TOML with its place in the text: what the rest of this room reads, so that the
/// parser's own types stay in one .cpp.
struct Node {
  enum class Kind { table, list, text, number, truth, date };

  Kind kind = Kind::table;
  Spot spot;
  std::string text;            ///< of a text
  double number = 0;           ///< of a number (may be infinite or NaN); truth: 0 or 1
  std::vector<Node> items;     ///< of a list
  std::vector<Entry> entries;  ///< of a table, in the order of the text
};

struct Entry {
  std::string key;
  Spot key_spot;
  Node value;

  /// Where it begins: of a heading its bracket, of a key itself.
  [[nodiscard]] Spot start() const {
    const bool heading = value.spot.line == key_spot.line && value.spot.column < key_spot.column;
    return heading ? value.spot : key_spot;
  }
};

/// Parses a whole TOML text.
///
/// file    for messages only
/// throws  InputError with file:line:column, in one line and our own words: not text, empty, too
///         deeply nested, a string that is not closed, a key given twice, any other syntax error
[[nodiscard]] Node parse_toml(std::string_view text, const std::string& file);

}  // namespace trueblank::sheet
