// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"

// How facets hang together, on flat arrays. Half-edge 3·f + k goes from corner k of facet f to its
// next corner. Built for any soup of facets whose three corners differ.
namespace trueblank::intake {

/// Three corners a facet, flat.
using Corners = std::vector<int>;

[[nodiscard]] inline int next_half_edge(int h) { return h % 3 == 2 ? h - 2 : h + 1; }

[[nodiscard]] inline int from_vertex(const Corners& facets, int h) {
  return facets[static_cast<std::size_t>(h)];
}

[[nodiscard]] inline int to_vertex(const Corners& facets, int h) {
  return facets[static_cast<std::size_t>(next_half_edge(h))];
}

/// The half-edges gathered by edge, whichever way they run; edges by rising lower, then higher
/// vertex, an edge's half-edges by rising number.
class Edges {
 public:
  Edges(const Corners& facets, int vertex_count);

  [[nodiscard]] int count() const { return static_cast<int>(first_.size()) - 1; }

  [[nodiscard]] std::span<const int> half_edges(int edge) const {
    const auto from = static_cast<std::size_t>(first_[static_cast<std::size_t>(edge)]);
    const auto to = static_cast<std::size_t>(first_[static_cast<std::size_t>(edge) + 1]);
    return std::span<const int>(sorted_).subspan(from, to - from);
  }

 private:
  std::vector<int> sorted_;
  std::vector<int> first_;
};

/// The facets of a mesh that have three different corners.
[[nodiscard]] Corners without_degenerate(const geometry::TriangleMesh& mesh);

/// Sets of numbers that grow together.
class Unions {
 public:
  explicit Unions(int count);
  [[nodiscard]] int find(int a);
  void join(int a, int b);

 private:
  std::vector<int> parent_;
};

/// Loops from edges that meet in an even number at each vertex: a walk that comes back to a vertex
/// it has been at closes a loop there, so no loop touches itself.
///
/// edges     pairs of vertices; with `directed`, walked from first to second only
/// returns   each loop's vertices in the order of the walk
[[nodiscard]] std::vector<std::vector<int>> loops(const std::vector<std::pair<int, int>>& edges,
                                                  bool directed);

}  // namespace trueblank::intake
