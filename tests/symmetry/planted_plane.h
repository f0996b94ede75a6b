// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/frame.h"
#include "symmetry/marred_skins.h"

// A body whose mirror plane is known, moved to where the tests want it.
namespace trueblank::symmetry {

struct Planted {
  geometry::TriangleMesh body;
  geometry::Plane plane;
  geometry::Vec3 amid_mm = geometry::Vec3::Zero();  ///< a point of the plane amid the body
};

/// mesh  a mirror image of itself in y = 0, but for what was done to it
[[nodiscard]] Planted planted(const geometry::TriangleMesh& mesh, const geometry::Mat3& turn,
                              const geometry::Vec3& shift_mm, double scale = 1);

/// The angle between the planes.
[[nodiscard]] double off_deg(const geometry::Plane& found, const Planted& truth);

/// How far the found plane passes the body's middle by.
[[nodiscard]] double off_mm(const geometry::Plane& found, const Planted& truth);

/// A body that lies about as its formula made it, moved so that a plane becomes y = 0;
/// without one it stays as it is.
[[nodiscard]] geometry::ClosedMesh upright(const geometry::ClosedMesh& body,
                                           const std::optional<geometry::Plane>& plane);

/// A round pencil 150 mm long, turned about z, with flat facets on `sides` sides.
[[nodiscard]] geometry::TriangleMesh lathe_pencil(int sides);

}  // namespace trueblank::symmetry
