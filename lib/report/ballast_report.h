// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/float_report.h"
#include "rig/wishes.h"
#include "tuning/bend_plan.h"
#include "tuning/drill_plan.h"
#include "tuning/find_weights.h"
#include "tuning/measure_first.h"
#include "tuning/tables.h"

namespace trueblank::report {

/// Where a weight's middle is, as measured on the bench.
struct Bench {
  double above_belly_mm = 0;  ///< along z, from the skin under it
  double below_back_mm = 0;   ///< likewise
};

/// A hook of the sheet as it was.
struct HookBefore {
  std::string name;
  double mass_g = 0;
  geometry::Vec3 eye_mm = geometry::Vec3::Zero();
};

/// What `ballast` found; everything but `lies.frame` in the body frame.
struct BallastResult {
  FloatResult lies;  ///< what `float` tells of the found rig, and of input, sheet and body
  rig::Wishes wishes = {};
  tuning::FoundWeights found = {};
  std::vector<Bench> bench = {};  ///< of the found plan's weights, in their order
  std::vector<std::optional<tuning::DrillPlan>> holes = {};  ///< likewise
  std::vector<tuning::BendPlan> wires = {};                  ///< of the rig's
  std::vector<HookBefore> hooks_before = {};                 ///< of all hooks of the sheet
  std::vector<tuning::TableRow> woods = {};                  ///< where asked for
  std::vector<tuning::TableRow> hook_sizes = {};             ///< likewise
  /// What the figures of the pose meant vary by; nothing where it has no slopes.
  std::optional<tuning::VarianceShares> varies_by = {};
  /// Of a lure that is to suspend: how its reserve changes as the water grows a degree warmer.
  std::optional<double> reserve_per_degree_g = {};
};

[[nodiscard]] std::string answer(const BallastResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const BallastResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const BallastResult& result);

/// Sentences that go with every plan: on wood dust, on lead and on pouring it, on what is not
/// reckoned. A metal without lead stands beside lead, with how big a hole it wants.
[[nodiscard]] std::vector<std::string> ballast_cautions(const BallastResult& result);

}  // namespace trueblank::report
