// SPDX-License-Identifier: GPL-3.0-or-later
// C. Portaneri and others, "Alpha wrapping with an offset", ACM Trans. Graphics 41(4), 2022, as
// CGAL has it; what it adds is measured and taken off in take_off.cpp.
#include "intake/wrap.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/alpha_wrap_3.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/moments.h"
#include "intake/edges.h"
#include "intake/reshaped.h"
#include "intake/surface.h"
#include "intake/take_off.h"

namespace trueblank::intake {
namespace {

using SurfacePoint = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
using SurfaceMesh = CGAL::Surface_mesh<SurfacePoint>;
using geometry::TriangleMesh;
using geometry::Vec3;

/// The wrap's ball and its distance from the skin, by the diagonal of the body: 0.7 mm and 0.03 mm
/// on a body 180 mm long. A smaller ball goes into finer notches and makes more facets, by its
/// square; a smaller offset costs time alone.
#ifdef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION
constexpr double balls_a_diagonal = 8;  // a wrap in milliseconds, not in seconds
#else
constexpr double balls_a_diagonal = 200;
#endif
constexpr double offsets_a_ball = 20;

/// What is wrapped, and what stays as it is.
struct Parted {
  TriangleMesh outer;
  std::vector<std::uint8_t> outer_measured;
  TriangleMesh cavities;
  std::vector<std::uint8_t> cavities_measured;
};

/// Of each shell (facets that hang together by vertices) the signed volume, for each facet.
std::vector<double> shell_volumes(const TriangleMesh& mesh) {
  Unions shells(mesh.vertex_count());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    shells.join(mesh.facets(0, f), mesh.facets(1, f));
    shells.join(mesh.facets(0, f), mesh.facets(2, f));
  }
  std::vector<double> of_vertex(static_cast<std::size_t>(mesh.vertex_count()), 0);
  const Vec3 apex = mesh.corner(0, 0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0) - apex;
    const Vec3 b = mesh.corner(f, 1) - apex;
    const Vec3 c = mesh.corner(f, 2) - apex;
    of_vertex[static_cast<std::size_t>(shells.find(mesh.facets(0, f)))] += a.dot(b.cross(c)) / 6;
  }
  std::vector<double> out;
  out.reserve(static_cast<std::size_t>(mesh.facet_count()));
  for (int f = 0; f < mesh.facet_count(); ++f) {
    out.push_back(of_vertex[static_cast<std::size_t>(shells.find(mesh.facets(0, f)))]);
  }
  return out;
}

/// The facets for which `taken` holds, over the vertices that they use.
TriangleMesh some_of(const TriangleMesh& mesh, const std::vector<int>& taken) {
  std::vector<int> number(static_cast<std::size_t>(mesh.vertex_count()), -1);
  for (const int f : taken) {
    for (int k = 0; k < 3; ++k) number[static_cast<std::size_t>(mesh.facets(k, f))] = 0;
  }
  TriangleMesh out;
  int used = 0;
  for (int& n : number) n = n < 0 ? -1 : used++;
  out.positions_mm.resize(3, used);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const int n = number[static_cast<std::size_t>(v)];
    if (n >= 0) out.positions_mm.col(n) = mesh.positions_mm.col(v);
  }
  out.facets.resize(3, static_cast<Eigen::Index>(taken.size()));
  for (std::size_t i = 0; i < taken.size(); ++i) {
    for (int k = 0; k < 3; ++k) {
      out.facets(k, static_cast<Eigen::Index>(i)) =
          number[static_cast<std::size_t>(mesh.facets(k, taken[i]))];
    }
  }
  return out;
}

Parted parted(const TriangleMesh& filled, std::span<const std::uint8_t> measured) {
  const std::vector<double> volumes = shell_volumes(filled);
  std::vector<int> outer;
  std::vector<int> cavities;
  Parted out;
  for (int f = 0; f < filled.facet_count(); ++f) {
    const auto i = static_cast<std::size_t>(f);
    (volumes[i] < 0 ? cavities : outer).push_back(f);
    (volumes[i] < 0 ? out.cavities_measured : out.outer_measured).push_back(measured[i]);
  }
  out.outer = some_of(filled, outer);
  out.cavities = some_of(filled, cavities);
  return out;
}

/// Shrinks a skin onto the facets; about the middle of the body, so that one far away keeps its
/// digits.
TriangleMesh shrunk_onto(const TriangleMesh& body, double ball, double offset) {
  const Vec3 middle = middle_of_box(body);
  std::vector<SurfacePoint> points;
  points.reserve(static_cast<std::size_t>(body.vertex_count()));
  for (int v = 0; v < body.vertex_count(); ++v) {
    points.push_back(surface_point<SurfacePoint>(body, v, middle));
  }
  std::vector<std::array<std::size_t, 3>> facets;
  facets.reserve(static_cast<std::size_t>(body.facet_count()));
  for (int f = 0; f < body.facet_count(); ++f) {
    facets.push_back({static_cast<std::size_t>(body.facets(0, f)),
                      static_cast<std::size_t>(body.facets(1, f)),
                      static_cast<std::size_t>(body.facets(2, f))});
  }
  SurfaceMesh surface;
  CGAL::alpha_wrap_3(points, facets, ball, offset, surface);
  if (surface.has_garbage()) surface.collect_garbage();
  return from_surface(surface, middle);
}

/// Puts `more` behind `mesh`.
void append(TriangleMesh& mesh, const TriangleMesh& more) {
  const Eigen::Index vertices = mesh.positions_mm.cols();
  const Eigen::Index facets = mesh.facets.cols();
  mesh.positions_mm.conservativeResize(3, vertices + more.positions_mm.cols());
  mesh.positions_mm.rightCols(more.positions_mm.cols()) = more.positions_mm;
  mesh.facets.conservativeResize(3, facets + more.facets.cols());
  mesh.facets.rightCols(more.facets.cols()) = more.facets.array() + static_cast<int>(vertices);
}

/// Where the wrap may be used: keeps it, together with the cavities.
void judge(Wrapped& out, const Parted& parts) {
  append(out.mesh, parts.cavities);
  out.facet_measured.insert(out.facet_measured.end(), parts.cavities_measured.begin(),
                            parts.cavities_measured.end());
  out.vertex_measured = vertices_measured(out.mesh, out.facet_measured);
  out.wrapped_mm3 = geometry::signed_volume_mm3(out.mesh, out.mesh.corner(0, 0));
  const double change = std::abs(out.wrapped_mm3 - out.before_mm3);
  out.bound_mm3 = std::max(out.bound_mm3, change);
  out.refused =
      change > most_wrap_change * out.before_mm3 || !geometry::closed_mesh(out.mesh).has_value();
  if (!out.refused) return;
  out.mesh = {};
  out.facet_measured.clear();
  out.vertex_measured.clear();
}

}  // namespace

std::optional<Wrapped> wrap(const TriangleMesh& filled,
                            std::span<const std::uint8_t> facet_measured) {
  if (!geometry::closed_mesh(filled)) return std::nullopt;
  const Parted parts = parted(filled, facet_measured);
  const Vec3 sides =
      parts.outer.positions_mm.rowwise().maxCoeff() - parts.outer.positions_mm.rowwise().minCoeff();
  const double ball = sides.norm() / balls_a_diagonal;
  const double offset = ball / offsets_a_ball;
  Wrapped out;
  out.finest_mm = ball;
  out.before_mm3 = geometry::signed_volume_mm3(filled, filled.corner(0, 0));
  out.mesh = shrunk_onto(parts.outer, ball, offset);
  const TakenOff taken = take_off(out.mesh, parts.outer, offset, ball / 4);
  out.thickness_mm = taken.before;
  out.left_on_mm = taken.left;
  out.bound_mm3 = taken.between;
  out.facet_measured = taken.near;
  for (std::size_t f = 0; f < out.facet_measured.size(); ++f) {
    const auto nearest = static_cast<std::size_t>(taken.nearest_facet[f]);
    if (parts.outer_measured[nearest] == 0) out.facet_measured[f] = 0;
  }
  judge(out, parts);
  return out;
}

}  // namespace trueblank::intake
