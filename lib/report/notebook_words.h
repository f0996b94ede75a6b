// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/notebook_report.h"

// Inside the room: the words of a notebook, as text and JSON have them.
namespace trueblank::report {

/// "reserve", "tail_down", "list", "mass", "soak_gain"
[[nodiscard]] std::string figure_name(notebook::Figure figure);
/// "reserve", "tail", "list", "mass", "soak"
[[nodiscard]] std::string figure_words(notebook::Figure figure);
/// " g", "°"
[[nodiscard]] std::string figure_unit(notebook::Figure figure);

/// "scale", "wood_density", "water_taken_up", "hook_mass"
[[nodiscard]] std::string cause_name(notebook::CauseKind kind);
/// "the wood (western redcedar) is 3.1 % denser than the sheets say (± 0.8)"
[[nodiscard]] std::string cause_words(const notebook::Cause& cause,
                                      const notebook::Estimate& estimate);

/// "On your last 6 builds the tail was predicted within 1.9°, the reserve within 0.6 g."; empty
/// where nothing was read.
[[nodiscard]] std::string calibration_sentence(const LearnedBook& learned);
/// What explains the difference, or that nothing does.
[[nodiscard]] std::string learned_sentences(const LearnedBook& learned);
/// How much weight a new blank wants.
[[nodiscard]] std::string suggestion_sentence(const NotebookResult& result, const TextStyle& style);
/// "floats; tail 12.0° down (± 2.0); 4.1 g of lead sank it; in fresh water of 20 °C"
[[nodiscard]] std::string record_words(const notebook::TankRecord& record, const TextStyle& style);

}  // namespace trueblank::report
