// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/coarse_mesh.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "geometry/moments.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

// For each vertex the number of its cell, counted from 0 over the cells that hold any.
std::vector<int> cells_of(const geometry::TriangleMesh& mesh, double cell_mm, int& cell_count) {
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  std::vector<std::pair<std::uint64_t, int>> keys;
  keys.reserve(static_cast<std::size_t>(mesh.vertex_count()));
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 steps = (mesh.positions_mm.col(v) - low) / cell_mm;
    std::uint64_t key = 0;
    for (int k = 0; k < 3; ++k) {
      key = key << 21 | static_cast<std::uint64_t>(std::clamp(steps[k], 0.0, 2097151.0));
    }
    keys.emplace_back(key, v);
  }
  std::sort(keys.begin(), keys.end());
  std::vector<int> cells(keys.size());
  int cell = -1;
  for (std::size_t i = 0; i < keys.size(); ++i) {
    if (i == 0 || keys[i].first != keys[i - 1].first) ++cell;
    cells[static_cast<std::size_t>(keys[i].second)] = cell;
  }
  cell_count = cell + 1;
  return cells;
}

}  // namespace

CoarseMesh coarse_mesh(const geometry::TriangleMesh& mesh,
                       std::span<const std::uint8_t> facet_measured, int facets) {
  CoarseMesh coarse;
  if (mesh.facet_count() <= 2 * facets) {
    coarse.mesh = mesh;
    coarse.facet_measured.assign(facet_measured.begin(), facet_measured.end());
    return coarse;
  }
  // A cell that the skin crosses yields about one vertex, and a vertex two facets.
  const double cell_mm = std::sqrt(2 * geometry::area_mm2(mesh) / facets);
  int count = 0;
  const std::vector<int> cells = cells_of(mesh, cell_mm, count);
  coarse.mesh.positions_mm.setZero(3, count);
  std::vector<double> shares(static_cast<std::size_t>(count), 0.0);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const int cell = cells[static_cast<std::size_t>(v)];
    coarse.mesh.positions_mm.col(cell) += mesh.positions_mm.col(v);
    shares[static_cast<std::size_t>(cell)] += 1;
  }
  for (int c = 0; c < count; ++c) {
    coarse.mesh.positions_mm.col(c) /= shares[static_cast<std::size_t>(c)];
  }
  using Corners = std::array<int, 3>;
  std::vector<std::pair<Corners, std::uint8_t>> kept;  // turned so that the least corner is first
  for (int f = 0; f < mesh.facet_count(); ++f) {
    Corners corners;
    for (int k = 0; k < 3; ++k) {
      corners[static_cast<std::size_t>(k)] = cells[static_cast<std::size_t>(mesh.facets(k, f))];
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
