// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/sheets.h"

#include "intake/edges.h"
#include "intake/pairing.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;

bool all_wound_alike(const Corners& facets, const std::vector<int>& partner) {
  for (int h = 0; h < static_cast<int>(facets.size()); ++h) {
    const int p = partner[static_cast<std::size_t>(h)];
    if (p < 0 || from_vertex(facets, h) != to_vertex(facets, p)) return false;
  }
  return true;
}

/// The corners of facets that lie round one another about a vertex.
Unions rings(const std::vector<int>& partner) {
  const int corners = static_cast<int>(partner.size());
  Unions out(corners);
  for (int h = 0; h < corners; ++h) {
    const int p = partner[static_cast<std::size_t>(h)];
    out.join(h, next_half_edge(p));
    out.join(next_half_edge(h), p);
  }
  return out;
}

}  // namespace

std::optional<TriangleMesh> in_sheets(const TriangleMesh& closed) {
  const Corners facets = without_degenerate(closed);
  if (facets.empty() || static_cast<Eigen::Index>(facets.size()) != closed.facets.size()) {
    return std::nullopt;
  }
  const std::vector<int> partner = sewn(facets, closed.positions_mm).partner;
  if (!all_wound_alike(facets, partner)) return std::nullopt;
  Unions ring = rings(partner);
  const int corners = static_cast<int>(facets.size());
  std::vector<std::vector<int>> of_vertex(static_cast<std::size_t>(closed.vertex_count()));
  for (int c = 0; c < corners; ++c) {
    if (ring.find(c) == c) {
      of_vertex[static_cast<std::size_t>(facets[static_cast<std::size_t>(c)])].push_back(c);
    }
  }
  std::vector<int> number(static_cast<std::size_t>(corners), -1);
  std::vector<int> source;
  for (int v = 0; v < closed.vertex_count(); ++v) {
    for (const int c : of_vertex[static_cast<std::size_t>(v)]) {
      number[static_cast<std::size_t>(c)] = static_cast<int>(source.size());
      source.push_back(v);
    }
  }
  TriangleMesh out;
  out.positions_mm = closed.positions_mm(Eigen::all, source);
  out.facets.resize(3, closed.facets.cols());
  for (int c = 0; c < corners; ++c) {
    out.facets(c % 3, c / 3) = number[static_cast<std::size_t>(ring.find(c))];
  }
  return out;
}

}  // namespace trueblank::intake
