// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "effect/effect.h"

namespace trueblank::effect {

/// A list that no one sees: rest poses nearer than this are one.
inline constexpr double unseen_list_deg = 0.1;

/// A patch sanded off, wholly or in part, and how the lure then lies.
struct SandingStep {
  int patch = 0;
  double share = 1;           ///< of the patch's wood, that comes off; in 0..1
  double wood_g = 0;          ///< so much of it
  double list_after_deg = 0;  ///< the pose's list after this and all steps before
};

/// In what order to sand, by first-order lists, which add up.
struct SandingPlan {
  double list_before_deg = 0;
  /// All patches, those that change the list most first; of equal ones the lower number.
  std::vector<SandingStep> largest_first;
  /// Only what brings the lure nearer to level, each time the patch that brings it nearest; of one
  /// that would turn it beyond level, only the share that levels it. Ends where no one sees the
  /// list any more, or where nothing brings the lure nearer by a tenth of `unseen_list_deg`. Where
  /// a weight lists the lure and a proud flank holds against it, that flank is better left.
  std::vector<SandingStep> to_level;
  /// Patches that change the list by less than `unseen_list_deg`: they may be left, as far as the
  /// water goes. Rising.
  std::vector<int> may_be_left;
};

[[nodiscard]] SandingPlan sanding_plan(const Effect& effect);

}  // namespace trueblank::effect
