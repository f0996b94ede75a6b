// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace trueblank::tools {

/// The first 12 digits of the commit that the program was built from, with " and changes" where
/// files differed from it; empty where it was not built from a git checkout. version.cmake writes
/// the source of it at every build.
[[nodiscard]] std::string_view commit();

/// What --version shows: "trueblank 0.1.0 (commit 0123456789ab)", without the bracket where the
/// commit isn't known.
[[nodiscard]] std::string version_line();

}  // namespace trueblank::tools
