// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "body/print_check.h"

// Inside the room: left against right to the last digit.
namespace trueblank::body {

/// Where the vertices stand over against vertices the plane is fitted anew to them, robustly; else
/// it is the one that the body's frame stands on. A vertex that stands over against none may be off
/// by what the flat facets about it and opposite stand off a smooth skin.
/// source  weights: A. E. Beaton, J. W. Tukey, Technometrics 16(2), 147-185, 1974
[[nodiscard]] MirrorTruth mirror_truth(const FramedBody& body, const geometry::ParallelFor& loop);

}  // namespace trueblank::body
