// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>
#include <vector>

#include "intake/edges.h"
#include "intake/exact_points.h"

namespace trueblank::intake {

/// What two facets have in common.
struct Crossing {
  int facet_a = 0;
  int facet_b = 0;
  bool coplanar = false;  ///< both in one plane: then no ends are told
  int from = -1;          ///< the segment's ends, numbers of exact points; alike where they touch
  int to = -1;
};

/// Where facets cross or touch, exactly; made points are added to `points`.
///
/// pairs   as self_intersections gives them; all corners of these facets must be expected
/// cost    some 10 µs a pair
[[nodiscard]] std::vector<Crossing> crossings(const Corners& facets,
                                              const std::vector<std::pair<int, int>>& pairs,
                                              ExactPoints& points);

}  // namespace trueblank::intake
