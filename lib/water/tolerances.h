// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>

#include "geometry/parallel.h"
#include "rig/assembly.h"
#include "water/rest_poses.h"

namespace trueblank::water {

/// How a figure scatters over builds.
struct Scatter {
  int builds = 0;  ///< that have this figure
  double mean = 0;
  double standard_deviation = 0;  ///< of a build, not of the mean
  double p5 = 0;                  ///< one build in twenty has less
  double p95 = 0;                 ///< one in twenty has more
};

/// What becomes of many builds of one rig, each a little off as a maker's builds are. Shares are of
/// all builds, 0 to 1; scatters are over the builds that settled.
struct ToleranceDraws {
  int builds = 0;
  std::uint64_t seed = 0;
  rig::Tolerances tolerances = {};  ///< one standard deviation each

  /// Lies as the nominal one does: it floats where that floats, else not; and, let go as that lies,
  /// it comes to rest with tail_down and list each within 10° of that one's. The list is not asked
  /// where the nominal pose or the build's has none, nor of an indifferent pose.
  double share_as_nominal = 0;
  /// Of that share, one standard deviation of the draws' own chance: √(p(1−p)/builds), with
  /// p = (count + 1)/(builds + 2), so that it is not nil where all builds or none lie so.
  double share_as_nominal_error = 0;
  double share_floats = 0;  ///< has something in reserve
  double share_rolls = 0;   ///< comes to rest with its list over 45° from the nominal one's
  int not_settled = 0;      ///< no pose was found; counted as not lying as the nominal one

  std::optional<Scatter> tail_down_deg = {};
  std::optional<Scatter> list_deg = {};  ///< counted on from the nominal list, so it may pass ±180;
                                         ///< nothing where there is none
  std::optional<Scatter> reserve_g = {};
  std::optional<Scatter> least_stiffness_g_mm_per_deg = {};
};

/// Draws builds within a maker's tolerances and tells how they lie.
///
/// Each build draws, all independent and normal: the mass of each part (mass_g; no less than 1 % of
/// what it should be; what it displaces grows with it), its place along each axis (place_mm; not
/// the finish's, which is where the skin is), the wood's density (wood_density_percent; a weighed
/// wood its weight, by mass_g), and the body's size (scale_percent; places in mm and weighed masses
/// stay). An empty pocket has no mass to draw. Each is let go as the nominal one lies (pose_near()
/// from its `up`).
///
/// body      the (coated) body at its nominal size
/// assembly  of the rig; its sum floats or sinks as `nominal` does
/// nominal   a pose of that lure
/// builds    1 or more
/// seed      the same seed and builds, the same answer to the last bit, whatever the loop does; the
///           first builds of a longer run are those of a shorter one
/// cost      6 to 15 cuts a build, some hundred where it rolls over
[[nodiscard]] ToleranceDraws draw_builds(const CutBody& body, const rig::Assembly& assembly,
                                         const rig::Tolerances& tolerances, const RestPose& nominal,
                                         int builds, std::uint64_t seed,
                                         const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::water
