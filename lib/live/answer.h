// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "geometry/mesh.h"

// No part of the room's interface.
namespace trueblank::live {

inline constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// An array as live.h has it, written from its front.
class Answer {
 public:
  /// An answer that tells nothing yet.
  Answer& begin(int status) {
    numbers_.assign({0, static_cast<double>(status)});
    return *this;
  }

  Answer& add(double number) {
    numbers_.push_back(number);
    return *this;
  }

  Answer& add(std::optional<double> number) { return add(number.value_or(nothing)); }

  Answer& add(const geometry::Vec3& point) { return add(point.x()).add(point.y()).add(point.z()); }

  Answer& add_flag(bool flag) { return add(flag ? 1.0 : 0.0); }

  Answer& add_count(std::size_t count) { return add(static_cast<double>(count)); }

  Answer& add_nothing(int times) {
    for (int i = 0; i < times; ++i) add(nothing);
    return *this;
  }

  /// Good until the next answer.
  [[nodiscard]] const double* end() {
    numbers_.front() = static_cast<double>(numbers_.size() - 1);
    return numbers_.data();
  }

 private:
  std::vector<double> numbers_;
};

}  // namespace trueblank::live
