// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <vector>

// Inside the room.
namespace trueblank::body {

/// Which of so many things belong together. A group is named by its least member.
class Groups {
 public:
  explicit Groups(std::size_t count) : up_(count) {
    std::iota(up_.begin(), up_.end(), std::size_t{0});
  }

  [[nodiscard]] std::size_t of(std::size_t one) {
    while (up_[one] != one) {
      up_[one] = up_[up_[one]];
      one = up_[one];
    }
    return one;
  }

  void join(std::size_t a, std::size_t b) {
    const std::size_t one = of(a);
    const std::size_t other = of(b);
    up_[std::max(one, other)] = std::min(one, other);
  }

 private:
  std::vector<std::size_t> up_;
};

}  // namespace trueblank::body
