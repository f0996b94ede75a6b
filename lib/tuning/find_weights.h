// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/parallel.h"
#include "rig/wishes.h"
#include "tuning/workpiece.h"
#include "water/rest_poses.h"

namespace trueblank::tuning {

/// A weight of a plan, as it would stand in a build sheet.
struct PlannedWeight {
  std::size_t place = 0;  ///< in Wishes::places
  rig::Ballast ballast = {};
  double wall_mm = 0;  ///< least wood to the skin, to other weights and to pockets
  std::optional<double> wire_wall_mm = {};  ///< to the wires; below nil: the hole meets one
};

/// A hook of a plan that is not as the sheet has it.
struct PlannedHook {
  std::size_t hook = 0;  ///< in Rig::hooks
  double mass_g = 0;
  Vec3 eye_mm = Vec3::Zero();
};

/// One wish against what a plan gives.
struct WishResult {
  enum class Kind { state, reserve, tail_down, list, least_stiffness, sink_rate, wall, stands };

  Kind kind = Kind::state;
  std::string name = {};  ///< of the place, for a wall
  double wanted = 0;      ///< in the wish's own unit: g, degrees, g·mm per degree, m/s, mm
  double tolerance = 0;
  std::optional<double> reached = {};  ///< nothing where there is none
  bool met = false;
};

struct Plan {
  std::vector<PlannedWeight> weights = {};  ///< those left out (nil mass) are not here
  std::vector<PlannedHook> hooks = {};
  rig::Rig rig = {};            ///< the sheet's with these weights after its own, and these hooks
  water::Balance balance = {};  ///< all poses
  int pose = -1;  ///< of `balance`: the one meant; -1: it does not lie near what is asked
  Vec3 centre_of_mass_mm = Vec3::Zero();
  std::vector<WishResult> wishes = {};
  bool met = false;  ///< every wish
  double added_g = 0;
  std::optional<double> share_as_meant = {};  ///< of draws, where prefer is sure
  /// Of a sinker, the middle of the bands of its fall.
  std::optional<double> falls_tail_down_deg = {};
  std::optional<double> falls_m_s = {};
  /// The tail angle asked for is met as it falls, and not as it is when set free.
  bool judged_falling = false;
};

/// What one wish would have to give for all others to be met.
struct Concession {
  WishResult::Kind kind = WishResult::Kind::tail_down;
  std::string place = {};  ///< where a place's range is widened: its name
  enum class Limit { wish, x_low, x_high, mass_high } limit = Limit::wish;
  double asked = 0;
  double needed = 0;
};

struct FoundWeights {
  Plan plan = {};                            ///< the best; where not met, the nearest compromise
  std::vector<Plan> others = {};             ///< other local bests that meet all wishes, best first
  std::vector<Concession> concessions = {};  ///< where not met; the least costly first
  std::size_t choices_left_out = 0;  ///< combinations of drills and hooks beyond the first 64
};

/// How long is searched: `quick` from few starts, without the other plans and what would have to be
/// conceded.
enum class Effort { thorough, quick };

/// Finds weights with which the lure lies as wished.
///
/// The pose itself is an unknown: at a chosen `up` a rest pose is where the moment of weight and
/// buoyancy vanishes and its second derivatives are positive, so that places, masses and angles are
/// sought at once as a smooth problem with equalities, whose derivatives the waterplane gives (as
/// in Prévost et al., "Make it stand", ACM TOG 32(4), 2013, for standing; for floating see Wang &
/// Whiting, "Buoyancy optimization for computational fabrication", Comput. Graph. Forum 35(2),
/// 2016, and Prévost et al., "Balancing 3D models with movable masses", VMV 2016). Even starts over
/// all ranges (a Halton sequence) and DIRECT-L, then SLSQP from each (NLopt); local bests are
/// rounded to steps, stock and 0.01 g and 0.01 mm, solved again as rounded, and judged by all poses
/// of the finished rig.
///
/// returns  the same plan whatever `loop` does
/// cost     some thousand waterlines a start
[[nodiscard]] FoundWeights find_weights(const Workpiece& lure, const rig::Wishes& wishes,
                                        const rig::Tolerances& tolerances,
                                        const geometry::ParallelFor& loop,
                                        Effort effort = Effort::thorough);

}  // namespace trueblank::tuning
