// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// The section of a body square to x, in the body frame (y to the lure's right, z to the back).
/// A concave or hollow body's section may have several loops; areas are of all of them.
struct Section {
  double x_mm = 0;
  double left_half_width_mm = 0;   ///< greatest −y of the section, ≥ 0
  double right_half_width_mm = 0;  ///< greatest y, ≥ 0
  double lowest_z_mm = 0;
  double highest_z_mm = 0;
  double left_area_mm2 = 0;   ///< of the section where y < 0
  double right_area_mm2 = 0;  ///< where y > 0

  [[nodiscard]] double height_mm() const { return highest_z_mm - lowest_z_mm; }
};

/// All zeros but x_mm where the plane misses the body. Where the plane lies in a facet the section
/// just aft of it is given.
/// cost  one pass over the facets
[[nodiscard]] Section section_at(const ClosedMesh& body, double x_mm);

}  // namespace trueblank::geometry
