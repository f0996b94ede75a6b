// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

#include "report/float_report.h"
#include "report/json_object.h"
#include "tuning/explain.h"

// What float's JSON holds, for results that hold it in turn; no part of the room's interface.
namespace trueblank::report {

/// All of float's JSON.
[[nodiscard]] JsonObject float_json(const FloatResult& result);

[[nodiscard]] std::optional<JsonObject> sensitivity_json(
    const std::optional<water::Sensitivity>& all);

/// How a lure lies, in a few figures.
[[nodiscard]] JsonObject lies_json(const tuning::Lies& lies);

/// "floats", "suspends", "sinks"
[[nodiscard]] std::string state_name(water::State state);

}  // namespace trueblank::report
