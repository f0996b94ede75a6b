// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "water/energy_field.h"
#include "water/rest_places.h"
#include "water/stationary.h"

namespace trueblank::water {

/// A pass of the energy: level, falling off to two sides, rising to the two between them (or level
/// along a ridge that goes on at one height).
struct Pass {
  Stationary at;
  Vec3 over = Vec3::UnitX();  ///< the direction in which it is crossed: unit, square to at.up
  double tolerance_g_mm = 0;  ///< how far its energy may be off; 0: no more than rounding
};

/// The pass near `start`: Newton's method within a trust region, uphill along the softest
/// direction, downhill along the other (J. Simons, P. Jorgensen, H. Taylor, J. Ozment, J. Phys.
/// Chem. 87, 2745, 1983: walking on potential energy surfaces); at most 60 steps.
///
/// leash_rad  how far off `start` it may lie
/// returns    nothing where it does not converge (judged as settle() does) or where what it comes
///            to is no pass
[[nodiscard]] std::optional<Pass> pass_near(const Floater& lure, const Vec3& start,
                                            double leash_rad, std::optional<double> start_mm = {});

/// The same where second derivatives jump, by bisection alone: along the softest direction at
/// `start` the highest of the places that are lowest across it, both sought within `reach_rad`.
/// returns  nothing where the slopes at the ends of that reach do not enclose a pass
/// cost     some hundred waterlines
[[nodiscard]] std::optional<Pass> bracketed_pass(const Floater& lure, const Vec3& start,
                                                 double reach_rad);

/// Every pass that the table shows, each once, by rising energy: from every node where the node's
/// own second-order model has a pass close by. The passes of a ring's own floor are left out.
/// cost  some ten waterlines for each of the 5 to 10 nodes around a pass
[[nodiscard]] std::vector<Pass> search_passes(const Floater& lure, const EnergyField& field,
                                              const RestPlaces& places);

/// Adds a pass, unless it is known (to the angle within which poses are one).
/// returns  whether it was new
bool add_pass(std::vector<Pass>& passes, const Pass& pass);

/// The height (energy, g·mm) at which the nodes around each place first join those around another
/// one, going from node to node of the table, and the node where they do; nothing for a sole place.
/// Good to what the energy may rise between two nodes.
struct TablePass {
  double energy_g_mm = 0;
  int node = 0;
};

[[nodiscard]] std::vector<std::optional<TablePass>> table_passes(
    const EnergyField& field, const std::vector<RestPlace>& places);

}  // namespace trueblank::water
