// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace trueblank::intake {

/// What a text in base64 stands for (RFC 4648, section 4); blanks and line ends may stand in it,
/// the padding may be missing. Nothing where it is none.
[[nodiscard]] std::optional<std::string> from_base64(std::string_view text);

}  // namespace trueblank::intake
