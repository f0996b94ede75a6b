// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// What a closed body's volume is worth, exact for the polyhedron up to rounding.
struct Moments {
  double volume_mm3 = 0;
  double area_mm2 = 0;
  Vec3 centroid_mm = Vec3::Zero();  ///< in the axes of the body's vertices
  Mat3 inertia_mm5 = Mat3::Zero();  ///< about the centroid, unit density; off-diagonals are −∫xy
  Mat3 spread_mm5 = Mat3::Zero();   ///< ∫ q qᵀ dV, q from the centroid
};

/// Volume, area, centroid and inertia of a closed body. Sums the signed tetrahedra from a
/// point amid the vertices to each facet, so that a body far from the origin keeps its digits.
///
/// cost    one pass over the facets, no allocation, the sums compensated and in facet order
/// source  Kallay, J. Graphics Tools 11(2), 51-57, 2006
[[nodiscard]] Moments moments(const ClosedMesh& body);

/// The signed volume of any facet set as if joined to `apex_mm`; of a closed mesh its volume,
/// negative where it is inside out.
[[nodiscard]] double signed_volume_mm3(const TriangleMesh& mesh, const Vec3& apex_mm);

[[nodiscard]] double area_mm2(const TriangleMesh& mesh);

struct Principal {
  Vec3 values;  ///< rising
  Mat3 axes;    ///< a column an axis, right-handed, each with its largest entry positive
                ///< save where right-handedness turns the last
};

/// Eigenvalues and axes of a symmetric matrix.
[[nodiscard]] Principal principal(const Mat3& symmetric);

}  // namespace trueblank::geometry
