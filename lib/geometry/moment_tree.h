// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/cut.h"

namespace trueblank::geometry {

/// A tree over a body's facets that answers moments_below for any plane in time that grows about
/// as the square root of the number of facets: a node keeps its facets' summed moments as
/// polynomials of the apex, so that a branch wholly below the plane is answered in one step and a
/// branch wholly above it is skipped; only facets that the plane meets are cut.
///
/// Keeps its own copy of what it needs; may be asked from several threads at once.
///
/// cost  building O(F log F); a cut about O(√F)
class MomentTree {
 public:
  explicit MomentTree(const ClosedMesh& body);

  /// As moments_below(body, plane), to 1e-11 of the whole body's value.
  [[nodiscard]] BelowPlane below(const Plane& plane) const;

  /// The whole body's volume and ∫ p dV.
  [[nodiscard]] double volume_mm3() const;
  [[nodiscard]] const Vec3& first_moment_mm4() const;

  /// The least and greatest direction·p over the body's vertices; where a plane square to
  /// `direction` first and last meets the body.
  [[nodiscard]] std::pair<double, double> extent_mm(const Vec3& direction) const;

  // Private part: the author of this file's business.
};

}  // namespace trueblank::geometry
