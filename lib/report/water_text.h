// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/float_report.h"

// What a lure does in this water and in others, in words.
namespace trueblank::report {

/// "fresh, 20 °C" or, where that is all that is known of it, "1.0100 g/cm³"
[[nodiscard]] std::string kind_words(const rig::Water& water);

/// "fresh, 20.0 °C: 0.9982 g/cm³"
[[nodiscard]] std::string water_text(const rig::Water& water);

/// "In the tub (fresh, 20 °C): 8.1 g in reserve, back up, tail 9.3° down."
[[nodiscard]] std::string tank_sentence(const FloatResult& result, const TextStyle& style);

/// Which waters carry it: "It floats in the sea and sinks in fresh water, at 4 to 28 °C alike."
[[nodiscard]] std::string waters_sentence(const water::WatersTable& table);

/// "an estimated 0.34 to 0.62 m/s, tail 10° to 40° down while falling"
[[nodiscard]] std::string fall_words(const water::SinkEstimate& estimate);

/// " On a tight line from the nose eye it hangs ..."; nothing where there is no line.
[[nodiscard]] std::string line_sentence(const FloatResult& result);

/// What must be added or taken off for it to hang in the water; nothing where no metal does it.
[[nodiscard]] std::string hover_words(const FloatResult& result, const TextStyle& style);

/// A row a water.
[[nodiscard]] std::string waters_table_text(const water::WatersTable& table);

}  // namespace trueblank::report
