// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/float_report.h"

// How a lure lies, in words and tables.
namespace trueblank::report {

/// "19.2°"; no minus before nothing.
[[nodiscard]] std::string degrees(double deg);

/// "level", "tail 5.4° down", "nose 72.0° down, nearly upright"
[[nodiscard]] std::string trim_words(double tail_down_deg);

/// How a pose looks: "back up, tail 5.4° down", "on its left flank (list 92.0°), level".
[[nodiscard]] std::string pose_words(const water::RestPose& pose);

/// Likewise of the angles alone; without a list and not upright it rolls freely.
[[nodiscard]] std::string lie_words(double tail_down_deg, const std::optional<double>& list_deg);

/// Which side it then shows, as where one rolls to: "onto its left flank", "back up", "belly up".
/// Nothing where it has no list, or lies steep.
[[nodiscard]] std::string side_words(const water::RestPose& pose);

/// "8.8 g in reserve" or "3.1 g in water"
[[nodiscard]] std::string reserve_words(double reserve_g, const TextStyle& style);

/// A row a pose: angles, depth, stiffness. Nothing where there are none.
[[nodiscard]] std::string pose_table(const FloatResult& result);

}  // namespace trueblank::report
