// SPDX-License-Identifier: GPL-3.0-or-later
// P. Lindstrom, G. Turk, "Fast and memory efficient polygonal simplification", IEEE Visualization
// 1998, as CGAL has it.
#include "intake/thin.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/Surface_mesh_simplification/Policies/Edge_collapse/Bounded_normal_change_placement.h>
#include <CGAL/Surface_mesh_simplification/Policies/Edge_collapse/Count_stop_predicate.h>
#include <CGAL/Surface_mesh_simplification/Policies/Edge_collapse/LindstromTurk_cost.h>
#include <CGAL/Surface_mesh_simplification/Policies/Edge_collapse/LindstromTurk_placement.h>
#include <CGAL/Surface_mesh_simplification/edge_collapse.h>

#include <algorithm>

#include "intake/sheets.h"
#include "intake/surface.h"

namespace trueblank::intake {
namespace {

namespace simplification = CGAL::Surface_mesh_simplification;
using SurfacePoint = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
using SurfaceMesh = CGAL::Surface_mesh<SurfacePoint>;
using geometry::TriangleMesh;
using geometry::Vec3;

/// Nothing where two edges join the same two vertices, which CGAL's mesh can't hold.
std::optional<SurfaceMesh> to_surface(const TriangleMesh& mesh, const Vec3& origin) {
  SurfaceMesh out;
  const auto vertices = static_cast<unsigned>(mesh.vertex_count());
  const auto facets = static_cast<unsigned>(mesh.facet_count());
  out.reserve(vertices, facets * 3 / 2, facets);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    out.add_vertex(surface_point<SurfacePoint>(mesh, v, origin));
  }
  const auto corner = [&mesh](int f, int k) {
    return SurfaceMesh::Vertex_index(static_cast<SurfaceMesh::size_type>(mesh.facets(k, f)));
  };
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (out.add_face(corner(f, 0), corner(f, 1), corner(f, 2)) == SurfaceMesh::null_face()) {
      return std::nullopt;
    }
  }
  return out;
}

void collapse(SurfaceMesh& surface, int facets) {
  using Placement = simplification::Bounded_normal_change_placement<
      simplification::LindstromTurk_placement<SurfaceMesh>>;
  // A closed mesh has three edges for two facets; it stops when fewer edges are left than told.
  const auto edges = static_cast<std::size_t>(facets) * 3 / 2 + 1;
  simplification::edge_collapse(
      surface, simplification::Count_stop_predicate<SurfaceMesh>(edges),
      CGAL::parameters::get_cost(simplification::LindstromTurk_cost<SurfaceMesh>())
          .get_placement(Placement()));
  surface.collect_garbage();
}

Reshaped unchanged(const TriangleMesh& closed, std::span<const std::uint8_t> facet_measured) {
  Reshaped out;
  out.mesh = closed;
  out.facet_measured.assign(facet_measured.begin(), facet_measured.end());
  out.vertex_measured = vertices_measured(out.mesh, out.facet_measured);
  measure_change(closed, out);
  return out;
}

}  // namespace

std::optional<Reshaped> thin(const TriangleMesh& closed,
                             std::span<const std::uint8_t> facet_measured, int facets) {
  if (!geometry::closed_mesh(closed)) return std::nullopt;
  if (closed.facet_count() <= facets) return unchanged(closed, facet_measured);
  const std::optional<TriangleMesh> sheets = in_sheets(closed);
  if (!sheets) return std::nullopt;
  const Vec3 origin = middle_of_box(*sheets);
  std::optional<SurfaceMesh> surface = to_surface(*sheets, origin);
  if (!surface) return std::nullopt;
  collapse(*surface, std::max(facets, 4));
  Reshaped out;
  out.mesh = from_surface(*surface, origin);
  if (!geometry::closed_mesh(out.mesh)) return std::nullopt;
  carry_measured(closed, facet_measured, out);
  measure_change(closed, out);
  return out;
}

}  // namespace trueblank::intake
