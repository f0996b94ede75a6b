// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "report/ballast_report.h"

// A plan in words, as the text, the JSON and the drawing have them; no part of the room's
// interface.
namespace trueblank::report {

/// "lead" where the table has a material of just that density, else "a metal of 9.20 g/cm³".
[[nodiscard]] std::string metal_words(double density_g_cm3);
/// The material's name, or nothing.
[[nodiscard]] std::optional<std::string> metal_name(double density_g_cm3);
[[nodiscard]] bool is_lead(double density_g_cm3);

/// "belly", "back", "left flank", "right flank", "nose", "tail"
[[nodiscard]] std::string mouth_words(rig::Mouth mouth);
/// "belly", "back", "left", "right", "nose", "tail"
[[nodiscard]] std::string mouth_name(rig::Mouth mouth);

/// "on the middle line", "1.5 mm to the right"
[[nodiscard]] std::string aside_words(double y_mm);

/// "11.5 g of lead at 71.3 mm and 3.0 g of tungsten at 130.0 mm"; "no weight at all"
[[nodiscard]] std::string weights_words(const tuning::Plan& plan, const TextStyle& style);

/// "state", "reserve", "tail_down", "list", "least_stiffness", "sink_rate", "wall", "stands"
[[nodiscard]] std::string wish_name(tuning::WishResult::Kind kind);
[[nodiscard]] std::string wanted_state_name(rig::WantedState state);

/// What can't be had together, and what would have to give. Nothing where all is met.
[[nodiscard]] std::string concession_sentence(const BallastResult& result);

/// How a hole is drilled and filled, in whole sentences.
[[nodiscard]] std::string hole_sentences(const BallastResult& result, std::size_t weight,
                                         const TextStyle& style);
/// How a wire is bent and cut, likewise.
[[nodiscard]] std::string wire_sentences(const tuning::BendPlan& wire, const TextStyle& style);

/// What float warns of, and what the plan itself must be told with.
[[nodiscard]] std::vector<std::string> all_warnings(const BallastResult& result);

/// "a, b and c"
[[nodiscard]] std::string listed(const std::vector<std::string>& words, std::string_view last);

}  // namespace trueblank::report
