// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "body/print_check.h"

// Inside the room: how a body goes onto a printer's bed.
namespace trueblank::body {

/// The rests that are looked at: as in the file, belly down, on its flank, upright. Each lies
/// straight along the bed's width or its depth; the last three, where that is too long, turned
/// about the vertical to where they have the most room. Leaning ones are not looked at.
///
/// bed_mm   wide, deep, high
/// returns  with a bed those with most room first, without one those of the least box
[[nodiscard]] std::vector<BedRest> bed_rests(const FramedBody& body,
                                             const std::optional<std::array<double, 3>>& bed_mm);

}  // namespace trueblank::body
