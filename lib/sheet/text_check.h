// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace trueblank::sheet {

/// What a parser would report oddly, or choke on, looked for before it is asked: bytes that are no
/// text, strings that are not closed on their line, brackets and dotted keys nested deeper than
/// any sheet needs.
/// throws  InputError with file:line:column
void check_text(std::string_view text, const std::string& file);

}  // namespace trueblank::sheet
