// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "rig/wishes.h"
#include "tuning/hole.h"

// How the holes of a rig are drilled. Body frame.
namespace trueblank::tuning {

/// How one hole is drilled.
struct DrillPlan {
  std::string name = {};
  rig::Mouth from = rig::Mouth::belly;
  Vec3 start_mm = Vec3::Zero();    ///< on the skin, where the drill is set
  Vec3 direction = Vec3::UnitZ();  ///< into the wood, unit
  double depth_mm = 0;             ///< from `start_mm` to the hole's flat end
  double diameter_mm = 0;
  double length_mm = 0;  ///< of the weight in the hole
  double plug_mm = 0;    ///< of the hole over the weight, to be closed with wood
  /// On a slope the rim of the mouth is lower on one side: from `start_mm` so far in before the
  /// hole has wood all round.
  double rim_mm = 0;
  double wall_mm = 0;  ///< as thinnest_wood(): along the weight
  Vec3 wall_at_mm = Vec3::Zero();
  std::string wall_to = {};  ///< "the skin", or the name of the neighbour
  /// Of the whole hole to the other holes, wires and pockets; nothing where there are none.
  std::optional<double> channel_wall_mm = {};
  std::string channel_wall_to = {};
  /// The hole meets the skin elsewhere than at its mouth: it is drilled through.
  bool breaks_out = false;
  /// Of the body's sections square to x along the hole, the least part that is left of the area and
  /// of the second moment about the section's own middle line along y (bending up and down); 1
  /// where nothing is taken. The plug counts for nothing. Of a hole along the body the first
  /// diameter in from the rim of its mouth is left out: there little wood is left whatever the
  /// hole. To compare plans by: no reckoning of strength.
  double area_left = 1;
  double second_moment_left = 1;
  double weakest_station_mm = 0;  ///< where the least of the second moment is left
};

/// The plans of all drilled weights of a rig, in their order; nothing for one with no diameter or
/// whose centre lies outside the body.
///
/// mouths  as many as ballasts, or fewer (then nothing is asked of the rest). One that does not lie
///         on the weight's axis counts as nothing: the nearer end is taken, of two equally near the
///         belly, the left, the tail
/// cost    some 200 passes over the facets a weight
[[nodiscard]] std::vector<std::optional<DrillPlan>> drill_plans(
    const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin, const rig::Rig& rig,
    const std::vector<std::optional<rig::Mouth>>& mouths);

/// Where a straight line through a slug's centre along its axis leaves the body: first the end
/// against the axis, then the one along it. Nothing where the centre lies outside.
/// cost  one pass over the facets
[[nodiscard]] std::optional<std::pair<Vec3, Vec3>> mouths_of(const geometry::ClosedMesh& body,
                                                             const Slug& slug);

}  // namespace trueblank::tuning
