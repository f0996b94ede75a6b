// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/coarse_mesh.h"

#include <algorithm>
#include <array>
#include <utility>

#include "geometry/rough_body.h"

namespace trueblank::symmetry {

CoarseMesh coarse_mesh(const geometry::TriangleMesh& mesh,
                       std::span<const std::uint8_t> facet_measured, int facets) {
  CoarseMesh coarse;
  if (mesh.facet_count() <= 2 * facets) {
    coarse.mesh = mesh;
    coarse.facet_measured.assign(facet_measured.begin(), facet_measured.end());
    return coarse;
  }
  const geometry::VertexCells cells =
      geometry::vertex_cells(mesh, geometry::cell_for_facets_mm(mesh, facets));
  coarse.mesh.positions_mm = geometry::cell_means_mm(mesh, cells);
  using Corners = std::array<int, 3>;
  std::vector<std::pair<Corners, std::uint8_t>> kept;  // turned so that the least corner is first
  for (int f = 0; f < mesh.facet_count(); ++f) {
    Corners corners;
    for (int k = 0; k < 3; ++k) {
      corners[static_cast<std::size_t>(k)] =
          cells.of_vertex[static_cast<std::size_t>(mesh.facets(k, f))];
    }
    if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]) continue;
    std::rotate(corners.begin(), std::min_element(corners.begin(), corners.end()), corners.end());
    const std::uint8_t measured =
        facet_measured.empty() ? 1 : facet_measured[static_cast<std::size_t>(f)];
    kept.emplace_back(corners, measured);
  }
  std::sort(kept.begin(), kept.end());
  kept.erase(std::unique(kept.begin(), kept.end(),
                         [](const auto& a, const auto& b) { return a.first == b.first; }),
             kept.end());
  if (kept.empty()) {
    coarse.mesh = mesh;
    coarse.facet_measured.assign(facet_measured.begin(), facet_measured.end());
    return coarse;
  }
  coarse.mesh.facets.resize(3, static_cast<Eigen::Index>(kept.size()));
  for (std::size_t i = 0; i < kept.size(); ++i) {
    const Corners& corners = kept[i].first;
    coarse.mesh.facets.col(static_cast<Eigen::Index>(i)) << corners[0], corners[1], corners[2];
    if (!facet_measured.empty()) coarse.facet_measured.push_back(kept[i].second);
  }
  return coarse;
}

}  // namespace trueblank::symmetry
