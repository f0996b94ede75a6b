// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "geometry/moments.h"
#include "rig/assembly.h"
#include "water/waterline.h"

namespace trueblank::water {

/// A mass and how it is spread about its own centre. A hole is a negative one.
struct SpreadMass {
  double mass_g = 0;
  Vec3 centre_mm = Vec3::Zero();
  Mat3 spread_g_mm2 = Mat3::Zero();  ///< ∫ q qᵀ dm, q from its centre; a point: nil
};

/// √(I/M) about the axis through the whole's centre along `axis` (unit).
[[nodiscard]] double radius_of_gyration_mm(std::span<const SpreadMass> masses, const Vec3& axis);

/// A rigged lure as it is thrown: the undrilled wood spread as the whole body is (wood in two
/// halves of unlike weight too: exact for a body that is its own mirror image), the wood that
/// inside parts replace as negative masses at their places, wires spread along their paths, a
/// finish as the skin between the two bodies; all else at its points, hooks at their eyes.
///
/// laid    of `rig`; its wires and those of `rig` are in one order
/// whole   moments of the bare body
/// coated  of the coated body; used only where there is a finish
[[nodiscard]] std::vector<SpreadMass> spread_masses(const rig::Assembly& laid, const rig::Rig& rig,
                                                    const geometry::Moments& whole,
                                                    const geometry::Moments& coated);

enum class Leads { nose, tail, neither };

/// Figures that makers compare one lure with another by. Static: the flight is not computed, and
/// neither wind nor the pull of the line is in them.
struct Casting {
  double mass_centre_percent = 0;  ///< of the length from the nose
  double side_centre_percent = 0;  ///< likewise, of the silhouette on the mirror plane
  Vec3 side_centre_mm = Vec3::Zero();
  double side_area_mm2 = 0;
  double centres_apart_mm = 0;  ///< distance of the two in the mirror plane
  Leads leads = Leads::neither;
  double radius_of_gyration_mm = 0;  ///< about y through the centre of mass: how slow it is to turn
                                     ///< end over end
};

/// An arrow flies with its heavy end ahead of the middle of its side: so the end leads towards
/// which the centre of mass lies from the side centre, by more than this part of the length, in
/// percent; nearer than that neither does.
inline constexpr double leads_beyond_percent = 1;

/// bare    the bare body, in the body frame
/// masses  of the whole rigged lure; their sum > 0
/// cost    a shadow of the body
[[nodiscard]] Casting casting(const geometry::ClosedMesh& bare, std::span<const SpreadMass> masses);

}  // namespace trueblank::water
