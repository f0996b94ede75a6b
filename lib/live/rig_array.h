// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>

#include "rig/baseline.h"
#include "rig/parts.h"

// No part of the room's interface.
namespace trueblank::live {

/// Where a number's fault lies; both NaN where the array itself is malformed.
struct Fault {
  int status = 0;  ///< of live.h; 0: none
  double kind = 0;
  double index = 0;
};

/// A rig as it stands in an array. The wood's density follows once the body is known.
struct WrittenRig {
  rig::Rig rig;                       ///< its density that given, or 0; halves set
  std::optional<double> wood_g = {};  ///< where it was weighed
  std::optional<rig::Baseline> baseline = {};
  Fault fault = {};  ///< the first; what else is here then means nothing
};

[[nodiscard]] WrittenRig read_rig(std::span<const double> array);

}  // namespace trueblank::live
