// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// What stood between two skins, lengths in the unit of the meshes.
struct TakenOff {
  double before = 0;               ///< mean over the skin of what the wrap lay outside of the body
  double left = 0;                 ///< the same afterwards; < 0: inside
  double between = 0;              ///< the volume that is left between the two skins, either way
  std::vector<std::uint8_t> near;  ///< 1 a facet of the wrap that lies on the body; 0 one that
                                   ///< bridges what the wrap didn't go into
  std::vector<int> nearest_facet;  ///< of the body, for each facet of the wrap
};

/// Takes the thickness of a wrap off again. Each vertex goes back onto the body's skin; then, since
/// chords over a round body lie inside it, each vertex is moved along its normal until the facets
/// around it lie as much outside as inside.
///
/// wrap    closed, its vertices about `offset` outside the body
/// body    any facets, their winding is not looked at
/// near    facets further away than this are not moved and not counted in the means
/// cost    five rounds of four questions a facet, and one a vertex
[[nodiscard]] TakenOff take_off(geometry::TriangleMesh& wrap, const geometry::TriangleMesh& body,
                                double offset, double near);

}  // namespace trueblank::intake
