// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/coat.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

#include "geometry/shells.h"

namespace trueblank::geometry {
namespace {

// A facet lower than this part of its longest side has no direction but rounding's.
constexpr double sliver = 1e-9;
// Normals that add up to less than this have cancelled out.
constexpr double no_direction = 1e-9;

/// Adds a facet's unit normal to its corners, times the angle that it has there.
void add_normal(const ClosedMesh& body, int facet, Eigen::Matrix3Xd& normals) {
  const Vec3 corners[] = {body.corner(facet, 0), body.corner(facet, 1), body.corner(facet, 2)};
  const Vec3 sides[] = {corners[1] - corners[0], corners[2] - corners[1], corners[0] - corners[2]};
  const auto cross = [](const Vec3& a, const Vec3& b) {
    return Vec3(a.y() * b.z() - a.z() * b.y(), a.z() * b.x() - a.x() * b.z(),
                a.x() * b.y() - a.y() * b.x());
  };
  const Vec3 doubled = cross(sides[0], sides[1]);
  const double area2 = doubled.norm();
  const double longest2 =
      std::max({sides[0].squaredNorm(), sides[1].squaredNorm(), sides[2].squaredNorm()});
  if (!(area2 > sliver * longest2)) return;
  for (int k = 0; k < 3; ++k) {
    const double angle = std::atan2(area2, -sides[k].dot(sides[(k + 2) % 3]));
    normals.col(body.facets()(k, facet)) += angle / area2 * doubled;
  }
}

}  // namespace

Eigen::Matrix3Xd outward_normals(const ClosedMesh& body) {
  Eigen::Matrix3Xd normals = Eigen::Matrix3Xd::Zero(3, body.vertex_count());
  for (int f = 0; f < body.facet_count(); ++f) add_normal(body, f, normals);
  for (int v = 0; v < body.vertex_count(); ++v) {
    const double length = normals.col(v).norm();
    normals.col(v) *= length > no_direction ? 1 / length : 0;
  }
  return normals;
}

std::optional<ClosedMesh> coated(const ClosedMesh& body, double thickness_mm) {
  TriangleMesh mesh = body.mesh();
  mesh.positions_mm += thickness_mm * outward_normals(body);
  return closed_mesh(std::move(mesh));
}

std::optional<ClosedMesh> with_outer_skin_moved(const ClosedMesh& body, double out_mm) {
  const std::vector<std::uint8_t> outer = on_outer_skin(body.mesh());
  const Eigen::Matrix3Xd normals = outward_normals(body);
  TriangleMesh mesh = body.mesh();
  for (int v = 0; v < body.vertex_count(); ++v) {
    if (outer[static_cast<std::size_t>(v)] != 0)
      mesh.positions_mm.col(v) += out_mm * normals.col(v);
  }
  return closed_mesh(std::move(mesh));
}

}  // namespace trueblank::geometry
