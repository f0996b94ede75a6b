// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "geometry/parallel.h"
#include "support/bodies.h"
#include "symmetry/comparison.h"
#include "symmetry/profile.h"

// Masters and copies for tests.
namespace trueblank::symmetry {

/// Two bodies with all that is needed to compare them, kept together.
struct Pair {
  geometry::ClosedMesh master;
  geometry::ClosedMesh copy;
  ComparisonSkin master_skin;
  ComparisonSkin copy_skin;

  Pair(const geometry::TriangleMesh& of_master, const geometry::TriangleMesh& of_copy)
      : master(test_bodies::closed(of_master)),
        copy(test_bodies::closed(of_copy)),
        master_skin(master),
        copy_skin(copy) {}

  Pair(const Pair&) = delete;

  [[nodiscard]] Comparison compare(const ComparisonOptions& options = {}) const {
    return compared(master_skin, copy_skin, options);
  }

  [[nodiscard]] Profile held_to(double limit_mm) const {
    return held_to_profile(master_skin, copy_skin, compare(), limit_mm);
  }
};

/// The ellipsoid of lopsided.h (semi-axes 82.5, 11 and 14, x from 0 to 165).
[[nodiscard]] geometry::TriangleMesh plain_ellipsoid(int rings, int around);

/// What lies aft of a station pushed forward onto it: a tail that was cut off, its end flat.
[[nodiscard]] geometry::TriangleMesh cut_off(geometry::TriangleMesh mesh, double station_mm);

/// A ParallelFor on so many threads, from the last to the first.
[[nodiscard]] geometry::ParallelFor on_threads(int threads);

}  // namespace trueblank::symmetry
