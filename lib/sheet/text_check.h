// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace trueblank::sheet {

/// A sheet has some kilobytes; more than this is a mesh given in its place.
inline constexpr std::size_t largest_sheet_bytes = 1'000'000;

/// What a parser would report oddly, or choke on, looked for before it is asked: bytes that are no
/// text, strings that are not closed on their line, brackets and dotted keys nested deeper than
/// any sheet needs.
/// throws  InputError with file:line:column
void check_text(std::string_view text, const std::string& file);

}  // namespace trueblank::sheet
