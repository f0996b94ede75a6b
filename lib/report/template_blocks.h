// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/paper_pages.h"

// The single drawings that templates consist of; no part of the room's interface.
namespace trueblank::report {

/// The card to be laid over one flank at a station.
[[nodiscard]] Block card(const symmetry::HalfSection& section);

/// The whole outlines from the side and from above, nose to the left, with a mark at each station.
[[nodiscard]] Block side_view(const Templates& templates);
[[nodiscard]] Block top_view(const Templates& templates);

}  // namespace trueblank::report
