// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/frame.h"
#include "geometry/moments.h"

namespace trueblank::body {

/// Directions (file axes, any length > 0) that choose ends and sides; nothing: guessed from the
/// shape.
struct FrameHints {
  std::optional<geometry::Vec3> nose = {};
  std::optional<geometry::Vec3> back = {};
};

/// The body frame: x along the long axis within the mirror plane, from nose to tail; origin at the
/// station of the most forward point; z to the back, y to the lure's own right.
///
/// The long axis is the line through the volume's centroid projected onto the plane, along the
/// principal axis of least inertia of the volume's second moments taken within the plane.
///
/// Guesses: the nose is the end that the centroid is nearer to (most bodies are fullest forward of
/// the middle), the belly the side to which the centroid lies off the line from end to end.
/// Common practice, no published source. Where the shape is alike both ways, the nose points to the
/// negative side of the file axis that it is nearest to, the back to the positive one.
///
/// whole    the body's moments, in the same axes
/// mirror   unit normal, to either side
[[nodiscard]] geometry::Frame body_frame(const geometry::ClosedMesh& body,
                                         const geometry::Moments& whole,
                                         const geometry::Plane& mirror, const FrameHints& hints);

/// The least and greatest direction·p over the vertices that carry facets.
struct Extent {
  double low_mm = 0;
  double high_mm = 0;

  [[nodiscard]] double length_mm() const { return high_mm - low_mm; }
};

[[nodiscard]] Extent extent_along(const geometry::TriangleMesh& mesh,
                                  const geometry::Vec3& direction);

}  // namespace trueblank::body
