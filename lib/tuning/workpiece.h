// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"
#include "geometry/moments.h"
#include "rig/assembly.h"
#include "rig/wishes.h"
#include "symmetry/nearest_surface.h"
#include "water/cut_body.h"

namespace trueblank::tuning {

using geometry::Vec3;

/// The lure as it stands before weights are found, and all that is asked of its body. Body frame.
/// Refers to what it is made of, which must outlive it.
struct Workpiece {
  const geometry::ClosedMesh& bare;
  const geometry::Moments& whole;        ///< of `bare`
  const geometry::Moments& coated;       ///< as rig::assemble() wants it
  const symmetry::NearestSurface& skin;  ///< of `bare`
  const geometry::ClosedMesh& wet;       ///< the body that the water sees
  water::CutBody cut;                    ///< of `wet`
  const rig::Rig& rig;                   ///< the fixed parts
  double length_mm = 0;
};

}  // namespace trueblank::tuning
