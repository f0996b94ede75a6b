// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// The cells of a grid of cubes that hold a mesh's vertices, counted from 0 in the order of x, y
/// and z.
struct VertexCells {
  std::vector<int> of_vertex;
  int count = 0;
};

/// cost  O(V log V)
[[nodiscard]] VertexCells vertex_cells(const TriangleMesh& mesh, double cell_mm);

/// The mean of each cell's vertices, a column a cell.
[[nodiscard]] Eigen::Matrix3Xd cell_means_mm(const TriangleMesh& mesh, const VertexCells& cells);

/// How wide cells are that leave about so many facets of a skin: one that the skin crosses yields
/// about one vertex, and a vertex two facets.
[[nodiscard]] double cell_for_facets_mm(const TriangleMesh& mesh, int facets);

/// A body of about so many facets, within a cell of the skin and of the body's own volume: the
/// vertices of one cell become one, at their mean, and what has no area left is dropped. Sides of
/// thin parts may lie on each other, and cross.
///
/// returns  nothing where no body is left
/// cost     O(F + V log V)
/// source   J. Rossignac, P. Borrel, "Multi-resolution 3D approximations for rendering complex
///          scenes", Modeling in Computer Graphics, 1993
[[nodiscard]] std::optional<ClosedMesh> rough_body(const ClosedMesh& body, int facets);

}  // namespace trueblank::geometry
