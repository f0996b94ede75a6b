// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "report/mirror_report.h"

// Inside the room: the sentences that `mirror` says, and its tables.
namespace trueblank::report {

/// "The mirror plane is sure to ± 0.03° of tilt, ± 0.02° of yaw and ± 0.010 mm; the scan's noise,
/// as far as it can be told from shape, is 0.06 mm."; empty where neither is known.
[[nodiscard]] std::string sure_words(const MirrorResult& result, const TextStyle& style);

/// Where to sand, how deep, how much; or that there is nothing to sand.
[[nodiscard]] std::string sanding_words(const MirrorResult& result, const TextStyle& style);

/// What was told apart by a second scan, or that a second scan would.
[[nodiscard]] std::string again_words(const MirrorResult& result, const TextStyle& style);

/// A row a patch with its name under it.
[[nodiscard]] std::string patches_text(const MirrorResult& result, const TextStyle& style);

[[nodiscard]] std::string stations_text(const MirrorResult& result);
[[nodiscard]] std::string roundness_text(const MirrorResult& result);

/// How many patches a table shows; the others matter less.
[[nodiscard]] std::size_t rows_shown(const TextStyle& style);

[[nodiscard]] std::vector<std::string> patch_names(const MirrorResult& result);

/// "62 mm³", "1.21 cm³"
[[nodiscard]] std::string volume_text(double volume_mm3);

/// The same with ", 0.43 g" after it where the wood is known.
[[nodiscard]] std::string wood_text(double volume_mm3, const MirrorResult& result,
                                    const TextStyle& style);

}  // namespace trueblank::report
