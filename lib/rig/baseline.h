// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

namespace trueblank::rig {

/// The line that a maker measures from, between two eyes, in the body frame.
struct Baseline {
  geometry::Vec3 nose_mm = geometry::Vec3::Zero();
  geometry::Vec3 tail_mm = geometry::Vec3::Zero();  ///< elsewhere than the nose
};

}  // namespace trueblank::rig
