// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

#include "geometry/parallel.h"

namespace trueblank::tools {

/// The threads that the rooms below are lent.
class Threads {
 public:
  /// count  0: as many as the machine has
  explicit Threads(int count);
  ~Threads();
  Threads(const Threads&) = delete;
  Threads& operator=(const Threads&) = delete;

  /// Good for as long as this is.
  [[nodiscard]] geometry::ParallelFor loop();

 private:
  struct Arena;
  std::unique_ptr<Arena> arena_;
};

}  // namespace trueblank::tools
