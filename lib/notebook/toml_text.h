// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

// The little of TOML 1.0 that an export is written in.
namespace trueblank::notebook {

/// Whether a text is UTF-8 as Unicode 15, table 3-7, has it: no overlong forms, no surrogates,
/// nothing above U+10FFFF.
[[nodiscard]] bool is_utf8(std::string_view text);

/// The shortest number that reads back to the same double; whole numbers beyond 10^15 with an
/// exponent, since TOML's own are of 64 bits.
/// value  finite
[[nodiscard]] std::string toml_number(double value);

}  // namespace trueblank::notebook
