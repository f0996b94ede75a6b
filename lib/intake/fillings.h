// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "intake/hole_bound.h"
#include "intake/mend.h"
#include "intake/pieces.h"

namespace trueblank::intake {

/// What closes the holes of some pieces.
struct Fillings {
  std::vector<geometry::Vec3> vertices;  ///< numbered after the pieces' own
  Corners facets;
  double area = 0;
  std::vector<FilledHole> holes;
};

/// Fills every rim of the pieces that belong; their volumes are then those of the fillings.
///
/// floor  what the body stood on
[[nodiscard]] Fillings fill_rims(Pieces& pieces, const std::vector<std::uint8_t>& belongs,
                                 const std::optional<Floor>& floor);

}  // namespace trueblank::intake
