// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// The points p with normal·p = offset_mm; normal is of unit length.
struct Plane {
  Vec3 normal = Vec3::UnitY();
  double offset_mm = 0;

  [[nodiscard]] double height_mm(const Vec3& p) const { return normal.dot(p) - offset_mm; }

  /// The mirror image R(p).
  [[nodiscard]] Vec3 reflected(const Vec3& p) const { return p - 2 * height_mm(p) * normal; }
};

/// A right-handed frame in the axes of a file: x, y, z of unit length and square to each other.
struct Frame {
  Vec3 origin_mm = Vec3::Zero();
  Vec3 x = Vec3::UnitX();
  Vec3 y = Vec3::UnitY();
  Vec3 z = Vec3::UnitZ();

  [[nodiscard]] Mat3 axes() const { return (Mat3() << x, y, z).finished(); }

  [[nodiscard]] Vec3 to_body(const Vec3& file_mm) const {
    return axes().transpose() * (file_mm - origin_mm);
  }

  [[nodiscard]] Vec3 to_file(const Vec3& body_mm) const { return axes() * body_mm + origin_mm; }

  /// The body in this frame.
  [[nodiscard]] ClosedMesh to_body(const ClosedMesh& body) const {
    return body.moved(axes().transpose(), -(axes().transpose() * origin_mm));
  }
};

}  // namespace trueblank::geometry
