// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>

#include "geometry/mesh.h"

// CGAL's mesh from ours and back; for the .cpp files that call CGAL, never for a header.
namespace trueblank::intake {

using SurfaceKernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using SurfacePoint = SurfaceKernel::Point_3;
using SurfaceMesh = CGAL::Surface_mesh<SurfacePoint>;

/// The middle of the bounding box: positions are kept from there, so that a small body far away
/// keeps its digits.
[[nodiscard]] inline geometry::Vec3 middle_of_box(const geometry::TriangleMesh& mesh) {
  return (mesh.positions_mm.rowwise().minCoeff() + mesh.positions_mm.rowwise().maxCoeff()) / 2;
}

[[nodiscard]] inline SurfacePoint surface_point(const geometry::TriangleMesh& mesh, int vertex,
                                                const geometry::Vec3& origin) {
  const geometry::Vec3 p = mesh.positions_mm.col(vertex) - origin;
  return {p.x(), p.y(), p.z()};
}

/// The vertices and facets in the order of a surface that holds no removed ones.
[[nodiscard]] inline geometry::TriangleMesh from_surface(const SurfaceMesh& surface,
                                                         const geometry::Vec3& origin) {
  geometry::TriangleMesh out;
  out.positions_mm.resize(3, static_cast<Eigen::Index>(surface.number_of_vertices()));
  out.facets.resize(3, static_cast<Eigen::Index>(surface.number_of_faces()));
  for (const auto v : surface.vertices()) {
    const SurfacePoint& p = surface.point(v);
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
