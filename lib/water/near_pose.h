// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "water/rest_poses.h"

namespace trueblank::water {

struct NearPoseOptions {
  std::optional<double> start_mm = {};  ///< a guess of the waterline at `up`; saves cuts
  /// Whether to ask if the pose is one of a ring of poses (indifferent). That costs a few dozen
  /// cuts, and some thousand where it is one; without it a ring's pose is told as any other.
  bool look_for_rings = true;
};

/// Where a lure goes by itself when it is let go at `up`, with all that balance() tells of that
/// pose but its share and its barrier, which are left out.
///
/// Afloat it goes downhill in energy from `up`, turned beforehand by a millionth of a radian
/// towards right flank and tail down, so that it does not stay on a ridge or a saddle. Newton's
/// steps lead to the pose; where they lead further off than 8°, the way is gone again by steepest
/// descent in steps of 3°, for then they may have stepped over a rise. Under water (no reserve) its
/// pose is the closed form, from wherever it is let go.
///
/// lure     mass_g > 0, the body's volume > 0
/// up       unit length
/// returns  nothing where the search did not converge or where a small turn is not resisted
/// cost     5 to 15 cuts of the body from within 8°, 30 to 75 from within 30°, some two hundred at
///          most from further off
[[nodiscard]] std::optional<RestPose> pose_near(const Floater& lure, const Vec3& up,
                                                const NearPoseOptions& options = {});

/// The same pose of a lure that was changed a little: followed by Newton's method alone, from where
/// it was, so that it is the pose that `from` turns into, and no other that it might fall to.
///
/// from     a pose of the lure before it was changed; neither indifferent, nor under water
/// returns  nothing where there is no such pose any more within 10°: on the way a small turn was
///          not resisted, or the lure has no reserve left, or the search did not converge
/// cost     3 to 6 waterlines of 2 to 3 cuts each
[[nodiscard]] std::optional<RestPose> pose_followed(const Floater& changed, const RestPose& from);

}  // namespace trueblank::water
