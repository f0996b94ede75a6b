// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace trueblank::sheet {

/// The one of `known` that `word` was most likely meant to be; empty where none is near. Two
/// letters that changed places count as one slip, capitals as none; a slip in three letters at
/// most. Of equally near ones the first.
[[nodiscard]] std::string_view nearest_word(std::string_view word,
                                            std::span<const std::string_view> known);

/// "a, b, c"
[[nodiscard]] std::string listed(std::span<const std::string_view> words);

}  // namespace trueblank::sheet
