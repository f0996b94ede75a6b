// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/mesh.h"

// Inside the room: which vertices with a deviation belong together.
namespace trueblank::symmetry {

/// Connected areas of one sign; those whose gap along the edges is shorter than `gap_mm` are one.
///
/// deviation_mm  a vertex each; 0: of none
/// returns       the vertices of each, rising; ordered by their first
[[nodiscard]] std::vector<std::vector<int>> areas_of_one_sign(
    const geometry::ClosedMesh& body, const std::vector<double>& deviation_mm, double gap_mm);

}  // namespace trueblank::symmetry
