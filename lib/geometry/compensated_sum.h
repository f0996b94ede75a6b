// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>

namespace trueblank::geometry {

/// Facets whose terms are added as they come; the sums of such blocks are then added with
/// compensation. So the error is that of a block's few terms, whatever the size of the mesh, and
/// compensation costs next to nothing.
inline constexpr int facets_per_block = 32;

/// A sum that carries along what rounding takes away.
/// source  A. Neumaier, ZAMM 54, 39-51, 1974
class CompensatedSum {
 public:
  void add(double term) {
    const double sum = sum_ + term;
    lost_ += std::abs(sum_) >= std::abs(term) ? (sum_ - sum) + term : (term - sum) + sum_;
    sum_ = sum;
  }

  [[nodiscard]] double value() const { return sum_ + lost_; }

 private:
  double sum_ = 0;
  double lost_ = 0;
};

}  // namespace trueblank::geometry
