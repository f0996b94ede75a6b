// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "water/rest_poses.h"
#include "water/stationary.h"

// All that is told of one rest pose, once it is known where it is. Shares and barriers need the
// whole field of energies and are not told, but for the sole pose to which all directions lead.
namespace trueblank::water {

/// A pose afloat.
/// indifferent  `at` stands for a ring; whoever knows that it goes about the long axis drops the
///              list
[[nodiscard]] RestPose floating_pose(const Floater& lure, const Stationary& at, bool indifferent);

/// Takes the list away, and what is told of turns in it, where it means nothing.
void drop_list(RestPose& pose);

/// The pose under water of a lure whose reserve is nil or less, by closed form: the centre of all
/// its buoyancy hangs over its centre of mass.
[[nodiscard]] RestPose hanging_pose(const Floater& lure);

/// The pose, back up, that stands for all where a floater lies alike in all directions.
[[nodiscard]] RestPose indifferent_all_round(const Floater& lure);

}  // namespace trueblank::water
