// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"

// Inside the room: what the facets about each vertex add up to. All sums run in facet order.
namespace trueblank::symmetry {

/// Whether a facet was scanned; facet_measured as in fit_mirror, empty: all.
[[nodiscard]] inline bool is_measured(std::span<const std::uint8_t> facet_measured, int facet) {
  return facet_measured.empty() || facet_measured[static_cast<std::size_t>(facet)] != 0;
}

/// A third of its measured facets' areas for each vertex.
[[nodiscard]] std::vector<double> vertex_areas_mm2(const geometry::ClosedMesh& body,
                                                   std::span<const std::uint8_t> facet_measured);

/// 3×V, unit length, outward, each facet weighed by its area; zero where a vertex carries none.
[[nodiscard]] Eigen::Matrix3Xd vertex_normals(const geometry::ClosedMesh& body);

/// An edge whose ends' normals turn by more than this (40°) is meant to be one.
inline constexpr double ridge_cosine = 0.77;

/// The same, smoothed over a few rings; a neighbour beyond a ridge has no say.
[[nodiscard]] Eigen::Matrix3Xd smooth_vertex_normals(const geometry::TriangleMesh& mesh);

/// What the body gains where each vertex p moves straight to p + move: shared out over the
/// vertices, so that sums over parts of the skin are the parts' own. Exact for the polyhedron: a
/// facet's area vector is a quadratic of the way gone, which Simpson's rule integrates exactly, and
/// its mean speed is that of its corners.
///
/// moves_mm  3×V
/// returns   > 0 where wood is gained; the sum over all vertices is the change of volume
[[nodiscard]] std::vector<double> swept_volumes_mm3(const geometry::ClosedMesh& body,
                                                    const Eigen::Matrix3Xd& moves_mm);

/// Which vertices are joined to which by an edge.
class VertexNeighbours {
 public:
  explicit VertexNeighbours(const geometry::ClosedMesh& body);

  /// In the order of the facets; one that several facets join is named once for each edge.
  [[nodiscard]] std::span<const int> of(int vertex) const {
    const std::size_t v = static_cast<std::size_t>(vertex);
    const std::size_t from = static_cast<std::size_t>(starts_[v]);
    return std::span(ends_).subspan(from, static_cast<std::size_t>(starts_[v + 1]) - from);
  }

 private:
  std::vector<int> starts_;
  std::vector<int> ends_;
};

}  // namespace trueblank::symmetry
