// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// The outline that a body shows from far off along a direction: what its shadow covers. Where the
/// body overlaps itself it counts once; a hole that one can look through does not count.
struct Silhouette {
  double area_mm2 = 0;
  Vec3 centroid_mm = Vec3::Zero();  ///< of the shadow, on the plane through the coordinate origin
                                    ///< square to the direction
};

/// The facets that face the viewer cover each point of the plane as often as the edges that bound
/// them wind around it; the shadow is where that is not nil. It is integrated exactly, strip by
/// strip between neighbouring corners and crossings of those edges, up to rounding.
///
/// A facet seen so nearly edge-on that it shows less than 1e-9 of its area is taken for edge-on.
/// Of a rough skin with more than `exact_contour_edges` such edges, 2048 even strips are sampled
/// instead; that is out by less than 1/2000 of the area where the outline has no steps.
///
/// direction  unit length; from either side the shadow is the same
/// cost       one pass over the facets, and a sort of half their edges
[[nodiscard]] Silhouette silhouette(const ClosedMesh& body, const Vec3& direction);

/// Contour edges up to which the outline is integrated exactly.
inline constexpr int exact_contour_edges = 20'000;
/// Strips that are sampled beyond that.
inline constexpr int sampled_strips = 2048;

/// As `silhouette`, by sampled strips whatever the number of contour edges.
[[nodiscard]] Silhouette sampled_silhouette(const ClosedMesh& body, const Vec3& direction,
                                            int strips = sampled_strips);

}  // namespace trueblank::geometry
