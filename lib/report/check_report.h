// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "body/print_check.h"
#include "report/numbers.h"

namespace trueblank::report {

/// What `check` found.
struct CheckResult {
  body::InputFacts input;
  intake::Soundness as_read;                  ///< of the file as read
  body::BodyRecord record;                    ///< what was done to it, and how well it is known
  bool closed = false;                        ///< after mending
  std::array<double, 3> size_mm{};            ///< extents along the principal axes, falling
  std::optional<double> volume_mm3 = {};      ///< where it is closed
  std::optional<geometry::Frame> frame = {};  ///< file axes, where it was sought
  bool guessed = false;  ///< an end, a side or the turn of the frame is a guess
  std::vector<std::string> warnings;
  bool to_be_printed = false;                  ///< that was asked for
  std::optional<body::PrintCheck> print = {};  ///< and told, where it is closed
};

/// The answer in a sentence or two, without a line end.
[[nodiscard]] std::string answer(const CheckResult& result, const TextStyle& style);

/// The answer, then what was read and found, then the warnings.
[[nodiscard]] std::string to_text(const CheckResult& result, const TextStyle& style);

/// Indented by two, ended by a line end; numbers read back to the same double.
[[nodiscard]] std::string to_json(const CheckResult& result);

}  // namespace trueblank::report
