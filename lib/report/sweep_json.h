// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/json_object.h"
#include "report/sweep_report.h"

// The part of float's JSON that a sweep makes; no part of this room's interface.
namespace trueblank::report {

[[nodiscard]] std::optional<JsonObject> sweep_json(const std::optional<SweepResult>& sweep);

}  // namespace trueblank::report
