// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "symmetry/plane_refinement.h"

// Inside the room: whether one mirror plane is better than another by more than chance.
namespace trueblank::symmetry {

/// Compares other mirror planes with one, on the same points.
///
/// With r₁, r₂ the gaps at the points for the two planes and s = r₂ − r₁, the second is worse by
/// D = mean(r₂² − r₁²) = mean(s²) + 2·mean(s·r₁). Noise acts through the last term, whose variance
/// is 4/N² · Σᵢⱼ C₁(dᵢⱼ)·S(dᵢⱼ), C₁ and S being the mean products of r₁ and of s over pairs of
/// points at a like distance: noise that is correlated over long stretches of skin counts for what
/// it is. A point and its mirror image tell the same twice, with the sign turned: distances are
/// measured with all points folded onto one side of the first plane.
///
/// Gaps are cut at three times the noise of the noisier of the two planes: a flaw has no more than
/// its say, a plane that is bad all over has its full say, and what is over three times the first
/// plane's noise counts for no noise.
class PlaneEvidence {
 public:
  /// points    up to some 1500, even over the skin; kept by reference
  /// at_plane  their gaps at `plane`
  /// least_mm  differences in root mean square below this are never clear (the facets')
  PlaneEvidence(const SkinPoints& points, const Plane& plane, const Gaps& at_plane,
                double least_mm);

  /// Whether another plane, with these gaps, is clearly worse: D over four of its standard
  /// deviations and over the square of least_mm.
  [[nodiscard]] bool clearly_worse(const Gaps& other) const;

 private:
  [[nodiscard]] std::vector<double> mean_products(const std::vector<double>& values) const;

  const Gaps& first_;
  double least_mm_ = 0;
  double noise_least_mm_ = 0;       ///< the first plane's, no less than least_mm
  std::vector<double> noise_mm_;    ///< the first plane's gaps, nil where cut
  std::vector<double> side_;        ///< 1 or −1: the side of the first plane
  std::vector<std::uint8_t> bins_;  ///< of pairs, by i, then j > i
  std::vector<double> bin_pairs_;
  std::vector<double> noise_products_;
};

}  // namespace trueblank::symmetry
