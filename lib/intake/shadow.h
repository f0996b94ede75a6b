// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "intake/cut_facets.h"

namespace trueblank::intake {

/// 1 where the wall's front looks to greater x, -1 to lesser, exactly; 0 where it is seen on edge:
/// no ray can start there.
[[nodiscard]] int facing_along_x(const Wall& wall, ExactPoints& points);

/// How often the facets wind round a point just off the middle of each wall, to its side of
/// greater x: by the facets that a ray from there along x meets, each judged exactly. Where the ray
/// meets an edge it is moved by a hair towards greater y, and by a hair's hair towards greater z.
///
/// walls  none seen on edge, none crossed by a facet
/// cost   O(F log W + the facets whose shadow covers walls)
[[nodiscard]] std::vector<int> windings_beyond(const std::vector<Wall>& walls,
                                               const Corners& facets,
                                               const Eigen::Matrix3Xd& positions,
                                               ExactPoints& points);

}  // namespace trueblank::intake
