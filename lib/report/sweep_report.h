// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/numbers.h"
#include "water/sweep.h"

namespace trueblank::report {

/// A map over one or two quantities of a sheet.
struct SweepResult {
  std::vector<std::string> keys;  ///< as the user wrote them, "belly.x"; as many as axes
  water::Sweep map;
};

/// "mm", "g" or "g/cm3"
[[nodiscard]] std::string sweep_unit(water::Swept what);

/// How many builds stand, and between which values; paragraphs. Empty where nothing was swept.
[[nodiscard]] std::string sweep_text(const std::optional<SweepResult>& sweep,
                                     const TextStyle& style);

/// A row a build under headings with units, as RFC 4180 has it (lines end with CR LF); a cell
/// without a figure is empty. Numbers read back to the same double.
[[nodiscard]] std::string sweep_csv(const SweepResult& sweep);

}  // namespace trueblank::report
