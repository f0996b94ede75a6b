// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <utility>

#include "geometry/coat.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "rig/materials.h"
#include "support/bodies.h"
#include "tuning/find_weights.h"
#include "tuning/workpiece.h"

namespace trueblank::tests {

/// A bare body with its rig, ready for weights; no coat. The nose is at x = 0.
struct BenchLure {
  geometry::ClosedMesh body;
  geometry::Moments whole;
  geometry::MomentTree tree;
  symmetry::NearestSurface skin;
  rig::Rig rig;

  BenchLure(geometry::TriangleMesh mesh, rig::Rig with)
      : body(test_bodies::closed(std::move(mesh))),
        whole(geometry::moments(body)),
        tree(body),
        skin(body.mesh()),
        rig(std::move(with)) {}

  [[nodiscard]] tuning::Workpiece workpiece() const {
    return {
        .bare = body,
        .whole = whole,
        .coated = whole,
        .skin = skin,
        .wet = body,
        .cut = &tree,
        .rig = rig,
        .length_mm = body.positions_mm().row(0).maxCoeff() - body.positions_mm().row(0).minCoeff()};
  }

  [[nodiscard]] tuning::FoundWeights find(const rig::Wishes& wishes) const {
    return tuning::find_weights(workpiece(), wishes, rig::Tolerances{}, geometry::serial_for);
  }
};

/// An ellipsoid whose nose is at x = 0, in fresh water of 1 g/cm³.
inline BenchLure ellipsoid_lure(double a_mm, double b_mm, double c_mm, double wood_g_cm3,
                                int rings = 40, int around = 40) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = wood_g_cm3;
  rig.water.density_g_cm3 = 1;
  geometry::TriangleMesh mesh = test_bodies::ellipsoid(a_mm, b_mm, c_mm, rings, around);
  mesh.positions_mm.row(0).array() += a_mm;
  return {std::move(mesh), std::move(rig)};
}

inline constexpr double lead_g_cm3 = 11.34;

}  // namespace trueblank::tests
