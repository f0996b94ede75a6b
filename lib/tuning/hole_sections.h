// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "rig/parts.h"
#include "symmetry/nearest_surface.h"

// What a drilled hole takes of a body's sections. Not installed.
namespace trueblank::tuning {

using geometry::Vec3;

/// A whole hole, from its flat end out through its mouth.
struct DrilledHole {
  rig::HoleAxis axis = rig::HoleAxis::upright;
  Vec3 end_mm = Vec3::Zero();  ///< the middle of its flat end
  Vec3 out = Vec3::UnitZ();    ///< from there to the mouth, along the axis
  double depth_mm = 0;         ///< from the mouth, at its middle, to the end
  double radius_mm = 0;
};

/// How a hole lies in the body, by lines along it.
struct HoleRun {
  double rim_mm = 0;  ///< from the mouth's middle inward to the lowest of its rim, ≥ 0
  bool breaks_out = false;
};

[[nodiscard]] HoleRun run_of(const geometry::ClosedMesh& body, const DrilledHole& hole);

/// As DrillPlan says.
struct LeftOver {
  double area = 1;
  double second_moment = 1;
  double station_mm = 0;
};

[[nodiscard]] LeftOver left_over(const geometry::ClosedMesh& body,
                                 const symmetry::NearestSurface& skin, const DrilledHole& hole,
                                 double rim_mm);

}  // namespace trueblank::tuning
