// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/plane_evidence.h"

#include <algorithm>
#include <cmath>

namespace trueblank::symmetry {
namespace {

constexpr int kBins = 64;
// Four standard deviations: over the dozens of planes that are tried, chance reaches three.
constexpr double kClearly = 4;
constexpr double kMostPerNoise = 3;

double noise_of(const Gaps& gaps) {
  std::vector<double> sizes;
  for (std::size_t i = 0; i < gaps.signed_mm.size(); ++i) {
    if (gaps.counted[i] != 0) sizes.push_back(std::abs(gaps.signed_mm[i]));
  }
  if (sizes.empty()) return 0;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

}  // namespace

PlaneEvidence::PlaneEvidence(const SkinPoints& points, const Plane& plane, const Gaps& at_plane,
                             double least_mm)
    : first_(at_plane),
      least_mm_(least_mm),
      noise_least_mm_(std::max(noise_of(at_plane), least_mm)),
      noise_mm_(at_plane.signed_mm.size(), 0.0),
      bin_pairs_(kBins, 0.0) {
  const int count = points.count();
  Eigen::Matrix3Xd folded = points.positions_mm;
  for (int i = 0; i < count; ++i) {
    const bool beyond = plane.height_mm(folded.col(i)) < 0;
    if (beyond) folded.col(i) = plane.reflected(folded.col(i));
    side_.push_back(beyond ? -1 : 1);
    const std::size_t k = static_cast<std::size_t>(i);
    const double gap = at_plane.signed_mm[k];
    if (at_plane.counted[k] != 0 && std::abs(gap) < kMostPerNoise * noise_least_mm_) {
      noise_mm_[k] = gap;
    }
  }
  const Vec3 low = folded.rowwise().minCoeff();
  const Vec3 high = folded.rowwise().maxCoeff();
  const double per_mm = kBins / std::max((high - low).norm(), 1e-300);
  bins_.reserve(static_cast<std::size_t>(count) * static_cast<std::size_t>(count) / 2);
  for (int i = 0; i < count; ++i) {
    for (int j = i + 1; j < count; ++j) {
      const double distance = (folded.col(i) - folded.col(j)).norm();
      const int bin = std::min(kBins - 1, static_cast<int>(distance * per_mm));
      bins_.push_back(static_cast<std::uint8_t>(bin));
      bin_pairs_[static_cast<std::size_t>(bin)] += 1;
    }
  }
  noise_products_ = mean_products(noise_mm_);
}

std::vector<double> PlaneEvidence::mean_products(const std::vector<double>& values) const {
  std::vector<double> folded(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) folded[i] = side_[i] * values[i];
  std::vector<double> sums(kBins, 0.0);
  std::size_t pair = 0;
  for (std::size_t i = 0; i < folded.size(); ++i) {
    for (std::size_t j = i + 1; j < folded.size(); ++j) {
      sums[bins_[pair++]] += folded[i] * folded[j];
    }
  }
  for (std::size_t bin = 0; bin < sums.size(); ++bin) {
    if (bin_pairs_[bin] > 0) sums[bin] /= bin_pairs_[bin];
  }
  return sums;
}

bool PlaneEvidence::clearly_worse(const Gaps& other) const {
  const double most_mm = kMostPerNoise * std::max(noise_least_mm_, noise_of(other));
  std::vector<double> change(noise_mm_.size(), 0.0);
  double excess = 0;
  double noise_square = 0;
  double change_square = 0;
  for (std::size_t i = 0; i < change.size(); ++i) {
    if (first_.counted[i] == 0 || other.counted[i] == 0) continue;
    const double r1 = std::clamp(first_.signed_mm[i], -most_mm, most_mm);
    const double r2 = std::clamp(other.signed_mm[i], -most_mm, most_mm);
    change[i] = r2 - r1;
    excess += r2 * r2 - r1 * r1;
    noise_square += noise_mm_[i] * noise_mm_[i];
    change_square += change[i] * change[i];
  }
  const double n = static_cast<double>(change.size());
  excess /= n;
  const double alone = noise_square * change_square / n;
  double variance = alone;
  const std::vector<double> change_products = mean_products(change);
  for (std::size_t bin = 0; bin < change_products.size(); ++bin) {
    variance += 2 * bin_pairs_[bin] * noise_products_[bin] * change_products[bin];
  }
  variance = 4 / (n * n) * std::max(variance, alone);
  return excess > kClearly * std::sqrt(variance) && excess > least_mm_ * least_mm_;
}

}  // namespace trueblank::symmetry
