// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "support/bodies.h"

// Skins as scans and hands leave them, for tests of the plane search.
namespace trueblank::test_bodies {

/// Every vertex moved along its normal by noise of one standard deviation `sigma_mm` whose
/// correlation falls with distance d as exp(−d²/2·correlation²): a sum of 200 plane waves.
/// source  A. Rahimi, B. Recht, "Random features for large-scale kernel machines", NIPS 2007
[[nodiscard]] TriangleMesh noisy(TriangleMesh mesh, double sigma_mm, double correlation_mm,
                                 unsigned seed);

/// A one-sided flaw: vertices nearer to `at` than a radius are moved out along their normals, by
/// `height_mm` in the middle and less towards the rim. The radius is such that `share` of the skin
/// is touched.
[[nodiscard]] TriangleMesh bumped(TriangleMesh mesh, double height_mm, const Vec3& at_mm,
                                  double share);

/// A scan drawn by lot: one of three lures of some `facets` facets, with noise of 0.05 to 0.5 mm
/// that holds together over 1 to 40 mm, both even in their logarithm. Its mirror plane is y = 0.
struct SimulatedScan {
  TriangleMesh mesh;
  std::string body;
  double sigma_mm = 0;
  double correlation_mm = 0;
};

[[nodiscard]] SimulatedScan simulated_scan(int facets, unsigned seed);

/// A place on a lure's flank, one for each seed, off its y = 0 plane.
[[nodiscard]] Vec3 on_a_flank(const TriangleMesh& mesh, unsigned seed);

}  // namespace trueblank::test_bodies
