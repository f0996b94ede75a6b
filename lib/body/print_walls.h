// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "body/print_check.h"

// Inside the room: how thick a body's walls are and how wide its gaps.
namespace trueblank::body {

struct WallsAndGaps {
  Thickness walls;
  Thickness gaps;
  double sampled_every_mm = 0;
  double measured_to_mm = 0;
  bool faces_over_air = false;  ///< outer skin faces outer skin over air, however wide
};

/// Walls and gaps of up to 10 mm are measured, or four times the weak limit. Each facet is
/// measured, greater ones at points half a millimetre apart (finer for finer features, coarser on a
/// very great skin), and sharp edges in rows beside them. So a place that is narrower than that
/// both ways may be missed on great facets.
///
/// in_body_frame  its own axes name the places
[[nodiscard]] WallsAndGaps measured_walls(const geometry::ClosedMesh& in_body_frame,
                                          const PrintOptions& options,
                                          const geometry::ParallelFor& loop);

}  // namespace trueblank::body
