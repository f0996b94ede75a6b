// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/frame_of_body.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>

#include "symmetry/mirror_plane.h"

namespace trueblank::body {
namespace {

using geometry::Vec3;

// Shares of the length under which a shape is alike both ways.
constexpr double kAlike = 1e-6;

// The sign of a direction's largest entry.
double largest_sign(const Vec3& direction) {
  Eigen::Index k = 0;
  direction.cwiseAbs().maxCoeff(&k);
  return direction[k] < 0 ? -1 : 1;
}

// The middle height of a body's end: of the vertices that lie furthest along a direction, between
// the lowest and the highest.
double middle_of_end(const geometry::TriangleMesh& mesh, const Vec3& direction, double furthest,
                     double slack, const Vec3& up) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const Vec3 p = mesh.corner(f, k);
      if (direction.dot(p) < furthest - slack) continue;
      low = std::min(low, up.dot(p));
      high = std::max(high, up.dot(p));
    }
  }
  return 0.5 * (low + high);
}

bool points_aft(const Vec3& axis, const Extent& extent, const Vec3& centroid_mm,
                const FrameHints& hints) {
  if (hints.nose) return axis.dot(*hints.nose) <= 0;
  const double share =
      (axis.dot(centroid_mm) - extent.low_mm) / std::max(extent.length_mm(), 1e-300) - 0.5;
  if (std::abs(share) > kAlike) return share < 0;
  return largest_sign(axis) > 0;
}

bool points_back(const Vec3& up, const geometry::ClosedMesh& body, const Vec3& aft,
                 const Vec3& centroid_mm, const FrameHints& hints) {
  if (hints.back) return up.dot(*hints.back) >= 0;
  const Extent extent = extent_along(body.mesh(), aft);
  const double length = extent.length_mm();
  const double slack = kAlike * length;
  const double fore = middle_of_end(body.mesh(), -aft, -extent.low_mm, slack, up);
  const double rear = middle_of_end(body.mesh(), aft, extent.high_mm, slack, up);
  if (length > 0) {
    const double share = (aft.dot(centroid_mm) - extent.low_mm) / length;
    const double off = up.dot(centroid_mm) - (fore + share * (rear - fore));
    if (std::abs(off) > slack) return off < 0;
  }
  return largest_sign(up) > 0;
}

}  // namespace

Extent extent_along(const geometry::TriangleMesh& mesh, const Vec3& direction) {
  Extent extent{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const double at = direction.dot(mesh.corner(f, k));
      extent.low_mm = std::min(extent.low_mm, at);
      extent.high_mm = std::max(extent.high_mm, at);
    }
  }
  return extent;
}

geometry::Frame body_frame(const geometry::ClosedMesh& body, const geometry::Moments& whole,
                           const geometry::Plane& mirror, const FrameHints& hints) {
  geometry::Frame frame;
  const Vec3 axis = symmetry::long_axis_within(whole, mirror);
  const Vec3 on_line = whole.centroid_mm - mirror.height_mm(whole.centroid_mm) * mirror.normal;
  const Extent extent = extent_along(body.mesh(), axis);
  const bool aft = points_aft(axis, extent, whole.centroid_mm, hints);
  frame.x = aft ? axis : Vec3(-axis);
  const Vec3 up = mirror.normal.cross(frame.x).normalized();
  frame.z = points_back(up, body, frame.x, whole.centroid_mm, hints) ? up : Vec3(-up);
  frame.y = frame.z.cross(frame.x).normalized();
  const double forward = aft ? extent.low_mm : -extent.high_mm;
  frame.origin_mm = on_line + (forward - frame.x.dot(on_line)) * frame.x;
  return frame;
}

}  // namespace trueblank::body
