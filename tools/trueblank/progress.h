// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>

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

 private:
  bool on_ = false;
  bool shown_ = false;
};

}  // namespace trueblank::tools
