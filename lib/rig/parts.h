// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/mesh.h"
#include "rig/waters.h"

// The parts of a lure, as plain structs in the body frame.
namespace trueblank::rig {

using geometry::Vec3;

enum class HoleAxis { along, across, upright };

/// The axis as a direction in the body frame.
[[nodiscard]] inline Vec3 direction(HoleAxis axis) {
  if (axis == HoleAxis::along) return Vec3::UnitX();
  return axis == HoleAxis::across ? Vec3::UnitY() : Vec3::UnitZ();
}

enum class PartKind { wood, finish, wire, ballast, pocket, hook, outside };

/// A polyline of wire. Inside the body it replaces wood; each stretch outside is a rigid part.
struct Wire {
  std::string name = "wire";
  double density_g_cm3 = 0;
  double diameter_mm = 0;
  std::vector<Vec3> path_mm = {};        ///< at least two points
  std::optional<double> weighed_g = {};  ///< the whole wire; instead of what its volume makes
};

/// A weight inside the body: it replaces the wood that it fills.
struct Ballast {
  std::string name = {};
  Vec3 at_mm = Vec3::Zero();  ///< centre of mass
  double mass_g = 0;
  double density_g_cm3 = 0;
  std::optional<double> diameter_mm = {};  ///< of the drilled hole
  std::optional<HoleAxis> axis = {};
};

/// A part that hangs from an eye: weight and buoyancy act at the eye.
struct Hook {
  std::string name = {};
  Vec3 eye_mm = Vec3::Zero();
  double mass_g = 0;
  double density_g_cm3 = 0;
  double hang_mm = 0;                    ///< from the eye to the middle of its mass
  std::optional<double> size_up_g = {};  ///< what the next size weighs
};

/// A round hole or a slot drilled as one; `filling` goes into it. What of it lies outside the body
/// takes no wood away and is not filled.
struct Pocket {
  std::string name = {};
  Vec3 at_mm = Vec3::Zero();  ///< the middle of the hole
  double diameter_mm = 0;
  double depth_mm = 0;  ///< the whole length along `axis`
  HoleAxis axis = HoleAxis::upright;
  double filling_density_g_cm3 = 0;  ///< 0: air, closed over
  bool filled_with_water = false;    ///< the density is the water's; dry there is nothing in it
};

/// A rigid part outside the body: a lip, stuck-on weight, set-in eyes. Acts at its own middle.
struct Outside {
  std::string name = {};
  Vec3 at_mm = Vec3::Zero();
  double mass_g = 0;
  double density_g_cm3 = 0;
};

/// A coat all over the body, on top of its skin.
struct Finish {
  double thickness_mm = 0;
  double density_g_cm3 = 0;              ///< where not weighed
  std::optional<double> weighed_g = {};  ///< instead of density
};

/// A body of two pieces, each filling its side of the mirror plane.
struct Halves {
  double left_g = 0;
  double right_g = 0;
};

/// How far a maker's builds scatter: one standard deviation each.
struct Tolerances {
  double mass_g = 0.1;
  double place_mm = 1;
  double wood_density_percent = 3;
  double scale_percent = 0.5;
};

/// All that is put into and onto a blank, and the water.
struct Rig {
  double wood_density_g_cm3 = 0;      ///< the mean
  bool wood_weighed = false;          ///< the density was found from a weight and the body's volume
  std::optional<Halves> halves = {};  ///< instead of an even density
  std::optional<double> wood_balance_mm = {};  ///< station at which the bare blank balances, where
                                               ///< its wood is not even along its length
  std::optional<Finish> finish = {};
  std::vector<Wire> wires = {};
  std::vector<Ballast> ballasts = {};
  std::vector<Pocket> pockets = {};
  std::vector<Hook> hooks = {};
  std::vector<Outside> outsides = {};
  Water water = {};
};

}  // namespace trueblank::rig
