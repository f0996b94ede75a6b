// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>

namespace trueblank::geometry {

/// Facets whose terms are added as they come; the sums of such blocks are then added with
/// compensation. So the error is that of a block's few terms, whatever the size of the mesh, and
/// compensation costs next to nothing.
inline constexpr int facets_per_block = 32;

/// N sums side by side that carry along what rounding takes away, exactly, whichever of the two
/// numbers is the larger.
/// source  D. E. Knuth, The Art of Computer Programming 2, section 4.2.2, theorem B (from memory)
template <std::size_t N>
class CompensatedSums {
 public:
  void add(const std::array<double, N>& terms) {
    for (std::size_t k = 0; k < N; ++k) {
      const double sum = sums_[k] + terms[k];
      const double taken = sum - sums_[k];
      lost_[k] += (sums_[k] - (sum - taken)) + (terms[k] - taken);
      sums_[k] = sum;
    }
  }

  [[nodiscard]] std::array<double, N> values() const {
    std::array<double, N> values;
    for (std::size_t k = 0; k < N; ++k) values[k] = sums_[k] + lost_[k];
    return values;
  }

 private:
  std::array<double, N> sums_{};
  std::array<double, N> lost_{};
};

/// One such sum.
class CompensatedSum {
 public:
  void add(double term) { sum_.add({term}); }

  [[nodiscard]] double value() const { return sum_.values()[0]; }

 private:
  CompensatedSums<1> sum_;
};

}  // namespace trueblank::geometry
