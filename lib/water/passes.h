// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
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

/// The end of a steepest way from a pass, and the hardest push on it.
struct Way {
  Stationary end;
  double hardest_push_g_mm = 0;  ///< greatest |dE/d(turn)|, per rad, from the pass to the end
};

enum class Slope { down, up };

/// Follows steepest descent, or ascent, truly (not on the table) from a pass to where it is level.
///
/// towards   the side: unit, square to the pass's up; Pass::over or against it for descent
/// step_rad  of the steps, which are halved where the energy would turn; the hardest push is read
///           between them from its own slope, to about 1e-3 of itself at half a degree, and to 1e-6
///           where the way is straight
/// arrived   asked of every direction and its energy (g·mm): true ends the way there
/// returns   nothing where 2000 steps do not bring it to rest
[[nodiscard]] std::optional<Way> way_from(
    const Floater& lure, const Pass& pass, const Vec3& towards, Slope slope, double step_rad,
    const std::function<bool(const Vec3&, double)>& arrived = {});

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
