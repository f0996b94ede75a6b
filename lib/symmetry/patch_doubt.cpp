// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/patch_doubt.h"

#include <Eigen/Geometry>
#include <cmath>
#include <cstddef>
#include <map>
#include <numbers>

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Vec3;

constexpr double rad_per_deg = std::numbers::pi / 180;

/// The vertex of the greatest deviation; the patch was described from it.
int greatest_vertex(const ClosedMesh& body, const Patch& patch) {
  for (const int v : patch.vertices) {
    if (body.positions_mm().col(v) == patch.greatest_at_mm) return v;  // the very same numbers
  }
  return -1;
}

/// The area-weighted outward normals of some vertices, not of unit length.
std::map<int, Vec3> normals_of(const ClosedMesh& body, const std::vector<int>& vertices) {
  std::map<int, Vec3> normals;
  for (const int v : vertices) normals.emplace(v, Vec3::Zero());
  for (int f = 0; f < body.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const auto found = normals.find(body.facets()(k, f));
      if (found == normals.end()) continue;
      const Vec3 a = body.corner(f, 0);
      found->second += (body.corner(f, 1) - a).cross(body.corner(f, 2) - a);
    }
  }
  return normals;
}

}  // namespace

std::vector<double> greatest_doubt_mm(const ClosedMesh& in_body_frame,
                                      std::span<const Patch> patches, const PlaneUncertainty& plane,
                                      const Vec3& centroid_mm, double slow_mm) {
  std::vector<int> vertices;
  for (const Patch& patch : patches) vertices.push_back(greatest_vertex(in_body_frame, patch));
  const std::map<int, Vec3> normals = normals_of(in_body_frame, vertices);
  std::vector<double> doubts;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    const Vec3& sum = normals.at(vertices[i]);
    const Vec3 n = sum.norm() > 0 ? Vec3(sum.normalized()) : Vec3::UnitY();
    const Vec3 q = patches[i].greatest_at_mm - centroid_mm;
    const double by_yaw = plane.yaw_deg * rad_per_deg * (q.x() * n.y() - q.y() * n.x());
    const double by_tilt = plane.tilt_deg * rad_per_deg * (q.z() * n.y() - q.y() * n.z());
    const double by_plane = 2 * Vec3(by_yaw, by_tilt, plane.offset_mm * n.y()).norm();
    doubts.push_back(std::hypot(by_plane, slow_mm));
  }
  return doubts;
}

}  // namespace trueblank::symmetry
