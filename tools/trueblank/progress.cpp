// SPDX-License-Identifier: GPL-3.0-or-later
#include "progress.h"

#include <cstdio>
#include <string>

#include "intake/files.h"

namespace trueblank::tools {

namespace {

constexpr const char* erase_line = "\r\x1b[K";

}  // namespace

Progress::Progress(bool wanted) : on_(wanted && intake::stderr_is_terminal()) {}

Progress::~Progress() {
  if (!shown_) return;
  std::fputs(erase_line, stderr);
  std::fflush(stderr);
}

void Progress::step(std::string_view what) {
  if (!on_) return;
  // A line that wraps can't be erased.
  const int width = intake::terminal_width();
  const std::string_view fits = what.substr(0, width > 1 ? static_cast<std::size_t>(width - 1) : 0);
  std::fputs((erase_line + std::string(fits)).c_str(), stderr);
  std::fflush(stderr);
  shown_ = true;
}

}  // namespace trueblank::tools
