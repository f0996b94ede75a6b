// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>

#include "effect/effect.h"

namespace trueblank::effect {

/// How the lure lies once the wood is off: the vertices moved in, the wood's mass taken away where
/// it was, and the water solved again from the pose that it had. The judge of `effect_of`, which
/// holds the pose.
///
/// asymmetry  slices are not looked at
/// take       the patches whose vertices are moved; empty: all vertices, in patches or not
/// returns    nothing where the moved skin encloses no volume, where all mass would be gone, or
///            where the pose is lost (pose_followed; under water there is always one)
/// cost       a moment tree, and some waterlines
[[nodiscard]] std::optional<water::RestPose> pose_when_sanded(const Asymmetry& asymmetry,
                                                              std::span<const int> take,
                                                              const water::Floater& lure,
                                                              const water::RestPose& pose,
                                                              const WoodDensity& wood);

}  // namespace trueblank::effect
