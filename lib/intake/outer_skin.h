// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// The skin of all that closed shells enclose at least once, in the units of the shells.
struct OuterSkin {
  geometry::TriangleMesh mesh;   ///< closed and outward; the vertices kept, in their order, then
                                 ///< those made where facets cross. Without facets where the shells
                                 ///< enclose nothing
  std::vector<int> from_facet;   ///< for each facet of `mesh` the given facet that it is part of
  std::vector<int> from_vertex;  ///< likewise the given vertex, -1 where made or moved
  int pairs_before = 0;          ///< pairs of given facets that cross or touch
  int pairs_left = 0;            ///< such pairs of `mesh`: what the rounding of made vertices left
  double volume_before_mm3 = 0;  ///< as the shells enclose it: twice where they overlap, less than
                                 ///< nothing where the skin is turned over
  double volume_after_mm3 = 0;   ///< of `mesh`
  bool changed = false;          ///< else `mesh` is what was given, to the last bit
};

/// The most pairs of crossing facets that are gone into.
constexpr int most_crossing_pairs = 100'000;

/// The boundary of the region that the shells wind round at least once: overlapping shells are
/// united, folds where the skin crosses itself go, a shell turned inward inside another stays as
/// its cavity, one turned inward outside goes, one wholly inside another goes. All facets are cut
/// along all crossings exactly; only the vertices made there are rounded. Where that lets slivers
/// cross anew, these and what they touch are put onto a grid, its step at most 8e-9 of the greatest
/// coordinate, and cut again.
///
/// shells   closed: every directed edge is met by its opposite equally often; may cross itself in
///          any way, may have repeated facets and facets without area
/// returns  nothing where the shells aren't closed, or cross too often (most_crossing_pairs, or so
///          that the pieces would be too many)
/// throws   nothing
/// cost     O(F log F), and 0.1 to 0.3 ms a pair of crossing facets
/// source   Q. Zhou, E. Grinspun, D. Zorin, A. Jacobson, "Mesh arrangements for solid geometry",
///          ACM Trans. Graphics 35(4), 2016
[[nodiscard]] std::optional<OuterSkin> united_skin(const geometry::TriangleMesh& shells);

}  // namespace trueblank::intake
