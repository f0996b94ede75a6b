// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/chords.h"

#include <Eigen/Geometry>
#include <cmath>

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

/// The cosine of 20°.
constexpr double least_smooth_cosine = 0.94;

Vec3 area_vector(const TriangleMesh& mesh, int f) {
  const Vec3 a = mesh.corner(f, 0);
  return (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a) / 2;
}

double angle(const TriangleMesh& mesh, int f, int corner) {
  const Vec3 apex = mesh.corner(f, corner);
  const Vec3 a = mesh.corner(f, (corner + 1) % 3) - apex;
  const Vec3 b = mesh.corner(f, (corner + 2) % 3) - apex;
  return std::atan2(a.cross(b).norm(), a.dot(b));
}

/// Facets' normals weighed by their angles, so that a face counts once however it is cut.
Eigen::Matrix3Xd vertex_normals(const TriangleMesh& mesh) {
  Eigen::Matrix3Xd out = Eigen::Matrix3Xd::Zero(3, mesh.positions_mm.cols());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 normal = area_vector(mesh, f).normalized();
    for (int k = 0; k < 3; ++k) out.col(mesh.facets(k, f)) += angle(mesh, f, k) * normal;
  }
  out.colwise().normalize();
  return out;
}

}  // namespace

double chord_volume(const TriangleMesh& mesh) {
  const Eigen::Matrix3Xd normals = vertex_normals(mesh);
  double sum = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 across = area_vector(mesh, f);
    const double least = least_smooth_cosine * across.norm();
    for (int k = 0; k < 3; ++k) {
      const Vec3 from = normals.col(mesh.facets(k, f));
      const Vec3 to = normals.col(mesh.facets((k + 1) % 3, f));
      if (!(from.dot(across) > least && to.dot(across) > least)) continue;
      sum += across.norm() / 24 * (to - from).dot(mesh.corner(f, (k + 1) % 3) - mesh.corner(f, k));
    }
  }
  return sum;
}

}  // namespace trueblank::intake
