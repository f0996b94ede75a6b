// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "symmetry/plane_refinement.h"

// Inside the room: whether one mirror plane is better than another by more than chance.
namespace trueblank::symmetry {

/// Compares mirror planes on the same points.
///
/// With r₁, r₂ the gaps at the points for two planes and s = r₂ − r₁, the second is worse by
/// D = mean(r₂² − r₁²) = mean(s²) + 2·mean(s·r₁). Noise acts through the last term, whose variance
/// is 4/N² · Σᵢⱼ C₁(dᵢⱼ)·S(dᵢⱼ), C₁ and S being the mean products of r₁ and of s over pairs of
/// points at a like distance: noise that is correlated over long stretches of skin counts for what
/// it is. (A flaw at one side counts as noise too, so the judgement errs towards doubt.) The
/// variance is doubled, since a point and its mirror image tell the same twice.
///
/// Gaps are cut at three times the first plane's noise, so that a flaw has no more than its say.
class PlaneEvidence {
 public:
  /// points           up to some 1500, even over the skin
  /// least_mm         differences in root mean square below this are never clear (the facets')
  PlaneEvidence(const SkinPoints& points, double least_mm);

  /// Whether `other` is clearly worse than `base`: D over four of its standard deviations and over
  /// the square of least_mm.
  [[nodiscard]] bool clearly_worse(const Gaps& base, const Gaps& other) const;

 private:
  [[nodiscard]] std::vector<double> mean_products(const std::vector<double>& values) const;

  int count_ = 0;
  double least_mm_ = 0;
  std::vector<std::uint8_t> pair_bins_;  ///< by i, then j > i
  std::vector<double> bin_pairs_;
};

}  // namespace trueblank::symmetry
