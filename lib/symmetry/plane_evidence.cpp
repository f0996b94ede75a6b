// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/plane_evidence.h"

#include <algorithm>
#include <cmath>

namespace trueblank::symmetry {
namespace {

constexpr int kBins = 64;
// Four standard deviations: over the dozens of planes that are tried, chance reaches three.
constexpr double kClearly = 4;

}  // namespace

PlaneEvidence::PlaneEvidence(const SkinPoints& points, double least_mm)
    : count_(points.count()), least_mm_(least_mm), bin_pairs_(kBins, 0.0) {
  const Vec3 low = points.positions_mm.rowwise().minCoeff();
  const Vec3 high = points.positions_mm.rowwise().maxCoeff();
  const double per_mm = kBins / std::max((high - low).norm(), 1e-300);
  pair_bins_.reserve(static_cast<std::size_t>(count_) * static_cast<std::size_t>(count_ - 1) / 2);
  for (int i = 0; i < count_; ++i) {
    for (int j = i + 1; j < count_; ++j) {
      const double distance = (points.positions_mm.col(i) - points.positions_mm.col(j)).norm();
      const int bin = std::min(kBins - 1, static_cast<int>(distance * per_mm));
      pair_bins_.push_back(static_cast<std::uint8_t>(bin));
      bin_pairs_[static_cast<std::size_t>(bin)] += 1;
    }
  }
}

std::vector<double> PlaneEvidence::mean_products(const std::vector<double>& values) const {
  std::vector<double> sums(kBins, 0.0);
  std::size_t pair = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    for (std::size_t j = i + 1; j < values.size(); ++j) {
      sums[pair_bins_[pair++]] += values[i] * values[j];
    }
  }
  for (std::size_t bin = 0; bin < sums.size(); ++bin) {
    if (bin_pairs_[bin] > 0) sums[bin] /= bin_pairs_[bin];
  }
  return sums;
}

bool PlaneEvidence::clearly_worse(const Gaps& base, const Gaps& other) const {
  std::vector<double> sizes;
  for (std::size_t i = 0; i < base.signed_mm.size(); ++i) {
    if (base.counted[i] != 0) sizes.push_back(std::abs(base.signed_mm[i]));
  }
  if (sizes.empty()) return false;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  const double most_mm = std::max(3 * 1.4826 * *middle, 3 * least_mm_);

  std::vector<double> first(base.signed_mm.size(), 0.0);
  std::vector<double> change(base.signed_mm.size(), 0.0);
  double excess = 0;
  double first_square = 0;
  double change_square = 0;
  for (std::size_t i = 0; i < first.size(); ++i) {
    if (base.counted[i] == 0 || other.counted[i] == 0) continue;
    const double r1 = std::clamp(base.signed_mm[i], -most_mm, most_mm);
    const double r2 = std::clamp(other.signed_mm[i], -most_mm, most_mm);
    first[i] = r1;
    change[i] = r2 - r1;
    excess += r2 * r2 - r1 * r1;
    first_square += r1 * r1;
    change_square += change[i] * change[i];
  }
  const double n = count_;
  excess /= n;
  const double alone = first_square * change_square / n;
  double variance = alone;
  const std::vector<double> first_products = mean_products(first);
  const std::vector<double> change_products = mean_products(change);
  for (std::size_t bin = 0; bin < first_products.size(); ++bin) {
    variance += 2 * bin_pairs_[bin] * first_products[bin] * change_products[bin];
  }
  variance = 8 / (n * n) * std::max(variance, alone);
  return excess > kClearly * std::sqrt(variance) && excess > least_mm_ * least_mm_;
}

}  // namespace trueblank::symmetry
