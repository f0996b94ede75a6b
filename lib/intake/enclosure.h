// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A facet of a set of closed shells.
struct ShellFacet {
  std::array<geometry::Vec3, 3> corners;
  int shell = 0;
};

/// A point of one shell, whose place among the others is asked for.
struct ShellPoint {
  geometry::Vec3 position = geometry::Vec3::Zero();
  int shell = 0;
  int in_shell = 0;   ///< out: winding number of `of_interest` about it
  int in_others = 0;  ///< out: winding number of all shells but its own about it
};

/// How often shells go round points, by the facets that a ray in a fixed, odd direction meets.
///
/// cost  O(F log Q + the facets whose shadow covers points)
void wind_around(const std::vector<ShellFacet>& facets, int of_interest,
                 std::vector<ShellPoint>& points);

}  // namespace trueblank::intake
