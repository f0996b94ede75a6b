// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/planted_plane.h"

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <vector>

namespace trueblank::symmetry {

using geometry::Vec3;

Planted planted(const geometry::TriangleMesh& mesh, const geometry::Mat3& turn,
                const Vec3& shift_mm, double scale) {
  const Vec3 normal = turn * Vec3::UnitY();
  const Vec3 amid = turn * (scale * Vec3(mesh.positions_mm.row(0).mean(), 0, 0)) + shift_mm;
  return {test_bodies::moved(mesh, turn, shift_mm, scale), {normal, normal.dot(amid)}, amid};
}

double off_deg(const geometry::Plane& found, const Planted& truth) {
  return std::atan2(found.normal.cross(truth.plane.normal).norm(),
                    std::abs(found.normal.dot(truth.plane.normal))) *
         180 / std::numbers::pi;
}

double off_mm(const geometry::Plane& found, const Planted& truth) {
  return found.height_mm(truth.amid_mm);
}

geometry::ClosedMesh upright(const geometry::ClosedMesh& body,
                             const std::optional<geometry::Plane>& plane) {
  if (!plane) return body;
  const double sign = plane->normal.y() < 0 ? -1 : 1;
  geometry::Frame frame;
  frame.y = sign * plane->normal;
  frame.x = (Vec3::UnitX() - frame.y.x() * frame.y).normalized();
  frame.z = frame.x.cross(frame.y);
  frame.origin_mm = sign * plane->offset_mm * frame.y;
  return frame.to_body(body);
}

geometry::TriangleMesh lathe_pencil(int sides) {
  std::vector<Eigen::Vector2d> radius_z;
  constexpr int kRings = 40;
  for (int i = 0; i <= kRings; ++i) {
    const double t = static_cast<double>(i) / kRings;
    const bool end = i == 0 || i == kRings;
    radius_z.emplace_back(end ? 0 : 8 * std::sqrt(4 * t * (1 - t)) * (1.2 - 0.5 * t), 150 * t);
  }
  return test_bodies::turned(radius_z, sides);
}

}  // namespace trueblank::symmetry
