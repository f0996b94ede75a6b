// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/frame.h"
#include "geometry/moments.h"

namespace trueblank::body {

/// The body frame: x along the long axis within the mirror plane, from nose to tail; origin at the
/// station of the most forward point; z to the back, y to the lure's own right.
///
/// nose, back  directions (file axes) that choose ends and sides; nothing: guessed from the shape
struct FrameHints {
  std::optional<geometry::Vec3> nose;
  std::optional<geometry::Vec3> back;
};

[[nodiscard]] geometry::Frame body_frame(const geometry::ClosedMesh& body,
                                         const geometry::Moments& whole,
                                         const geometry::Plane& mirror, const FrameHints& hints);

}  // namespace trueblank::body
