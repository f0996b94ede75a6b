// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/float_report.h"

// What becomes of many builds that are each a little off, in words and a table.
namespace trueblank::report {

/// Below this share of builds that lie as the nominal one does, that is said first of all.
inline constexpr double sure_share = 0.9;

/// "Of 1000 builds within ± (one standard deviation) 0.1 g, 1 mm, 3 % of wood, 0.5 % of size, 96 %
/// lie as this one does (seed 1)."; nothing where none were drawn.
[[nodiscard]] std::string draws_sentence(const FloatResult& result);

/// The sentence, what the others do, and how the figures scatter.
[[nodiscard]] std::string draws_text(const FloatResult& result);

}  // namespace trueblank::report
