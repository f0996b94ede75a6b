// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "report/float_report.h"
#include "tuning/explain.h"

namespace trueblank::report {

/// What `ballast --seen` found of a built lure that does not lie as its sheet says.
struct SeenResult {
  FloatResult lies;  ///< by the sheet
  tuning::Seen seen = {};
  tuning::Explained explained = {};
  std::vector<tuning::Remedy> remedies = {};  ///< best first
  std::vector<tuning::DrilledIn> drilled_in = {};

  /// What is wished can still be had.
  [[nodiscard]] bool met() const { return !remedies.empty() && remedies.front().met; }
};

[[nodiscard]] std::string answer(const SeenResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const SeenResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const SeenResult& result);

}  // namespace trueblank::report
