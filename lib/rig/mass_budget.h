// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "rig/mass_model.h"

namespace trueblank::rig {

/// How many kinds of parts there are.
inline constexpr std::size_t part_kinds = 7;

/// What the parts of each kind weigh together, in the order of PartKind.
struct MassBudget {
  std::array<double, part_kinds> g = {};

  [[nodiscard]] double of(PartKind kind) const { return g[static_cast<std::size_t>(kind)]; }
};

[[nodiscard]] inline MassBudget mass_budget(std::span<const MassPart> parts) {
  MassBudget budget;
  for (const MassPart& part : parts) budget.g[static_cast<std::size_t>(part.kind)] += part.mass_g;
  return budget;
}

}  // namespace trueblank::rig
