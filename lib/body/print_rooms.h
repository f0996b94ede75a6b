// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "body/print_check.h"

// Inside the room: hollows of a body that are open to the water.
namespace trueblank::body {

struct Rooms {
  std::vector<Chamber> open;  ///< by falling volume
  double grid_mm = 0;
};

/// Rooms that narrow towards their way out: a ball half as wide again as that way fits in. A plain
/// drilled hole or a bay is none.
///
/// The air is filled with balls, one to a cell of a grid, each as great as it may be with its
/// middle in its cell. Two balls that overlap are joined, so no way leads through a wall, however
/// thin; a way may be missed that is narrower than about one and a half cells. From the greatest
/// ball down, balls join into groups; where the group of a room meets that of outside, the ball
/// there is as wide as the way.
///
/// outer   closed; of a hollow body the outer skin alone: what is closed in is not looked at
/// cells   of the grid, about
/// cost    some four nearest points for each cell of a grid of half a million
/// source  groups by falling height that join at passes: H. Edelsbrunner, D. Letscher,
///         A. Zomorodian, "Topological persistence and simplification", Discrete Comput. Geom. 28,
///         2002 (from memory)
[[nodiscard]] Rooms open_rooms(const geometry::ClosedMesh& outer, const geometry::ParallelFor& loop,
                               double cells = 6e5);

}  // namespace trueblank::body
