// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "geometry/moments.h"
#include "report/numbers.h"
#include "rig/blank.h"

namespace trueblank::report {

/// What `weigh` found; everything in file axes.
struct WeighResult {
  body::InputFacts input;
  body::BodyRecord record;  ///< what was done to the scan, and how well it is known
  geometry::Moments whole;
  geometry::Principal principal;              ///< of whole.inertia_mm5
  double cavity_mm3 = 0;                      ///< already taken off the volume
  std::array<double, 3> size_mm{};            ///< extents along the principal axes, falling
  std::optional<rig::Blank> blank;            ///< where a density or a mass was given
  bool mass_given = false;                    ///< the mass was given, the density follows
  std::optional<geometry::Frame> frame = {};  ///< file axes, where it was sought
  bool guessed = false;  ///< an end, a side or the turn of the frame is a guess
  std::vector<std::string> warnings;
};

[[nodiscard]] std::string answer(const WeighResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const WeighResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const WeighResult& result);

}  // namespace trueblank::report
