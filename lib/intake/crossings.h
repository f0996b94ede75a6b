// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "intake/edges.h"
#include "intake/exact_points.h"

namespace trueblank::intake {

/// What two facets have in common.
struct Crossing {
  int facet_a = 0;
  int facet_b = 0;
  bool coplanar = false;   ///< both in one plane: then no points are told
  std::vector<int> along;  ///< exact points on the segment from end to end, by rising x, y, z; one
                           ///< where they touch
};

/// Where facets cross or touch, exactly; made points are added to `points`. Where three facets
/// cross in a point, it is among those along each of the three segments.
///
/// pairs    as self_intersections gives them; all corners of these facets must be expected
/// returns  for each pair what it has in common; nothing where more than `most_threes` sets of
///          three facets cross one another
/// cost     some 10 µs a pair and 0.1 ms a point of three
[[nodiscard]] std::optional<std::vector<Crossing>> crossings(
    const Corners& facets, const std::vector<std::pair<int, int>>& pairs, int most_threes,
    ExactPoints& points);

}  // namespace trueblank::intake
