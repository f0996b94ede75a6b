// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace trueblank::sheet {

/// A text as TOML 1.0 has it: a basic string in quotes, control characters escaped.
/// text  UTF-8
[[nodiscard]] std::string toml_string(std::string_view text);

}  // namespace trueblank::sheet
