// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <chrono>
#include <mutex>
#include <string>
#include <string_view>

#include "geometry/parallel.h"

namespace trueblank::tools {

/// One line on a terminal's stderr that says what is going on; erased when it goes out of scope.
/// Nothing at all where stderr is not a terminal, or where it is switched off.
class Progress {
 public:
  explicit Progress(bool wanted);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void step(std::string_view what);

  /// The loop, which after a second of its work says beside the step how far it is and how long it
  /// will still take. Good for as long as this and `loop` are.
  [[nodiscard]] geometry::ParallelFor watched(const geometry::ParallelFor& loop);

 private:
  using Clock = std::chrono::steady_clock;

  void show(const std::string& line);
  void tell(Clock::time_point start, int done, int count);

  std::string what_;
  std::mutex telling_;
  Clock::time_point told_;
  std::atomic<bool> watching_ = false;
  bool on_ = false;
  bool shown_ = false;
};

}  // namespace trueblank::tools
