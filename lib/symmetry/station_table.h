// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/section.h"

// Everything in the body frame: y to the lure's right, z to the back, the mirror plane y = 0.
namespace trueblank::symmetry {

/// At one height of a section: how far it reaches to either side, as callipers held level find it.
/// 0 where that side has no skin at this height.
struct HalfWidths {
  double z_mm = 0;
  double left_mm = 0;
  double right_mm = 0;
};

/// A section and how its two sides differ.
struct Station {
  geometry::Section section;
  double area_difference_mm2 = 0;  ///< right less left
  double centre_offset_mm = 0;     ///< y of the section's centroid; 0 where there is no section
  double belly_below_mm = 0;       ///< how deep the belly lies below the long axis
  double back_above_mm = 0;        ///< how high the back lies above it
  std::vector<HalfWidths> half_widths;  ///< by rising z; heights that miss the section are left out
};

/// At which heights half widths are read.
struct StationHeights {
  std::vector<double> z_mm = {};  ///< from the long axis, in any order
  double step_mm = 0;             ///< where > 0: at every multiple of it too
};

/// sections  of this body, as stations() gives them
/// cost      one pass over the facets, and for each height one over the section's sides
[[nodiscard]] std::vector<Station> station_table(const geometry::ClosedMesh& in_body_frame,
                                                 const std::vector<geometry::Section>& sections,
                                                 const StationHeights& heights);

}  // namespace trueblank::symmetry
