// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

// How often a stated uncertainty holds the truth, counted over simulated scans.
namespace trueblank::symmetry {

/// Counts over all scans. "Held": the truth lies within twice the stated figure; a scan that is
/// left open states none, and holds nothing.
struct Coverage {
  int scans = 0;
  int open = 0;  ///< not well determined
  int tilt_held = 0;
  int yaw_held = 0;
  int offset_held = 0;
  int all_held = 0;   ///< all three at once
  std::string table;  ///< a line a scan
};

/// Scans `first` to `first + count − 1` of simulated_scan, each turned its own way, the back given
/// to within some degrees as makers do.
[[nodiscard]] Coverage covered(int facets, unsigned first, int count);

}  // namespace trueblank::symmetry
