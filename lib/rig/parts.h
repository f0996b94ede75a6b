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

/// A polyline of wire. Inside the body it replaces wood; each stretch outside is a rigid part.
struct Wire {
  std::string name = "wire";
  double density_g_cm3 = 0;
  double diameter_mm = 0;
  std::vector<Vec3> path_mm = {};  ///< at least two points
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
  double hang_mm = 0;  ///< from the eye to the middle of its mass
};

/// All that is put into and onto a blank, and the water.
struct Rig {
  double wood_density_g_cm3 = 0;
  std::vector<Wire> wires = {};
  std::vector<Ballast> ballasts = {};
  std::vector<Hook> hooks = {};
  Water water = {};
};

}  // namespace trueblank::rig
