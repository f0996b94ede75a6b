// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "intake/cut_facets.h"

namespace trueblank::intake {

/// How often the shells wind round either side of a wall; on the back, whence its corners run
/// clockwise, its `times` more often than in front.
struct Winding {
  int front = 0;
  int back = 0;
};

/// For each wall its windings: walls that meet in an edge share the room between one and the next
/// about that edge, and one ray for each set of walls that hang together tells the rest.
///
/// facets   the shells, each with area; `positions` their vertices
/// returns  nothing where the walls don't bound: then the shells were not closed
[[nodiscard]] std::optional<std::vector<Winding>> windings(const std::vector<Wall>& walls,
                                                           const Corners& facets,
                                                           const Eigen::Matrix3Xd& positions,
                                                           ExactPoints& points);

}  // namespace trueblank::intake
