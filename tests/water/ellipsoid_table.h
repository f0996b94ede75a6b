// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "water/floating_bodies.h"

namespace trueblank::water {

/// A way that the ellipsoid of semi-axes 80, 10, 12 mm lies in water of 1 g/cm³. Derived from the
/// closed form (ellipsoid_test.cpp), the figures by an independent mesh solver too.
struct EllipsoidRow {
  double mass_g;
  Vec3 G;
  double tail_down_deg;
  double list_deg;
  double waterline_mm;
  double gm_least_mm;
  double gm_greatest_mm;
  double least_stiffness_g_mm_per_deg;
  int poses;  ///< 2: the other with the opposite list
};

inline constexpr double ellipsoid_a_mm = 80;
inline constexpr double ellipsoid_b_mm = 10;
inline constexpr double ellipsoid_c_mm = 12;
/// The depth of the unit sphere's cap that holds a part s of its volume.
[[nodiscard]] double ellipsoid_cap_depth(double s);

/// β of the closed form (ellipsoid_test.cpp): the energy per mass is G·up + β|A·up|.
[[nodiscard]] double ellipsoid_beta(double s);

/// Half the mass that it displaces.
inline constexpr double ellipsoid_half_g = 40.212385966 / 2;

[[nodiscard]] std::vector<EllipsoidRow> ellipsoid_rows();

/// Of n rings of n vertices, made equal in volume to the smooth one.
[[nodiscard]] geometry::ClosedMesh ellipsoid_mesh(int n);

/// Half under water with G 1 mm low it lies to either side with 48.6 degrees of list; here turned
/// about its long axis in the body frame by so much, so that upright is the list turned_deg.
struct TurnedEllipsoid {
  OwnedFloater made;
  double turned_deg = 0;
};

[[nodiscard]] TurnedEllipsoid leaning_ellipsoid_turned(double turn_deg);

void expect_row(const EllipsoidRow& row, const Balance& found, double angle_tolerance_deg,
                double length_tolerance_mm, double relative_tolerance);

}  // namespace trueblank::water
