// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/rough_body.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include "geometry/moments.h"

namespace trueblank::geometry {

VertexCells vertex_cells(const TriangleMesh& mesh, double cell_mm) {
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
  VertexCells cells;
  cells.of_vertex.resize(keys.size());
  for (std::size_t i = 0; i < keys.size(); ++i) {
    if (i == 0 || keys[i].first != keys[i - 1].first) ++cells.count;
    cells.of_vertex[static_cast<std::size_t>(keys[i].second)] = cells.count - 1;
  }
  return cells;
}

Eigen::Matrix3Xd cell_means_mm(const TriangleMesh& mesh, const VertexCells& cells) {
  Eigen::Matrix3Xd means = Eigen::Matrix3Xd::Zero(3, cells.count);
  std::vector<double> shares(static_cast<std::size_t>(cells.count), 0.0);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const int cell = cells.of_vertex[static_cast<std::size_t>(v)];
    means.col(cell) += mesh.positions_mm.col(v);
    shares[static_cast<std::size_t>(cell)] += 1;
  }
  for (int c = 0; c < cells.count; ++c) means.col(c) /= shares[static_cast<std::size_t>(c)];
  return means;
}

double cell_for_facets_mm(const TriangleMesh& mesh, int facets) {
  return std::sqrt(2 * area_mm2(mesh) / facets);
}

std::optional<ClosedMesh> rough_body(const ClosedMesh& body, int facets) {
  const VertexCells cells = vertex_cells(body.mesh(), cell_for_facets_mm(body.mesh(), facets));
  TriangleMesh rough;
  rough.positions_mm = cell_means_mm(body.mesh(), cells);
  rough.facets.resize(3, body.facet_count());
  Eigen::Index kept = 0;
  for (int f = 0; f < body.facet_count(); ++f) {
    Eigen::Vector3i corners;
    for (int k = 0; k < 3; ++k) {
      corners[k] = cells.of_vertex[static_cast<std::size_t>(body.facets()(k, f))];
    }
    if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]) continue;
    rough.facets.col(kept++) = corners;
  }
  rough.facets.conservativeResize(3, kept);
  const std::optional<ClosedMesh> made = closed_mesh(std::move(rough));
  if (!made) return {};
  // Chords cut off what bulges: grown to the volume it floats as the body does.
  const Moments whole = moments(*made);
  const double scale = std::cbrt(moments(body).volume_mm3 / whole.volume_mm3);
  return made->moved(Mat3::Identity(), (1 - scale) * whole.centroid_mm, scale);
}

}  // namespace trueblank::geometry
