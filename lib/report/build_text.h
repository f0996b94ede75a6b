// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/float_report.h"

// What a lure is made of, how it balances dry, and how it casts, in words and tables.
namespace trueblank::report {

/// A row a part, and the whole.
[[nodiscard]] std::string mass_table(const FloatResult& result, const TextStyle& style);

/// "14.1 g wood, 2.5 g wire, 4.0 g weights, 13.5 g hooks; ..."
[[nodiscard]] std::string budget_words(const rig::MassBudget& budget, const TextStyle& style);

/// What can be checked on an edge.
[[nodiscard]] std::string bench_words(const rig::RiggedLure& lure, const TextStyle& style);

[[nodiscard]] std::string casting_words(const water::Casting& casting, const TextStyle& style);

}  // namespace trueblank::report
