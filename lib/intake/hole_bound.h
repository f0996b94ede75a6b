// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "intake/fill_hole.h"

namespace trueblank::intake {

/// What the body stands on: it lies wholly where normal·p >= offset, to within `tolerance`.
struct Floor {
  geometry::Vec3 normal = geometry::Vec3::UnitZ();  ///< towards the body, unit length
  double offset = 0;
  double tolerance = 0;
};

struct HoleBound {
  double volume = 0;  ///< the true skin encloses as much as the filling, within ± this
  bool wide = false;  ///< the skin around doesn't tell where it closes; see below
};

/// How far off a filling can be in volume.
///
/// Cut by any plane square to the rim's own, a skin that bends one way only lies between the chord
/// of the hole and the tangents at its two ends; that holds for a belly, for a hollow and, line by
/// line, for a saddle. Averaged over lines in all places and directions these bands bound the
/// volume (the mean of true bounds is one); the bound is the greater distance of the filling from
/// either end of the band. The tangents come from the skin outside the hole, in a strip as wide as
/// a quarter of its radius, so that they are steep rather than flat; what the noise of that strip
/// does to the rim is added. Tangents that do not meet within four chords' lengths (a side or an
/// end is missing) are cut off two lengths out, and the bound is called wide. What the skin hides
/// in the hole without a sign on the rim (a slot, an eye) nothing can bound.
///
/// floor   where the hole is where the body stood, it goes no farther than that
/// source  Cauchy and Crofton's formulas for areas by lines: L. Santaló, "Integral geometry and
///         geometric probability", 1976, from memory
/// cost    some 500 lines times the rim's edges
[[nodiscard]] HoleBound hole_bound(const Hole& hole, const Filling& filling,
                                   const std::optional<Floor>& floor);

}  // namespace trueblank::intake
