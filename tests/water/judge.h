// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

// A second, slow way to float a body, to judge the first one by: long double, a plain loop over the
// facets that are clipped one by one, bisection alone, no energies, no derivatives.
namespace trueblank::water::judge {

using Real = long double;

struct Point {
  Real x = 0;
  Real y = 0;
  Real z = 0;
};

/// A uniform-water floater without parts; masses in g, lengths in mm, water of 1 g/cm³.
struct Body {
  const geometry::ClosedMesh* mesh = nullptr;
  Real mass_g = 0;
  Point G;
};

/// The turning moment (g·mm) about the centre of mass at an attitude with the waterline that
/// carries the mass, for turns of `up`: towards +x and, in the y-z plane, towards greater list.
struct Moments {
  Real tail_up = 0;  ///< slope of the energy as up turns towards x
  Real list = 0;     ///< slope of the energy over the list
  Real offset_mm = 0;
};

[[nodiscard]] Moments moments_at(const Body& body, Real tail_down_deg, Real list_deg);

/// The tail_down between two bounds at which the moment that turns towards x is nil, at a list.
[[nodiscard]] Real level_tail_down_deg(const Body& body, Real list_deg, Real low_deg,
                                       Real high_deg);

/// The list between two bounds at which the moment that turns the list is nil, the trim following
/// between its own bounds.
[[nodiscard]] Real level_list_deg(const Body& body, Real low_deg, Real high_deg, Real tail_low_deg,
                                  Real tail_high_deg);

}  // namespace trueblank::water::judge
