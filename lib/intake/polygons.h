// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

namespace trueblank::intake {

/// Cuts a polygon in space into triangles of the same winding: by halves where it is convex, else
/// ears (G. Meisters, American Mathematical Monthly 82, 1975) in the plane of its area vector. A
/// polygon that crosses itself is cut too, in some way that keeps its rim.
///
/// corners    at least 3 indices into `positions` (x, y, z each)
/// triangles  3 × (corners - 2) indices are written here
/// returns    false, with nothing written, where the ears would take too long (some ten thousand
///            corners, many of them reflex)
[[nodiscard]] bool cut_polygon(std::span<const int> corners, std::span<const double> positions,
                               std::span<int> triangles);

}  // namespace trueblank::intake
