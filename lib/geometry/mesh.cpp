// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mesh.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "geometry/moments.h"

namespace trueblank::geometry {
namespace {

bool indices_in_range(const TriangleMesh& mesh) {
  const int vertices = mesh.vertex_count();
  return mesh.facets.size() > 0 && mesh.facets.minCoeff() >= 0 && mesh.facets.maxCoeff() < vertices;
}

/// One vertex's edges to vertices of higher index, each as 2·(other vertex) + (1 where the facet
/// runs towards this vertex): as many one way as the other for every neighbour?
bool balanced(std::uint32_t* begin, std::uint32_t* end) {
  std::sort(begin, end);
  while (begin != end) {
    const std::uint32_t other = *begin >> 1;
    std::int64_t balance = 0;
    for (; begin != end && *begin >> 1 == other; ++begin) balance += (*begin & 1) != 0 ? 1 : -1;
    if (balance != 0) return false;
  }
  return true;
}

/// Whether every directed edge is met by its opposite equally often. Edges are dealt out to their
/// lower vertex by a counting sort, so that only a handful need be compared at a time.
bool edges_paired(const TriangleMesh& mesh) {
  const std::size_t vertices = static_cast<std::size_t>(mesh.vertex_count());
  const Eigen::Index facets = mesh.facets.cols();
  std::vector<std::uint32_t> start(vertices + 1, 0);
  const auto each_edge = [&](const auto& visit) {
    for (Eigen::Index f = 0; f < facets; ++f) {
      for (int k = 0; k < 3; ++k) {
        const auto from = static_cast<std::uint32_t>(mesh.facets(k, f));
        const auto to = static_cast<std::uint32_t>(mesh.facets(k == 2 ? 0 : k + 1, f));
        if (from != to) visit(from, to);  // an edge of no length is its own opposite
      }
    }
  };
  each_edge([&](std::uint32_t from, std::uint32_t to) { ++start[std::min(from, to)]; });
  std::uint32_t total = 0;
  for (std::uint32_t& s : start) {
    total += s;
    s = total;
  }
  std::vector<std::uint32_t> edges(total);
  each_edge([&](std::uint32_t from, std::uint32_t to) {
    edges[--start[std::min(from, to)]] = 2 * std::max(from, to) + (from > to ? 1 : 0);
  });
  for (std::size_t v = 0; v < vertices; ++v) {
    if (!balanced(edges.data() + start[v], edges.data() + start[v + 1])) return false;
  }
  return true;
}

/// Whether the enclosed volume is positive beyond doubt: of a flat body only rounding is left,
/// which grows with area × distance from the apex.
bool volume_positive(const TriangleMesh& mesh) {
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  const Vec3 high = mesh.positions_mm.rowwise().maxCoeff();
  const Vec3 centre = low + (high - low) / 2;
  const double volume = signed_volume_mm3(mesh, centre);
  const double rounding = 1e-14 * area_mm2(mesh) * (high - low).norm();
  return std::isfinite(volume) && std::isfinite(rounding) && volume > rounding;
}

}  // namespace

ClosedMesh ClosedMesh::moved(const Mat3& turn, const Vec3& shift_mm, double scale) const {
  TriangleMesh result = mesh_;
  const Mat3 scaled = scale * turn;
  for (Eigen::Index i = 0; i < result.positions_mm.cols(); ++i) {
    const Vec3 p = mesh_.positions_mm.col(i);
    result.positions_mm.col(i) = scaled * p + shift_mm;
  }
  return ClosedMesh(std::move(result));
}

std::optional<ClosedMesh> closed_mesh(TriangleMesh mesh) {
  // Directed edges here, and what a MomentTree keeps, are counted in 32 bits.
  constexpr Eigen::Index most_facets = 1'000'000'000;
  if (mesh.facets.cols() > most_facets || !indices_in_range(mesh)) return std::nullopt;
  if (!mesh.positions_mm.allFinite()) return std::nullopt;
  if (!edges_paired(mesh) || !volume_positive(mesh)) return std::nullopt;
  return ClosedMesh(std::move(mesh));
}

}  // namespace trueblank::geometry
