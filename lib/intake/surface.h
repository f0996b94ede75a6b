// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

// Between our mesh and a mesh of half-edges, whose type is told by those .cpp files that have one.
namespace trueblank::intake {

/// The middle of the bounding box: positions are kept from there, so that a small body far away
/// keeps its digits.
[[nodiscard]] inline geometry::Vec3 middle_of_box(const geometry::TriangleMesh& mesh) {
  return (mesh.positions_mm.rowwise().minCoeff() + mesh.positions_mm.rowwise().maxCoeff()) / 2;
}

template <typename Point>
[[nodiscard]] Point surface_point(const geometry::TriangleMesh& mesh, int vertex,
                                  const geometry::Vec3& origin) {
  const geometry::Vec3 p = mesh.positions_mm.col(vertex) - origin;
  return {p.x(), p.y(), p.z()};
}

/// The vertices and facets in the order of a surface that holds no removed ones.
template <typename Surface>
[[nodiscard]] geometry::TriangleMesh from_surface(const Surface& surface,
                                                  const geometry::Vec3& origin) {
  geometry::TriangleMesh out;
  out.positions_mm.resize(3, static_cast<Eigen::Index>(surface.number_of_vertices()));
  out.facets.resize(3, static_cast<Eigen::Index>(surface.number_of_faces()));
  for (const auto v : surface.vertices()) {
    const auto& p = surface.point(v);
    out.positions_mm.col(static_cast<Eigen::Index>(v.idx())) =
        origin + geometry::Vec3(p.x(), p.y(), p.z());
  }
  for (const auto f : surface.faces()) {
    int k = 0;
    for (const auto v : surface.vertices_around_face(surface.halfedge(f))) {
      out.facets(k++, static_cast<Eigen::Index>(f.idx())) = static_cast<int>(v.idx());
    }
  }
  return out;
}

}  // namespace trueblank::intake
