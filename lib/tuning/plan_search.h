// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/parallel.h"
#include "tuning/find_weights.h"
#include "tuning/local_search.h"
#include "tuning/problem.h"

// Searches over many starts, and what a maker can make of where they end. Inside the room.
namespace trueblank::tuning {

/// A solution of one problem.
struct Solved {
  Choice choice = {};
  Demand demand = {};
  Design design = {};
  double objective = 0;
  double breach = 0;
  double slack = 0;          ///< in all, units
  double wall_short_mm = 0;  ///< of that, of the walls

  [[nodiscard]] bool holds() const { return breach < 1e-4; }
};

/// What the sheet's wishes ask of a search, with a little in hand for rounding to 0.01 g and mm.
[[nodiscard]] Demand demand_of(const Ground& ground);

/// The first 64 combinations of hole diameters and hook sizes; all places used.
[[nodiscard]] std::vector<Choice> choices_of(const Ground& ground);

/// How many combinations there are.
[[nodiscard]] std::size_t all_choices(const rig::Wishes& wishes);

/// Searches from even starts, from a global search and from `also`, in every choice.
///
/// returns  those that hold, each once, best first; where none does, the one that breaches least
[[nodiscard]] std::vector<Solved> solve(const Ground& ground, const Demand& demand,
                                        const std::vector<Choice>& choices,
                                        const std::vector<Design>& also, Effort effort,
                                        const geometry::ParallelFor& loop);

/// From one start, in one choice.
[[nodiscard]] Solved solve_from(const Ground& ground, const Demand& demand, const Choice& choice,
                                const Design& start);

/// A solution as a maker can make it: weights that do nothing left out, masses in whole steps, of
/// the stock, or of 0.01 g, then places found anew for those masses and rounded to 0.01 mm.
[[nodiscard]] Solved made(const Ground& ground, const Solved& solved,
                          const geometry::ParallelFor& loop);

}  // namespace trueblank::tuning
