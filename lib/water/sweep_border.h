// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <functional>
#include <span>
#include <vector>

#include "geometry/parallel.h"

// Where on a grid one thing gives way to another; no part of the water room's interface.
namespace trueblank::water {

/// Of a node: whether it stands, or that nothing is told of it.
enum class Node : signed char { falls, stands, untold };

struct Footing {
  bool stands = false;
  double stiffness = 0;  ///< > 0 where it stands; where that passes through nil the border is found
                         ///< sooner, and better
  double trim_rad = 0;   ///< handed on to the next question, which is close by
};

/// at        anywhere on the grid, in steps along either axis
/// trim_rad  of an answer nearby, or 0
using FootingAt = std::function<Footing(const Eigen::Vector2d& at, double trim_rad)>;

/// The border between nodes of rows × columns, in steps, as polylines; of a single column points,
/// each alone.
///
/// nodes    row-major
/// footing  may be called from several threads at once
/// cost     5 to 12 calls for each side of a cell on which the border is
[[nodiscard]] std::vector<std::vector<Eigen::Vector2d>> border_lines(
    std::span<const Node> nodes, int rows, int columns, const FootingAt& footing,
    const geometry::ParallelFor& loop);

}  // namespace trueblank::water
