// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

#include "geometry/moments.h"
#include "geometry/parallel.h"

// Inside the room: what a scanner's noise is worth in volume.
namespace trueblank::body {

/// One standard deviation each.
struct NoiseOfScan {
  double sigma_mm = 0;  ///< of the skin, along its normal
  /// Over a distance d its correlation falls to exp(−d² / (2·correlation²)).
  double correlation_mm = 0;
  double volume_mm3 = 0;  ///< of the enclosed volume: σ·correlation·√(2π·area)
};

/// The noise of a scan as its left side tells it against its right: what the one has more than the
/// other's mirror image is the noise of two skins, since a lure is meant to be true. So slow waves
/// count too, which a skin by itself does not show.
///
/// The correlation is fitted to all pairs of gaps; of those that do about as well the widest is
/// taken.
///
/// Assumed: the noise of left and right is independent; it holds together over a twelfth of the
/// length at most (what is slower looks like a body that is bent or lopsided, and most of it is),
/// and is no more than half a millimetre (what is unlike by more is so by its shape; common
/// practice, no published source). Single flaws are cut at three deviations. What stands off all
/// over alike, left as right, shows in no scan.
///
/// body            closed, mm
/// whole           its moments
/// facet_measured  1 a facet that was scanned, 0 one made up
/// threads         the same bytes whatever `loop` does
/// cost            a tree over the facets, some 18 000 nearest points, a million pairs: a tenth of
///                 a second and the tree
/// source          the variance of an integral over a random field: E. Vanmarcke, "Random Fields",
///                 1983, from memory
[[nodiscard]] NoiseOfScan noise_of_scan(const geometry::ClosedMesh& body,
                                        const geometry::Moments& whole,
                                        std::span<const std::uint8_t> facet_measured,
                                        const geometry::ParallelFor& loop);

}  // namespace trueblank::body
