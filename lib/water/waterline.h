// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "rig/mass_model.h"
#include "water/cut_body.h"

namespace trueblank::water {

/// A body with its rig in its water, ready to be asked. Everything in the body frame.
struct Floater {
  CutBody body;  ///< the (coated) body
  double mass_g = 0;
  Vec3 centre_of_mass_mm = Vec3::Zero();
  double water_density_g_cm3 = 1;
  std::vector<rig::SpreadPart> outside;

  [[nodiscard]] double water_g_per_mm3() const { return water_density_g_cm3 * 1e-3; }

  /// What the whole lure displaces when it is all under water, parts included.
  [[nodiscard]] double displacement_full_g() const;

  /// Where the buoyancy of the whole lure acts when it is all under water, parts included.
  [[nodiscard]] Vec3 centre_of_full_buoyancy_mm() const;

  /// A length that the lure does not exceed, to judge rounding by.
  [[nodiscard]] double size_mm() const;
};

[[nodiscard]] Floater floater(const CutBody& body, const rig::RiggedLure& lure);

[[nodiscard]] Floater floater(const geometry::MomentTree& body, const rig::RiggedLure& lure);

/// Everything at one `up`, the waterline following: up·p = offset_mm where weight equals buoyancy.
///
/// With M the mass, G its centre, D the displaced mass, B its centre (parts included):
/// E(up) = min over h of M·(G·up − h) + ∫ (h − up·p) dm over the displaced water, where a spread
/// part's displaced mass grows evenly along its length and acts at its one point.
struct Waterline {
  double offset_mm = 0;
  double energy_g_mm = 0;  ///< E(up), the least over offsets; work is measured as mass × height
  Vec3 gradient_g_mm = Vec3::Zero();  ///< dE/dup = M·G − D·B before it is made square to up
  Mat3 hessian_g_mm = Mat3::Zero();   ///< second derivatives over turns, on the plane square to up:
                                     ///< tᵀ H t is d²E for a turn of up towards unit t, per rad²
  Vec3 offset_slope_mm = Vec3::Zero();  ///< d offset / d up: the waterplane's centroid
  double residual_g = 0;                ///< displaced mass − mass, as far as it was left
  geometry::BelowPlane below;           ///< the body alone
  bool converged = false;
};

/// The waterline of a floater at `up` (unit length). The body must be able to carry the mass
/// (0 < mass_g < all that it can displace).
///
/// Newton's method on the displaced mass, which only grows with the offset, kept within a bracket
/// that is halved where Newton does not help; at most 200 cuts.
///
/// start_mm           a guess of the offset; saves cuts and changes the result by rounding only
/// relative_residual  0: to rounding; else the search ends once weight and buoyancy differ by less
///                    than this part of the mass, and offset, energy and gradient are carried the
///                    rest of the way by their own derivatives (error of the square of it)
[[nodiscard]] Waterline waterline_at(const Floater& lure, const Vec3& up,
                                     std::optional<double> start_mm = {},
                                     double relative_residual = 0);

}  // namespace trueblank::water
