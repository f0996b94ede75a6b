// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "rig/parts.h"

namespace trueblank::rig {

/// The same rig in other water, which its pockets that fill hold too.
[[nodiscard]] Rig in_water(Rig rig, const Water& water);

}  // namespace trueblank::rig
