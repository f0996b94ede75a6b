// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "water/rest_poses.h"

namespace trueblank::water {

/// What turns a lure that is held at a list, its trim left free.
struct RightingPoint {
  double list_deg = 0;
  double arm_mm = 0;       ///< moment over the mass
  double moment_g_mm = 0;  ///< dE/dlist, per rad, of the least E over tail_down: positive where it
                           ///< rights a positive list
  double tail_down_deg = 0;
};

/// One side of a righting curve: from the pose by growing list (right), or by falling list (left).
struct RightingSide {
  std::optional<double> vanishing_deg;  ///< the list at which the moment first comes back to nil,
                                        ///< to 1e-6°; within ±180
  std::optional<double> area_mm_rad;  ///< ∫ |arm| from the pose to there: the work over the mass
  double greatest_arm_mm = 0;         ///< signed; as far as the moment turns back to the pose
  double greatest_arm_list_deg = 0;
};

/// The righting curve of a pose.
struct Righting {
  std::vector<RightingPoint> points;  ///< by rising list, −180 to 180
  RightingSide right;
  RightingSide left;
  std::optional<double> vanishing_deg;  ///< of the two that which is nearer to the pose in turn; of
                                        ///< two as near, the right one
};

/// Righting arm and moment of a pose over all lists.
///
/// From the pose's own list and trim the list is turned in steps of a degree and less, half a turn
/// to either side; at each the trim goes to the lowest place that it comes to downhill, and there
/// it is in turn at the next. So each list is reached by the nearer way round, and the curve keeps
/// to the valley of its own pose. Where that valley ends, because its floor falls off fore or aft
/// or comes up to 85°, the curve ends, and the points beyond are left out.
///
/// pose      of balance(lure) or near it
/// step_deg  between points, 0.01 to 180 and a part of 360
/// returns   nothing where lists mean nothing: the lure hangs upright (|tail_down| > 85), or is
///           indifferent about its long axis. For other indifferent poses there are points and no
///           angles. Under water the energy is that of the closed form.
/// cost      500 to 1,500 cuts
[[nodiscard]] std::optional<Righting> righting(const Floater& lure, const RestPose& pose,
                                               double step_deg = 5);

}  // namespace trueblank::water
