// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/mesh.h"
#include "water/waterline.h"

namespace trueblank::water {

/// The two ends of what is likely, low ≤ high.
struct Band {
  double low = 0;
  double high = 0;
};

/// What drag a body meets, per unit of dynamic pressure and area, and how much of the turning
/// moment of frictionless flow is left.
struct DragSet {
  double end_on = 0;     ///< of the frontal area, flow along x
  double broadside = 0;  ///< of the area shown to flow square to x
  double moment = 0;  ///< part of the frictionless moment that turns a body across its path, 0..1
};

/// The ends of the band: end-on 0.1 (streamlined) to 0.9 (a blunt cylinder along the flow),
/// broadside 0.6 to 1.2 (cylinders across the flow, short to endless), moment nil to whole.
/// source  cylinders: Matthews, Aeronautical Engineer's Data Book, 2002, fig. 5.13(b), p. 95:
///         along 0.85 to 0.99, across 0.63 to 1.20; the streamlined floor: Hoerner, Fluid-Dynamic
///         Drag, 1965, ch. 6, eq. for bodies of revolution (from memory)
inline constexpr DragSet least_drag = {.end_on = 0.1, .broadside = 0.6, .moment = 0};
inline constexpr DragSet most_drag = {.end_on = 0.9, .broadside = 1.2, .moment = 1};

/// What the flow sees of a body that falls in the plane of its long axis and `across`. Body frame.
struct DragShape {
  Vec3 across = Vec3::UnitZ();   ///< unit, square to x
  double frontal_mm2 = 0;        ///< shadow along x
  double frontal_across_mm = 0;  ///< that shadow's centroid, along `across`
  double broad_mm2 = 0;          ///< shadow along `across`: the slices' breadths, summed over x
  double broad_x_mm = 0;         ///< that shadow's centroid, along x
  double volume_mm3 = 0;
  double added_mass_gap = 0;  ///< broadside less end-on added mass, per mass of displaced water
};

[[nodiscard]] DragShape drag_shape(const geometry::ClosedMesh& body, const Vec3& across);

/// The direction square to x in which B lies from G when the lure is all under water: the side that
/// is up when it is set free. The back where B lies fore or aft of G alone.
[[nodiscard]] Vec3 falls_across(const Floater& lure);

/// Added mass of a prolate spheroid over the mass of the water it displaces.
struct AddedMass {
  double end_on = 0;
  double broadside = 0;
};

/// slenderness  length over breadth, ≥ 1
/// source       Lamb, Hydrodynamics, arts 114-115; Lamb, ARC R&M 623, 1918
[[nodiscard]] AddedMass spheroid_added_mass(double slenderness);

/// One steady fall.
struct Fall {
  Vec3 up = Vec3::UnitZ();
  double tail_down_deg = 0;
  double pitch_deg = 0;          ///< from `across` up towards tail down, counted on past 90
  double rate_m_s = 0;           ///< downwards, once it slides along its axis as it will
  double straight_rate_m_s = 0;  ///< downwards, at the same angle but with no sliding sideways
};

/// The steady fall of a lure that is heavier than the water it displaces, at one set of
/// coefficients.
///
/// Flow along the long axis and across it are taken apart (slices in cross-flow): at each angle the
/// two drags that carry the weight in water give the two speeds, and their centres (the shadows'
/// centroids) with B and G the turning moment; so does frictionless flow, ρ·V·(k2 − k1)·u·w for
/// speeds u along and w across, which turns a body across its path. From
/// the pose that it has when set free it turns the way that moment pushes it, to where it is nil.
///
/// excess_g  mass less all displacement, > 0
[[nodiscard]] Fall steady_fall(const Floater& lure, const DragShape& shape, const DragSet& drag);

/// How fast a lure sinks and how it lies while it does. An ESTIMATE: each figure is the range over
/// all pairings of the two ends of DragSet, and of sliding along its axis or not.
///
/// Left out: drag of hooks, lip and line; swinging, rolling and spinning (a flat body may turn its
/// flat to the flow and flutter); the way to full speed; the water's walls. Below a Reynolds number
/// of 1000 the coefficients are too low, and the true rate is less than the band.
struct SinkEstimate {
  Band rate_m_s;
  Band tail_down_deg;
  Band reynolds;      ///< on the frontal area's diameter
  bool slow = false;  ///< reynolds.low < 1000
  double weight_in_water_g = 0;
};

/// body     the (coated) body of `lure`, in the body frame
/// returns  nothing where the lure is no heavier than all that it displaces
/// cost     two shadows of the body
[[nodiscard]] std::optional<SinkEstimate> sink_estimate(const Floater& lure,
                                                        const geometry::ClosedMesh& body);

}  // namespace trueblank::water
