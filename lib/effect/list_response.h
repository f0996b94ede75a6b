// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "water/rest_poses.h"

namespace trueblank::effect {

using geometry::Vec3;

/// How a lure in a rest pose answers to a little weight or lift, to first order.
///
/// Afloat, a little more weight lets it sink a little, level, about the middle of its waterplane;
/// so it is from there that levers count: weight put right on it turns nothing. Under water, where
/// the lure is held by what hangs it up or sinks freely, levers count from the centre of mass.
///
/// Turning moments are −dE/dlist, the trim held: positive where they turn the right flank down. A
/// weight's is its mass times its lever to the right, times the cosine of tail_down. The list that
/// follows is told with the trim following.
class ListResponse {
 public:
  /// returns  nothing where the pose has no list, is indifferent, or does not resist
  /// cost     one to three cuts
  [[nodiscard]] static std::optional<ListResponse> of(const water::Floater& lure,
                                                      const water::RestPose& pose);

  [[nodiscard]] const Vec3& pivot_mm() const { return pivot_mm_; }

  /// The water's surface; none under water.
  [[nodiscard]] const std::optional<geometry::Plane>& surface() const { return surface_; }

  /// The moments of weights about the pivot act this many times over: 1 afloat; under water, where
  /// a weight also shifts the centre of mass that all buoyancy turns about, displaced mass / mass.
  [[nodiscard]] double weight_factor() const { return weight_factor_; }

  /// pull_g_mm  the sum over what pulls down of mass × (place − pivot); what lifts counts negative
  [[nodiscard]] double turning_moment_g_mm(const Vec3& pull_g_mm) const;

  /// The list that such a pull adds, the trim following.
  [[nodiscard]] double list_deg(const Vec3& pull_g_mm) const;

 private:
  Vec3 pivot_mm_ = Vec3::Zero();
  std::optional<geometry::Plane> surface_;
  double weight_factor_ = 1;
  Vec3 by_list_ = Vec3::Zero();  // dup/dlist, per rad
  Vec3 by_trim_ = Vec3::Zero();  // dup/dtail_down, per rad
  // Second derivatives of the energy in list and trim, g·mm per rad².
  double list_list_ = 0;
  double list_trim_ = 0;
  double trim_trim_ = 0;
};

}  // namespace trueblank::effect
