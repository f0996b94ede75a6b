// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/drawing.h"
#include "report/templates.h"

// The single drawings that templates consist of; no part of the room's interface.
namespace trueblank::report {

/// A drawing with its upper left corner at the origin, and what a page that it fills is headed.
struct Block {
  std::string name = {};
  PagePoint size_mm = PagePoint::Zero();
  Sketch sketch = {};
};

/// The card to be laid over one flank at a station.
[[nodiscard]] Block card(const symmetry::HalfSection& section);

/// The whole outlines from the side and from above, nose to the left, with a mark at each station.
[[nodiscard]] Block side_view(const Templates& templates);
[[nodiscard]] Block top_view(const Templates& templates);

/// One under the other.
[[nodiscard]] Block stacked(const Block& upper, const Block& lower);

}  // namespace trueblank::report
