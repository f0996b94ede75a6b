// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"

// Inside the room: figures on a skin, averaged along it.
namespace trueblank::symmetry {

/// What is averaged where.
struct SkinFigures {
  const Eigen::Matrix3Xd& positions_mm;  ///< 3×V
  const Eigen::Matrix3Xd& normals;       ///< 3×V, unit length
  std::span<const double> areas_mm2;     ///< a vertex each; 0: has no say
  std::span<const double> values;
};

struct SmoothedSkin {
  std::vector<double> values;  ///< a vertex each; 0 where the area is nil
  /// How wide the averaging is in truth: the width of a Gaussian on a flat and endless skin that
  /// lets as much of a fine noise through. Less than was asked for at ends and round sharp bends.
  std::vector<double> widths_mm;
  Eigen::Matrix3Xd normals;  ///< 3×V, averaged likewise, unit length
};

/// Averages under a Gaussian of standard deviation `width_mm` (> 0). Skin that faces elsewhere has
/// less say, none from a right angle on, so that a thin tail's two sides are kept apart.
///
/// Vertices that lie in one cell of a grid and face alike are first taken together, the cells then
/// averaged, and read off at the vertices.
///
/// threads  the same bytes whatever `loop` does
/// cost     a sort of the vertices, some 150 cells for each cell and some 10 for each vertex
[[nodiscard]] SmoothedSkin smoothed(const SkinFigures& skin, double width_mm,
                                    const geometry::ParallelFor& loop);

}  // namespace trueblank::symmetry
