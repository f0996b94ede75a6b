// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A hole's rim with the facets around it.
struct Hole {
  std::vector<geometry::Vec3> rim;  ///< in the order that the filling is wound: against the skin's
  std::vector<geometry::Vec3> around;    ///< further vertices of the skin beside the rim
  std::vector<std::array<int, 3>> skin;  ///< facets beside the hole, a few rings deep, over
                                         ///< rim (0 …) and around (rim.size() …)
};

/// What closes it: every rim edge once, in the order of the rim.
struct Filling {
  std::vector<geometry::Vec3> vertices;    ///< new ones
  std::vector<std::array<int, 3>> facets;  ///< over rim (0 …) and vertices (rim.size() …)
};

/// Closes a hole. Where the skin runs on into the hole, the filling is bent so that it goes on
/// smoothly (thin plate); where the skin stands steep on it (an end or a side that is missing), it
/// is the flat one of least area. A rim of many edges is first thinned out, so that the time stays
/// small. If all else fails, a fan to the rim's middle.
///
/// hole    a rim of at least 3 vertices; the skin may be empty
/// throws  nothing
/// source  P. Liepa, "Filling holes in meshes", Symposium on Geometry Processing 2003; M. Botsch,
///         L. Kobbelt, ACM Trans. Graphics 23(3), 2004; both as CGAL has them
[[nodiscard]] Filling fill_hole(const Hole& hole);

}  // namespace trueblank::intake
