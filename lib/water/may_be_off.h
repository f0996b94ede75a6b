// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "rig/assembly.h"
#include "water/cut_body.h"

// What of a build may be off within its maker's tolerances, one thing at a time, and how it lies
// then.
namespace trueblank::water {

struct MayBeOff {
  std::string what = {};  ///< "the wood's density", "the mass of NAME", "NAME aft", …
  std::string unit = {};  ///< "%", "g", "mm"
  double sd = 0;          ///< one standard deviation, in the unit
  /// Puts it off by so much of the unit; `scale` is how much longer the body is than it was taken
  /// to be.
  std::function<void(rig::Assembly&, double by, double& scale)> apply = {};
};

/// Everything that draw_builds() draws: the wood's density (of a weighed blank its weight), the
/// body's size, each part's mass and each coordinate of its place. What a maker is sure of, a
/// standard deviation of nil, is left out.
[[nodiscard]] std::vector<MayBeOff> may_be_off(const rig::Assembly& assembly,
                                               const rig::Tolerances& tolerances);

/// How a lure lies.
struct Lies {
  double reserve_g = 0;
  std::optional<double> tail_down_deg = {};  ///< nothing where no pose was found
  std::optional<double> list_deg = {};
  std::optional<double> least_stiffness_g_mm_per_deg = {};
};

/// How a rig lies when let go at `near_up`, on a body that is `scale` times as long as `body` is;
/// in true masses and lengths.
///
/// assembly  laid out on `body`
/// cost      that of pose_near()
[[nodiscard]] Lies lies(const CutBody& body, const rig::Assembly& assembly, double scale,
                        const Vec3& near_up);

}  // namespace trueblank::water
