// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "report/paper_pages.h"
#include "report/plan_drawing.h"

// The single drawings that a plan consists of; no part of the room's interface.
namespace trueblank::report {

/// The outline from the side, or from above, nose to the left, with all that is put into the body.
[[nodiscard]] Block plan_side_view(const PlanSheet& sheet);
[[nodiscard]] Block plan_top_view(const PlanSheet& sheet);

/// A wire before it is bent, as long as it is to be cut, with a mark at each bend and eye; in as
/// many rows as it takes.
[[nodiscard]] Block straight_wire(const tuning::BendPlan& wire, double width_mm);

/// Paragraphs under a heading (which may be empty), their lines no wider than so.
[[nodiscard]] Block text_block(const std::string& heading, const std::vector<std::string>& lines,
                               double width_mm);

}  // namespace trueblank::report
