// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "symmetry/copies.h"

namespace trueblank::symmetry {

/// How copies differ from their master at one place, and from each other.
struct PlaceOfCopies {
  double mean_mm = 0;    ///< area-weighted; > 0: the copies have more there
  double spread_mm = 0;  ///< root of the area-weighted mean variance from copy to copy
};

/// A slice of the body, by the way its skin faces.
struct SliceOfCopies {
  double from_mm = 0;
  double to_mm = 0;
  /// Back, right flank, belly, left flank; nothing where two copies and more measured no skin.
  std::array<std::optional<PlaceOfCopies>, 4> faces = {};
};

/// Mean and spread by place: equal slices from nose to tail, each by whether its skin faces most to
/// the back, the right, the belly or the left.
///
/// master  as given to Copies
/// result  of it
/// slices  > 0
[[nodiscard]] std::vector<SliceOfCopies> by_place(const ComparisonSkin& master,
                                                  const CopiesResult& result, int slices);

}  // namespace trueblank::symmetry
