// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "symmetry/patches.h"
#include "symmetry/plane_uncertainty.h"

namespace trueblank::symmetry {

/// One standard deviation of each patch's greatest deviation, from what the mirror plane may be off
/// and from slow noise of the scan that looks like shape; noise that find_patches takes for such
/// aside.
///
/// Where the plane y = 0 is turned by the tilt t and the yaw w about the centroid and shifted by o,
/// the deviation at a point q from the centroid, with outward normal n, changes to first order by
/// 2·(w·(x·n_y − y·n_x) + t·(z·n_y − y·n_z) − o·n_y): the three add as independent errors. A round
/// section is blind to a tilt, its flanks feel a shift twice over.
///
/// in_body_frame  mirror plane y = 0
/// patches        of this body
/// centroid_mm    of its volume
/// slow_mm        ScanNoise::slow_mm
/// returns        one a patch
/// cost           a pass over the facets
[[nodiscard]] std::vector<double> greatest_doubt_mm(const geometry::ClosedMesh& in_body_frame,
                                                    std::span<const Patch> patches,
                                                    const PlaneUncertainty& plane,
                                                    const geometry::Vec3& centroid_mm,
                                                    double slow_mm = 0);

}  // namespace trueblank::symmetry
