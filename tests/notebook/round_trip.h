// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>

namespace trueblank::notebook {

/// Adds invented builds to a book, forgets every tenth, exports it, imports that into an empty one
/// and exports it again: every build is as it was invented, and both exports are the same files to
/// the last byte.
void round_trip(std::size_t builds, std::uint64_t seed);

}  // namespace trueblank::notebook
