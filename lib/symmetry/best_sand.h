// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

#include "geometry/frame.h"
#include "geometry/parallel.h"

namespace trueblank::symmetry {

using geometry::Plane;

struct BestSand {
  Plane plane;              ///< normal to the same side as the start's
  double remove_mm3 = 0;    ///< raw wood to remove for this plane, V(B) − V(B ∩ R(B))
  double at_start_mm3 = 0;  ///< for the plane that the search started from
};

/// The mirror plane for which the least wood is lost when a body B is sanded down to what it has in
/// common with its mirror image R(B). V(B) − V(B ∩ R(B)) is half the volume between B and R(B),
/// which to first order is ½∫|deviation| dA over the skin: the plane of least absolute deviations.
///
/// First by weights 1/|deviation| on a least-squares step, then by a simplex on the figure itself.
///
/// start           a plane near it: the fitted one
/// facet_measured  as in fit_mirror; made-up skin tells nothing and is left out; empty: all
/// returns         never a plane that loses more than the start
/// threads         the same bytes whatever `loop` does
/// cost            about a million nearest points
/// source          simplex: J. A. Nelder, R. Mead, Computer Journal 7, 308-313, 1965
[[nodiscard]] BestSand best_sand_plane(const geometry::ClosedMesh& body, const Plane& start,
                                       std::span<const std::uint8_t> facet_measured,
                                       const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
