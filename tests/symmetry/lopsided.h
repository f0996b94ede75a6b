// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/bodies.h"

// Bodies whose two sides differ by a formula.
namespace trueblank::test_bodies {

/// Two half ellipsoids, semi-axes 82.5 (x) and 14 (z), of different widths on either side of y = 0.
[[nodiscard]] TriangleMesh two_halves(double left_mm, double right_mm, int rings, int around);

/// An ellipsoid, semi-axes 82.5, 11 and 14, x from 0 to 165, with a spherical cap pressed out of
/// its right flank: where a sphere of `radius_mm` about (x, y, z) lies outside the ellipsoid, its
/// vertices lie on the sphere, straight out along y.
struct Capped {
  TriangleMesh mesh;
  double volume_mm3 = 0;   ///< of what the cap adds, by quadrature of the two formulas
  double greatest_mm = 0;  ///< how far along y, at most
};

[[nodiscard]] Capped capped_ellipsoid(const Vec3& centre_mm, double radius_mm, int rings,
                                      int around);

}  // namespace trueblank::test_bodies
