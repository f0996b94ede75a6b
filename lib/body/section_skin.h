// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <numbers>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::body {

/// The share of a section's box that an ellipse fills.
inline constexpr double ellipse_fullness = std::numbers::pi / 4;
/// A diamond. With less, a section would be hollow.
inline constexpr double least_fullness = 0.5;

/// A section of a drawn body, square to its line: four quarters of superellipses about the widest
/// place, |y/half width|^n + |z/height|^n = 1, alike left and right.
///
/// A half's fullness is the share of its box (whole width times height of the half) that it fills:
/// 0.5 a diamond, π/4 an ellipse, 1 a box.
struct SectionRing {
  double station_mm = 0;
  double half_width_mm = 0;                  ///< 0 or more, as are the two heights
  double widest_mm = 0;                      ///< z of the widest place
  double above_mm = 0;                       ///< from the widest place to the back
  double below_mm = 0;                       ///< from the widest place to the belly
  double fullness_above = ellipse_fullness;  ///< least_fullness to 1
  double fullness_below = ellipse_fullness;

  [[nodiscard]] double height_mm() const { return above_mm + below_mm; }
};

/// The exponent n of the superellipse of a fullness, 1 to infinity; below the least fullness 1.
///
/// source  area of a superellipse, 4ab Γ(1 + 1/n)² / Γ(1 + 2/n), a beta integral; the fullness is
///         that over 4ab, rises with n, and is halved down to the last digit
[[nodiscard]] double superellipse_exponent(double fullness);

/// The closed skin over rings in turn: x the station, y to the lure's right, z to the back; facets
/// outward. The left is the right with y turned over, bit for bit. The corners lie on the
/// superellipses, so that curved sections lose about 1.6 / (around/2)² of their area.
///
/// rings   two or more, stations rising; between the ends width and height are above 0. An end
///         without width and height is a point, without one of them an edge, else flat.
/// around  corners of a section; a multiple of 8, so that the corner of a box is one of them
[[nodiscard]] geometry::TriangleMesh section_skin(const std::vector<SectionRing>& rings,
                                                  int around);

/// Stations from first to last in `gaps` steps, closer together towards an end that is a point or
/// an edge: there a rounded body turns fastest.
[[nodiscard]] std::vector<double> spread_stations(double first_mm, double last_mm,
                                                  bool first_closed, bool last_closed, int gaps);

}  // namespace trueblank::body
