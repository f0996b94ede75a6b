// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::symmetry {

/// How round a section square to x is, about its own centre (the centroid of its area).
struct Roundness {
  double x_mm = 0;
  double radius_mm = 0;        ///< mean over all directions
  double out_of_round_mm = 0;  ///< half of greatest less least radius
};

/// Of a turned body, which has no mirror plane of its own to be measured against.
///
/// in_body_frame  a solid body; x along the axis that it was turned about
/// x_mm           stations; those that miss the body are left out
/// cost           one pass over the facets
[[nodiscard]] std::vector<Roundness> roundness(const geometry::ClosedMesh& in_body_frame,
                                               std::span<const double> x_mm);

}  // namespace trueblank::symmetry
