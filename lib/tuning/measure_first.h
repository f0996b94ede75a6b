// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "rig/assembly.h"
#include "water/cut_body.h"
#include "water/rest_poses.h"

namespace trueblank::tuning {

/// What part of a figure's variance over builds is due to each thing that scatters, to first order:
/// (slope × standard deviation)² over the sum of all. Measuring a thing takes its part away.
struct VarianceShares {
  struct One {
    std::string what = {};   ///< "the wood's density", "the body's size", "NAME's mass", …
    bool measurable = true;  ///< by scale or rule before it is built in; a drilled place is not
    double tail_down = 0;    ///< 0..1
    double list = 0;
    double reserve = 0;
  };

  std::vector<One> of = {};     ///< by the greatest of the three, greatest first
  double tail_down_sd_deg = 0;  ///< of all together
  double list_sd_deg = 0;
  double reserve_sd_g = 0;
};

/// body     the (coated) body
/// nominal  a pose of that rig, neither indifferent nor at its border; a figure that has no slope
///          there has no variance
/// cost     as water::sensitivity()
[[nodiscard]] VarianceShares variance_shares(const water::CutBody& body,
                                             const rig::Assembly& assembly,
                                             const rig::Tolerances& tolerances,
                                             const water::RestPose& nominal);

}  // namespace trueblank::tuning
