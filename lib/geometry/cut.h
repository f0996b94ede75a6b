// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/frame.h"

namespace trueblank::geometry {

/// What of a body lies below a plane (on the side that the normal points away from), and the cut
/// face. Everything in the axes of the body's vertices.
struct BelowPlane {
  double volume_mm3 = 0;
  Vec3 first_moment_mm4 = Vec3::Zero();  ///< ∫ p dV from the coordinate origin
  double waterplane_mm2 = 0;
  Vec3 waterplane_centroid_mm = Vec3::Zero();  ///< zero where the plane misses the body
  Mat3 waterplane_second_mm4 = Mat3::Zero();  ///< ∫ q qᵀ dA over the cut face, q from its centroid
};

/// The part of a body below a plane, by a plain loop over all facets: no cap is built, since with
/// the apex on the plane the cap adds nothing, and the cut face's own moments follow from the
/// divergence theorem over the facets below.
///
/// precision  1e-12 of the whole body's value
/// cost       one pass over the facets
[[nodiscard]] BelowPlane moments_below(const ClosedMesh& body, const Plane& plane);

}  // namespace trueblank::geometry
