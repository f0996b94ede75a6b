// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "water/waterline.h"

namespace trueblank::water {

enum class State { floats, suspends, sinks };

/// One way that a lure can lie. Definitions: README, "Words".
struct RestPose {
  Vec3 up = Vec3::UnitZ();
  double tail_down_deg = 0;
  std::optional<double> list_deg;             ///< nothing where |tail_down| > 85, or on a ring
  std::optional<double> waterline_offset_mm;  ///< nothing for a sinker
  double submerged_mm3 = 0;                   ///< of the body alone
  Vec3 centre_of_buoyancy_mm = Vec3::Zero();  ///< of the body alone
  double waterplane_mm2 = 0;
  std::optional<double> roll_stiffness_g_mm_per_deg;
  std::optional<double> pitch_stiffness_g_mm_per_deg;
  double least_stiffness_g_mm_per_deg = 0;
  std::optional<double> gm_roll_mm;
  std::optional<double> gm_pitch_mm;
  double share = 0;
  bool indifferent = false;
};

/// What a rigged lure does in still water.
struct Balance {
  State state = State::floats;
  double mass_g = 0;
  double displacement_full_g = 0;  ///< all parts
  double reserve_g = 0;            ///< displacement_full_g − mass_g
  std::vector<RestPose> poses;     ///< by share (to 0.01), then smaller |list|, then positive list
};

[[nodiscard]] Balance balance(const Floater& lure,
                              const geometry::ParallelFor& loop = geometry::serial_for);

/// What a small change does to a pose, from its second derivatives: how far it lists when `mass_g`
/// of its own mass moves `move_mm` to the side. Nothing where the pose has no list.
[[nodiscard]] std::optional<double> list_for_sideways_move_deg(const RestPose& pose, double mass_g,
                                                               double move_mm);

}  // namespace trueblank::water
