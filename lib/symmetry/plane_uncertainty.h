// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

#include "symmetry/scan_noise.h"

namespace trueblank::symmetry {

/// One standard deviation each, of a fitted mirror plane.
struct PlaneUncertainty {
  double tilt_deg = 0;   ///< the turn about the long axis
  double yaw_deg = 0;    ///< the turn about the axis in the plane that is square to the long axis
  double offset_mm = 0;  ///< of the plane where it passes the body's centroid
};

/// What a scan says of itself: its noise, and how sure its mirror plane is.
struct PlaneDoubt {
  ScanNoise noise;
  PlaneUncertainty plane;
};

/// How sure a fitted plane is. Everything that is not alike on the two sides pulls the plane, be it
/// the scan's noise or the body's shape; so the whole deviation, but for flaws that the robust fit
/// rejects, is taken for a random field with its own correlation along the skin, and what it does
/// to a least-squares plane follows: J⁺ C J⁺ᵀ. A point and its mirror image tell the same twice.
/// All fields that the deviation allows are weighed by how likely they make it.
///
/// What it can't know: a slow bend of the whole scan looks just like a bent blank. A scan of the
/// same blank turned over tells them apart (symmetry/again.h).
///
/// Parameters as in scan_noise. Of a plane that was given it tells how well the skin would fix one.
/// held by  simulated scans: each figure, doubled, holds the truth in at least 90 of 100
[[nodiscard]] PlaneDoubt plane_doubt(const geometry::ClosedMesh& body, const Plane& plane,
                                     const DeviationField& field,
                                     std::span<const std::uint8_t> facet_measured,
                                     const geometry::ParallelFor& loop = geometry::serial_for);

[[nodiscard]] PlaneUncertainty plane_uncertainty(
    const geometry::ClosedMesh& body, const Plane& plane, const DeviationField& field,
    std::span<const std::uint8_t> facet_measured,
    const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
