// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/parallel.h"
#include "symmetry/deviation.h"
#include "symmetry/scan_noise.h"

// Inside the room: what of a deviation the scan's noise can't explain.
namespace trueblank::symmetry {

/// The deviation where it is more than noise, in the narrowest averaging that shows it.
struct BeyondNoise {
  std::vector<double> deviation_mm;  ///< a vertex each, > 0 proud; 0 where noise may explain it
  /// 3×V, from the vertex to the mirror image as `deviation_mm` tells it; zero where that is 0.
  Eigen::Matrix3Xd to_mirror_mm;
  double limit_mm = 0;        ///< what a narrow flaw must stand out by, apart from facets
  double correlation_mm = 0;  ///< of the noise on this mesh; ≥ a vertex's own size; 0: no noise
};

/// The deviation is looked at as it is, and averaged over one, two and four correlation lengths of
/// the noise. In each it is more than noise where it exceeds a height that a true body's would
/// exceed anywhere once in two hundred; from there the area reaches out as far as it stays above
/// a third of that height. So a wide flaw shows from a lower height than a narrow one.
///
/// The height: a Gaussian field of correlation exp(−d²/2Λ²) has about
/// A·u·exp(−u²/2)/((2π)^1.5·Λ²) tops above u standard deviations on an area A. Averaging under a
/// Gaussian of width s makes Λ² = l² + 2s² of l², and σ·l/Λ of σ. The gap between two skins has
/// √2·σ; what flat facets may stand off a smooth skin is added, by as much as the body as a whole
/// shows of it.
///
/// body    in any axes; `field` is of this body
/// source  R. J. Adler, The Geometry of Random Fields, 1981 (from memory)
[[nodiscard]] BeyondNoise beyond_noise(const geometry::ClosedMesh& body,
                                       const DeviationField& field,
                                       std::span<const std::uint8_t> facet_measured,
                                       const ScanNoise& noise, const geometry::ParallelFor& loop);

}  // namespace trueblank::symmetry
