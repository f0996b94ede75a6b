// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <span>
#include <string>

#include "effect/plan.h"
#include "report/numbers.h"

// Whether an asymmetry matters in the water, in words.
namespace trueblank::report {

/// What to sand for the lure to lie level, or that there is nothing to: "It lists 0.80°, right
/// flank down. Take 0.40 g off the left flank, 38 to 61 mm from the nose, and it lies level."
///
/// patch_names  a name each, in the order of the effect's patches
[[nodiscard]] std::string level_sentence(const effect::SandingPlan& plan,
                                         std::span<const std::string> patch_names,
                                         const TextStyle& style);

/// Beside that sentence: a row a patch, those that change the list most first; what it means that a
/// flank lifts; and which may be left.
[[nodiscard]] std::string effect_text(const effect::Effect& effect, const effect::SandingPlan& plan,
                                      std::span<const std::string> patch_names,
                                      std::size_t most_rows = 1000);

}  // namespace trueblank::report
