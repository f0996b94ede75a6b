// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

namespace trueblank::intake {

/// What the facets' chords cut off a smooth body whose skin goes through the vertices: > 0 where
/// the body is mostly round and the facets lie inside it, < 0 where it is hollow. In cubed units of
/// the mesh; an estimate, good to some tenths of itself where the facets are small against the
/// body's curvature.
///
/// How: over a triangle the gap between a quadratic and its chord is A/24 · Σ κ l², κ the curvature
/// along an edge of length l; along an edge from a to b, κ l² is (n_b − n_a)·(b − a) with the unit
/// normals n of the vertices. Where a vertex's normal is more than 20° off the facet's the body has
/// an edge of its own: there no chord cuts anything off.
///
/// mesh  closed, outward
/// cost  two passes over the facets
[[nodiscard]] double chord_volume(const geometry::TriangleMesh& mesh);

}  // namespace trueblank::intake
