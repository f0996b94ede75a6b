// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// What a rig may be, for whoever reads one.
namespace trueblank::rig {

/// The thickest coat: far more than any paint, and yet thin beside a body.
inline constexpr double thickest_coat_mm = 5;

/// Points of a path nearer than this are one, and a wire that is inside the body for less misses
/// it: a hundredth of the thinnest paint.
inline constexpr double same_point_mm = 1e-4;

/// A side of a body with less than this part of it is none: its density would mean nothing.
inline constexpr double least_side = 1e-3;

/// Of water whose density water_density_kg_m3() tells.
inline constexpr double most_salinity = 42;
inline constexpr double coldest_water_c = -2;
inline constexpr double warmest_water_c = 40;

}  // namespace trueblank::rig
