// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/skin_sums.h"

#include <Eigen/Geometry>
#include <cassert>

namespace trueblank::symmetry {

using geometry::Vec3;

std::vector<double> vertex_areas_mm2(const geometry::ClosedMesh& body,
                                     std::span<const std::uint8_t> facet_measured) {
  std::vector<double> areas(static_cast<std::size_t>(body.vertex_count()), 0.0);
  for (int f = 0; f < body.facet_count(); ++f) {
    if (!is_measured(facet_measured, f)) continue;
    const Vec3 a = body.corner(f, 0);
    const double third = (body.corner(f, 1) - a).cross(body.corner(f, 2) - a).norm() / 6;
    for (int k = 0; k < 3; ++k) areas[static_cast<std::size_t>(body.facets()(k, f))] += third;
  }
  return areas;
}

Eigen::Matrix3Xd vertex_normals(const geometry::ClosedMesh& body) {
  Eigen::Matrix3Xd normals = Eigen::Matrix3Xd::Zero(3, body.vertex_count());
  for (int f = 0; f < body.facet_count(); ++f) {
    const Vec3 a = body.corner(f, 0);
    const Vec3 twice_area = (body.corner(f, 1) - a).cross(body.corner(f, 2) - a);
    for (int k = 0; k < 3; ++k) normals.col(body.facets()(k, f)) += twice_area;
  }
  for (Eigen::Index v = 0; v < normals.cols(); ++v) {
    normals.col(v) = Vec3(normals.col(v)).stableNormalized();
  }
  return normals;
}

Eigen::Matrix3Xd smooth_vertex_normals(const geometry::TriangleMesh& mesh) {
  Eigen::Matrix3Xd normals = Eigen::Matrix3Xd::Zero(3, mesh.vertex_count());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 area = (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a);
    for (int k = 0; k < 3; ++k) normals.col(mesh.facets(k, f)) += area;
  }
  const auto to_unit = [&normals] {
    for (Eigen::Index v = 0; v < normals.cols(); ++v) {
      normals.col(v) = Vec3(normals.col(v)).stableNormalized();
    }
  };
  to_unit();
  constexpr int kRounds = 3;
  for (int round = 0; round < kRounds; ++round) {
    Eigen::Matrix3Xd next = normals;
    for (int f = 0; f < mesh.facet_count(); ++f) {
      for (int k = 0; k < 3; ++k) {
        const Vec3 one = normals.col(mesh.facets(k, f));
        const Vec3 other = normals.col(mesh.facets((k + 1) % 3, f));
        if (one.dot(other) < ridge_cosine) continue;
        next.col(mesh.facets(k, f)) += other;
        next.col(mesh.facets((k + 1) % 3, f)) += one;
      }
    }
    normals.swap(next);
    to_unit();
  }
  return normals;
}

std::vector<double> swept_volumes_mm3(const geometry::ClosedMesh& body,
                                      const Eigen::Matrix3Xd& moves_mm) {
  assert(moves_mm.cols() == body.vertex_count() && "a move for every vertex");
  std::vector<double> volumes(static_cast<std::size_t>(body.vertex_count()), 0.0);
  for (int f = 0; f < body.facet_count(); ++f) {
    const auto corners = body.facets().col(f);
    const Vec3 ab = body.corner(f, 1) - body.corner(f, 0);
    const Vec3 ac = body.corner(f, 2) - body.corner(f, 0);
    const Vec3 ab_moves = moves_mm.col(corners[1]) - moves_mm.col(corners[0]);
    const Vec3 ac_moves = moves_mm.col(corners[2]) - moves_mm.col(corners[0]);
    // The mean over the way of ½·(ab + t·ab_moves)×(ac + t·ac_moves).
    const Vec3 area = ab.cross(ac) / 2 + (ab.cross(ac_moves) + ab_moves.cross(ac)) / 4 +
                      ab_moves.cross(ac_moves) / 6;
    for (int k = 0; k < 3; ++k) {
      volumes[static_cast<std::size_t>(corners[k])] += moves_mm.col(corners[k]).dot(area) / 3;
    }
  }
  return volumes;
}

VertexNeighbours::VertexNeighbours(const geometry::ClosedMesh& body)
    : starts_(static_cast<std::size_t>(body.vertex_count()) + 1, 0),
      ends_(static_cast<std::size_t>(3 * body.facets().cols())) {
  // Of a closed body every edge is met in both directions: a directed edge is enough for each end.
  for (const int v : body.facets().reshaped()) ++starts_[static_cast<std::size_t>(v) + 1];
  for (std::size_t v = 1; v < starts_.size(); ++v) starts_[v] += starts_[v - 1];
  std::vector<int> next(starts_.begin(), starts_.end() - 1);
  for (int f = 0; f < body.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      int& place = next[static_cast<std::size_t>(body.facets()(k, f))];
      ends_[static_cast<std::size_t>(place)] = body.facets()((k + 1) % 3, f);
      ++place;
    }
  }
}

}  // namespace trueblank::symmetry
