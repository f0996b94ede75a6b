// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <utility>

#include "intake/files.h"

namespace trueblank::intake {

/// A matrix of three rows that grows column by column, and is handed over without being copied:
/// positions or facets on their way into a mesh. Memory that is reserved costs nothing before it is
/// written to.
template <class Scalar>
class Triples {
 public:
  using Matrix = Eigen::Matrix<Scalar, 3, Eigen::Dynamic>;

  Triples() = default;

  Triples(Triples&& other) noexcept
      : matrix_(std::move(other.matrix_)), size_(std::exchange(other.size_, 0)) {}

  Triples& operator=(Triples&& other) noexcept {
    matrix_ = std::move(other.matrix_);
    size_ = std::exchange(other.size_, 0);
    return *this;
  }

  Triples(const Triples&) = delete;
  Triples& operator=(const Triples&) = delete;
  ~Triples() = default;

  [[nodiscard]] std::size_t size() const { return size_; }  ///< columns

  [[nodiscard]] bool empty() const { return size_ == 0; }

  /// The three of each column, one column after the other.
  [[nodiscard]] Scalar* data() { return matrix_.data(); }

  [[nodiscard]] const Scalar* data() const { return matrix_.data(); }

  [[nodiscard]] const Scalar* column(std::size_t i) const { return matrix_.data() + 3 * i; }

  [[nodiscard]] Scalar* column(std::size_t i) { return matrix_.data() + 3 * i; }

  /// Room for so many columns.
  void reserve(std::size_t columns) {
    if (columns <= room()) return;
    // Grows in place or has its pages moved where it is large: Eigen asks realloc for it.
    matrix_.conservativeResize(3, static_cast<Eigen::Index>(columns));
    ask_for_large_pages(matrix_.data(), 3 * columns * sizeof(Scalar));
  }

  /// So many more columns, whatever stands in them; the first of them.
  Scalar* add(std::size_t columns = 1) {
    if (size_ + columns > room()) reserve(size_ + columns + size_ / 2 + 64);
    Scalar* const first = column(size_);
    size_ += columns;
    return first;
  }

  void add(Scalar a, Scalar b, Scalar c) {
    Scalar* const into = add();
    into[0] = a;
    into[1] = b;
    into[2] = c;
  }

  /// Keeps the room.
  void clear() { size_ = 0; }

  /// All columns; none are left here.
  [[nodiscard]] Matrix take() {
    matrix_.conservativeResize(3, static_cast<Eigen::Index>(size_));
    size_ = 0;
    return std::move(matrix_);
  }

 private:
  [[nodiscard]] std::size_t room() const { return static_cast<std::size_t>(matrix_.cols()); }

  Matrix matrix_;
  std::size_t size_ = 0;
};

}  // namespace trueblank::intake
