// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "rig/parts.h"

// How a wire is bent. Body frame.
namespace trueblank::tuning {

using geometry::Vec3;

/// A wire as it is bent: straight lengths between bends, and what the eyes take. Lengths are those
/// of the polyline along the wire's middle: what a bend's own roundness saves is left to the maker.
struct BendPlan {
  struct Bend {
    double from_start_mm = 0;  ///< along the straight wire, without the first eye
    double angle_deg = 0;      ///< between the wire's direction before and after, 0..180
    /// The plane of this bend against that of the one before, turned right-handed about the wire
    /// as it runs on: −180 < twist ≤ 180. 0: on to the same side, 180: back to the other; the
    /// first has 0.
    double twist_deg = 0;
    Vec3 at_mm = Vec3::Zero();
  };

  std::string name = {};
  double diameter_mm = 0;
  double straight_mm = 0;               ///< along the path, eyes left out
  std::vector<double> lengths_mm = {};  ///< straight, before, between and after the bends
  std::vector<Bend> bends = {};
  int eyes = 2;       ///< a closed loop at each end of the path
  double eye_mm = 0;  ///< of wire, each: the loop and its wraps
  double cut_mm = 0;  ///< straight_mm + eyes · eye_mm
  /// Mass of the eyes, where the wire's own is reckoned from its path and so leaves them out; nil
  /// where the wire was weighed.
  double eyes_uncounted_g = 0;
};

/// The eyes' inside diameter and wraps are as makers wind them; both are told with the plan.
/// source  common practice, no published source
inline constexpr double eye_inside_wires = 2.5;  ///< inside diameter of an eye, in wire diameters
inline constexpr double eye_wraps = 3;           ///< turns round the standing wire

/// The wire that an eye takes: its loop's middle line, π·(inside + d), and `wraps` turns of a helix
/// wound close (pitch d) on the standing wire of the same diameter d, so of radius d:
/// wraps·√((2πd)² + d²).
[[nodiscard]] double eye_length_mm(double diameter_mm, double inside_mm, double wraps);

/// A wire's path must have two points that differ. Points that repeat, and corners of under 0.01°,
/// are no bends.
[[nodiscard]] BendPlan bend_plan(const rig::Wire& wire);

}  // namespace trueblank::tuning
