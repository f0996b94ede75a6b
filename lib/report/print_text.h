// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "body/print_check.h"
#include "report/json_object.h"
#include "report/numbers.h"

// Inside the room: what is told of a master before it is printed.
namespace trueblank::report {

/// A few sentences, without a line end.
[[nodiscard]] std::string print_answer(const body::PrintCheck& print, const TextStyle& style);

/// What was found, the places one by one, and what to beware of.
[[nodiscard]] std::string print_text(const body::PrintCheck& print, const TextStyle& style);

[[nodiscard]] JsonObject print_json(const body::PrintCheck& print);

}  // namespace trueblank::report
