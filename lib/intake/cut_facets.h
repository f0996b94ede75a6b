// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "intake/crossings.h"

namespace trueblank::intake {

/// A triangle that meets others in shared corners and edges only, and no other in the same place.
struct Wall {
  std::array<int, 3> corners = {0, 0, 0};  ///< numbers of exact points
  int times = 1;       ///< > 0: how many facets lie there, less those that face the other way
  int from_facet = 0;  ///< the first of them that faces as the wall does
  int plane = 0;       ///< alike for walls in one plane that were cut together
};

/// All facets cut along all their crossings, by rising from_facet. Facets in one plane that cross
/// become one set of walls; where as many face one way as the other, there is no wall.
///
/// facets  each with area
[[nodiscard]] std::vector<Wall> cut_facets(const Corners& facets,
                                           const std::vector<Crossing>& crossings,
                                           ExactPoints& points);

}  // namespace trueblank::intake
