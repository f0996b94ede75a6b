// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>

namespace trueblank::report {

/// "0.1.0", from the build.
[[nodiscard]] std::string_view version();

}  // namespace trueblank::report
