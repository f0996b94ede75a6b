// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "float_result.h"
#include "report/page_live.h"

namespace trueblank::tools {

/// What a page needs to change the lure of a sheet and let it float by itself.
[[nodiscard]] report::LiveScene live_scene(const SheetLure& lure);

}  // namespace trueblank::tools
