// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "geometry/moments.h"
#include "rig/parts.h"

namespace trueblank::rig {

struct MassPart {
  std::string name = {};
  double mass_g = 0;
  Vec3 centre_mm = Vec3::Zero();
};

/// A part outside the skin. Its buoyancy acts at `at_mm`, its volume is spread evenly on the
/// vertical from below_mm under that point to above_mm over it, and counts as far as that line is
/// under water. A hanging part: below 2·hang (at least 2 mm), above 0. A rigid one: half its own
/// length each way (a point: 1 mm each way).
struct SpreadPart {
  std::string name = {};
  Vec3 at_mm = Vec3::Zero();
  double volume_mm3 = 0;
  double below_mm = 0;
  double above_mm = 0;
};

/// The rigged lure as the water sees it: what weighs where, what displaces outside the skin.
struct RiggedLure {
  std::vector<MassPart> parts;  ///< wood net of what inside parts replace; sums to mass_g
  double mass_g = 0;
  Vec3 centre_of_mass_mm = Vec3::Zero();
  std::vector<SpreadPart> outside;
  double outside_volume_mm3 = 0;
  double water_density_g_cm3 = 0;
  double undrilled_wood_g = 0;
  double ratio_g_per_100g_wood = 0;  ///< all that is not wood or finish, per 100 g undrilled wood
  double ratio_without_hooks_g_per_100g_wood = 0;
};

/// Adds up a rig. Inside parts take the wood away that they fill: a ballast mass over density, at
/// its centre; a wire a cylinder over each stretch of its path inside the body. A stretch outside
/// is a rigid part at its own middle.
///
/// body     closed, in the body frame; `whole` are its moments
/// rig      densities and masses > 0; inside parts that together exceed the wood make the wood's
///          mass negative (whoever builds the rig warns of it)
/// returns  parts in the order wood, wires, ballasts, hooks
/// cost     a pass over the facets for each stretch of wire
[[nodiscard]] RiggedLure rigged(const geometry::ClosedMesh& body, const geometry::Moments& whole,
                                const Rig& rig);

}  // namespace trueblank::rig
