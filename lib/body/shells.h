// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "intake/mend.h"

// Inside the room.
namespace trueblank::body {

/// The facets that left and right are told by, 1 each: what was scanned of the outer skin.
[[nodiscard]] std::vector<std::uint8_t> outside_measured(const intake::MendedMesh& mended);

}  // namespace trueblank::body
