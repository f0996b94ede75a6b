// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/frame.h"
#include "geometry/parallel.h"
#include "symmetry/measured_skin.h"

// Inside the room: from a rough mirror plane to the local best.
namespace trueblank::symmetry {

using geometry::Plane;

/// What of the plane may move. `turn` is about the long axis, which lies nearly in the plane; `yaw`
/// is the other turn.
struct Freedom {
  bool turn = true;
  bool yaw = true;
  bool offset = true;
};

struct RefineOptions {
  bool robust = true;  ///< else every point has the same say
  Freedom free = {};
  Vec3 long_axis = Vec3::UnitX();  ///< unit length
  double size_mm = 100;            ///< of the body, for what counts as a small step
  int most_rounds = 40;
  /// Of the size: done when the plane moves less than that, or than some thousandths of the noise.
  double last_step = 1e-9;
  /// Judge whole patches of neighbouring points too (points must come along the skin): the mean of
  /// a patch has less noise than its points, so that the low flanks of a flaw are seen. For
  /// thousands of points.
  bool by_patches = false;
};

struct Refined {
  Plane plane;
  double noise_mm = 0;  ///< one standard deviation of the gaps, as their middle half shows it
};

/// Reweighted Gauss-Newton on the plane: every point is mirrored, its nearest skin point found, and
/// the plane moved by what closes the gaps along the smoothed normals. The kernel
/// exp(−gap²/2·width²) starts as wide as the gaps are and is narrowed at every round, down to twice
/// the noise that the middle half of the gaps shows, never below rounding.
///
/// Of many points, some two thousand go first and bring the plane as near as they know.
///
/// cost    a nearest point for every point and round; from a start 5° off, ten rounds of the few
///         and five or six of all
/// source  the kernel: J. E. Dennis, R. E. Welsch, Comm. Statist. B7(4), 1978; both sides' normals:
///         S. Rusinkiewicz, "A symmetric objective function for ICP", ACM TOG 38(4), 2019
[[nodiscard]] Refined refine(const MeasuredSkin& skin, const SkinPoints& points, const Plane& start,
                             const RefineOptions& options, const geometry::ParallelFor& loop);

/// How far each mirrored point is off the skin (> 0 outside), and whether it met measured skin.
struct Gaps {
  std::vector<double> signed_mm;
  std::vector<std::uint8_t> counted;
};

[[nodiscard]] Gaps gaps(const MeasuredSkin& skin, const SkinPoints& points, const Plane& plane,
                        const geometry::ParallelFor& loop);

}  // namespace trueblank::symmetry
