// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trueblank::sheet {

/// The one of `known` that `word` was most likely meant to be; empty where none is near. Two
/// letters that changed places count as one slip, capitals as none; a slip in three letters at
/// most. Of equally near ones the first.
[[nodiscard]] std::string_view nearest_word(std::string_view word,
                                            std::span<const std::string_view> known);

/// The names of rows that each have one, such as a table of woods.
[[nodiscard]] std::vector<std::string_view> names_of(const auto& rows) {
  std::vector<std::string_view> names;
  for (const auto& row : rows) names.push_back(row.name);
  return names;
}

/// "a, b, c"
[[nodiscard]] std::string listed(std::span<const std::string_view> words);

}  // namespace trueblank::sheet
