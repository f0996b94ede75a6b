// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/moment_tree.h"
#include "geometry/parallel.h"
#include "rig/mass_model.h"

namespace trueblank::water {

using geometry::Mat3;
using geometry::Vec3;

/// A body with its rig in its water, ready to be asked.
struct Floater {
  const geometry::MomentTree* body = nullptr;  ///< the (coated) body, body frame
  double mass_g = 0;
  Vec3 centre_of_mass_mm = Vec3::Zero();
  double water_density_g_cm3 = 1;
  std::vector<rig::SpreadPart> outside;
};

[[nodiscard]] Floater floater(const geometry::MomentTree& body, const rig::RiggedLure& lure);

/// Everything at one `up`, the waterline following: up·p = offset_mm where weight equals buoyancy.
struct Waterline {
  double offset_mm = 0;
  double energy_g_mm = 0;  ///< E(up), the least over offsets; work is measured as mass × height
  Vec3 gradient_g_mm = Vec3::Zero();  ///< dE/dup = M·G − D·B before it is made square to up
  Mat3 hessian_g_mm = Mat3::Zero();   ///< second derivatives over turns, on the plane square to up:
                                     ///< tᵀ H t is d²E for a turn of up towards unit t, per rad²
  geometry::BelowPlane below;  ///< the body alone
  bool converged = false;
};

/// The waterline of a floater at `up` (unit length). The body must be able to carry the mass
/// (mass_g < all that it can displace). `start_mm` is a guess of the offset.
[[nodiscard]] Waterline waterline_at(const Floater& lure, const Vec3& up,
                                     std::optional<double> start_mm = {});

}  // namespace trueblank::water
