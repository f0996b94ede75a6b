// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// The angle-weighted normals of a body's vertices: the mean of the facets' normals, each weighed
/// by the angle that its facet has at the vertex.
///
/// returns  3×V, outward, of unit length; nought where a vertex has no outside (its normals cancel
///          out, or all its facets are slivers)
/// cost     one pass over the facets
/// source   Baerentzen & Aanaes, IEEE TVCG 11(3), 243-253, 2005
[[nodiscard]] Eigen::Matrix3Xd outward_normals(const ClosedMesh& body);

/// A body with a coat on: each vertex moved out along its angle-weighted normal, the facets as they
/// were. On flats the coat is as thick as it should be, on an edge thinner, as a real one is.
///
/// thickness_mm  > 0, small beside the body
/// returns       nothing where what comes out encloses no volume; a vertex without an outside
///               stays where it is
/// cost          one pass over the facets, and a sort of the edges
[[nodiscard]] std::optional<ClosedMesh> coated(const ClosedMesh& body, double thickness_mm);

/// A body whose outer skin is moved out, as coated() moves it (in, where that is negative); the
/// walls of its cavities stay. Of a body without cavities: just coated().
[[nodiscard]] std::optional<ClosedMesh> with_outer_skin_moved(const ClosedMesh& body,
                                                              double out_mm);

}  // namespace trueblank::geometry
