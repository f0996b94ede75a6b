// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/scan_noise.h"

#include "symmetry/plane_uncertainty.h"

namespace trueblank::symmetry {

ScanNoise scan_noise(const geometry::ClosedMesh& body, const Plane& plane,
                     const DeviationField& field, std::span<const std::uint8_t> facet_measured,
                     const geometry::ParallelFor& loop) {
  return plane_doubt(body, plane, field, facet_measured, loop).noise;
}

ScanNoise scan_noise(const geometry::ClosedMesh& body, const Plane& plane,
                     std::span<const std::uint8_t> facet_measured,
                     const geometry::ParallelFor& loop) {
  const DeviationField field = deviation_field(body, plane, facet_measured, loop);
  return scan_noise(body, plane, field, facet_measured, loop);
}

}  // namespace trueblank::symmetry
