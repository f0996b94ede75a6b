// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

#include "report/compare_report.h"

// Inside the room: the sentences that `compare` says of one copy and of many.
namespace trueblank::report {

/// By how much it is smaller, in percent; negative: larger. Of a factor by which the master is
/// larger.
[[nodiscard]] double shrinkage_percent(const symmetry::Factor& factor);
/// One standard deviation of it.
[[nodiscard]] double shrinkage_sd_percent(const symmetry::Factor& factor);

/// "The copy is 2.1 % smaller than its master (-0.84 cm³)."
[[nodiscard]] std::string size_sentence(const ComparedCopy& copy);

/// "It has shrunk by 0.62 % (± 0.01): 0.60 along, 0.80 across, 0.79 upright; with that taken off, "
/// goes on in the next sentence; empty where the scale was not to be fitted.
[[nodiscard]] std::string shrinkage_words(const ComparedCopy& copy);

/// How near the skins are, and where they differ most.
[[nodiscard]] std::string skin_sentence(const ComparedCopy& copy, const TextStyle& style);

/// Whether it keeps the limit; empty where there is none.
[[nodiscard]] std::string limit_sentence(const ComparedCopy& copy, const TextStyle& style);

/// What it does in the water, and what restores it; empty where that was not asked for.
[[nodiscard]] std::string water_sentence(const CopyInWater& water, const TextStyle& style);

/// "add 1.3 g of lead at 118.0 mm"
[[nodiscard]] std::string restoring_words(const tuning::Restoring& way, const TextStyle& style);

/// What many copies have in common, and what scatters.
[[nodiscard]] std::string together_sentence(const CompareResult& result, const TextStyle& style);

/// "neither", "mould", "scatter"
[[nodiscard]] std::string verdict_name(symmetry::CopiesVerdict verdict);

}  // namespace trueblank::report
