// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "geometry/moments.h"
#include "intake/edges.h"
#include "intake/mend.h"
#include "intake/self_intersections.h"
#include "intake/surface.h"

namespace trueblank::intake {
namespace {

/// Every edge as often one way as the other; an odd edge (the rim of a hole or of a fin) leaves
/// one over, which decides nothing.
bool wound_alike(const Corners& facets, std::span<const int> half_edges) {
  int balance = 0;
  for (const int h : half_edges) {
    balance += from_vertex(facets, h) < to_vertex(facets, h) ? 1 : -1;
  }
  return std::abs(balance) <= 1;
}

}  // namespace

Soundness topology(const geometry::TriangleMesh& mesh) {
  const Corners facets = without_degenerate(mesh);
  const int facet_count = static_cast<int>(facets.size() / 3);
  const Edges edges(facets, mesh.vertex_count());
  Soundness out;
  out.closed = edges.count() > 0;
  out.oriented = true;
  Unions pieces(facet_count);
  out.pieces = facet_count;
  std::vector<std::pair<int, int>> open;
  for (int e = 0; e < edges.count(); ++e) {
    const std::span<const int> half_edges = edges.half_edges(e);
    out.oriented = out.oriented && wound_alike(facets, half_edges);
    if (half_edges.size() % 2 == 1) {
      const int h = half_edges.front();
      open.emplace_back(from_vertex(facets, h), to_vertex(facets, h));
      out.closed = false;
    }
    for (const int h : half_edges) {
      if (pieces.find(h / 3) == pieces.find(half_edges.front() / 3)) continue;
      pieces.join(h / 3, half_edges.front() / 3);
      --out.pieces;
    }
  }
  out.open_loops = static_cast<int>(loops(open, false).size());
  if (out.closed) {
    out.outward = geometry::signed_volume_mm3(mesh, middle_of_box(mesh)) > 0;
  }
  return out;
}

Soundness soundness(const geometry::TriangleMesh& mesh) {
  Soundness out = topology(mesh);
  out.self_intersections =
      static_cast<int>(self_intersections(without_degenerate(mesh), mesh.positions_mm).size());
  return out;
}

}  // namespace trueblank::intake
