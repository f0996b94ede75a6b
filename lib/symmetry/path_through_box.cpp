// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/path_through_box.h"

#include <algorithm>
#include <utility>

namespace trueblank::symmetry {
namespace {

constexpr double kMostSteps = 2097151;  // 21 bits

// Spreads the low 21 bits of a number so that two empty bits follow each.
std::uint64_t spread_bits(std::uint64_t v) {
  v &= 0x1fffff;
  v = (v | v << 32) & 0x1f00000000ffff;
  v = (v | v << 16) & 0x1f0000ff0000ff;
  v = (v | v << 8) & 0x100f00f00f00f00f;
  v = (v | v << 4) & 0x10c30c30c30c30c3;
  v = (v | v << 2) & 0x1249249249249249;
  return v;
}

}  // namespace

PathThroughBox::PathThroughBox(const Eigen::Matrix3Xd& positions_mm)
    : low_(positions_mm.rowwise().minCoeff()) {
  const geometry::Vec3 high = positions_mm.rowwise().maxCoeff();
  const double longest = (high - low_).maxCoeff();
  steps_per_mm_ = longest > 0 ? kMostSteps / longest : 0.0;
}

std::uint64_t PathThroughBox::place(const geometry::Vec3& p) const {
  const geometry::Vec3 steps = (p - low_) * steps_per_mm_;
  std::uint64_t key = 0;
  for (int k = 0; k < 3; ++k) {
    const double clamped = std::clamp(steps[k], 0.0, kMostSteps);
    key |= spread_bits(static_cast<std::uint64_t>(clamped)) << (2 - k);
  }
  return key;
}

std::vector<int> along_path(const Eigen::Matrix3Xd& positions_mm, const std::vector<int>& columns) {
  const PathThroughBox path(positions_mm);
  std::vector<std::pair<std::uint64_t, int>> keys;
  keys.reserve(columns.size());
  for (const int column : columns) keys.emplace_back(path.place(positions_mm.col(column)), column);
  std::sort(keys.begin(), keys.end());
  std::vector<int> order;
  order.reserve(keys.size());
  for (const auto& [place, column] : keys) order.push_back(column);
  return order;
}

}  // namespace trueblank::symmetry
