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
  PartKind kind = PartKind::wood;
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
  double dry_mass_g = 0;        ///< without the water in its pockets
  double dry_balance_mm = 0;    ///< station at which the rigged lure balances on an edge, dry
  double blank_balance_mm = 0;  ///< likewise the bare, undrilled blank
};

/// Adds up a rig: `assemble` and `add_up` of rig/assembly.h in one. Inside parts take the wood away
/// that they fill: a ballast mass over density, at its centre; a wire a cylinder over each stretch
/// of its path inside the body; a pocket what of its hole lies inside. A stretch of wire outside is
/// a rigid part at its own middle.
///
/// body     bare, closed, in the body frame; `whole` are its moments
/// coated   moments of the coated body; without it a finish is laid on here (geometry::coated)
/// returns  parts in the order wood, finish, wires, ballasts, pockets (where something fills them),
///          hooks, outside parts
/// cost     a pass over the facets for each stretch of wire and each pocket
[[nodiscard]] RiggedLure rigged(const geometry::ClosedMesh& body, const geometry::Moments& whole,
                                const Rig& rig);
[[nodiscard]] RiggedLure rigged(const geometry::ClosedMesh& body, const geometry::Moments& whole,
                                const Rig& rig, const geometry::Moments& coated);

}  // namespace trueblank::rig
