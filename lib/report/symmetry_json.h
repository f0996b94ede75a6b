// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/json_object.h"
#include "symmetry/deviation.h"
#include "symmetry/patches.h"

// What mirror and compare hold alike; no part of the room's interface.
namespace trueblank::report {

[[nodiscard]] JsonObject statistics_json(const symmetry::DeviationStatistics& figures);

/// Where a patch lies and how large it is; a caller adds what it has more.
[[nodiscard]] JsonObject patch_json(const symmetry::Patch& patch);

}  // namespace trueblank::report
