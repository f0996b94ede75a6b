// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "report/numbers.h"
#include "rig/mass_model.h"
#include "rig/waters.h"
#include "water/rest_poses.h"

namespace trueblank::report {

/// What `float` found; everything but `frame` in the body frame.
struct FloatResult {
  body::InputFacts input;  ///< of the sheet's mesh
  std::string sheet;       ///< path as given
  std::string title;       ///< of the sheet, may be empty
  geometry::Frame frame;   ///< file axes
  bool guessed = false;    ///< an end, a side or the turn is a guess
  double length_mm = 0;
  double volume_mm3 = 0;  ///< of the body
  std::string wood_name;  ///< may be empty
  double wood_density_g_cm3 = 0;
  bool has_lead = false;
  rig::Water water;
  rig::RiggedLure lure;
  water::Balance balance;
  /// How far the first pose lists when 1 g of the lure's own mass moves 2 mm to the side.
  std::optional<double> list_per_1g_2mm_deg = {};
  std::vector<std::string> warnings = {};
};

/// How a pose looks: "back up, tail 5.4° down", "on its left flank, level".
[[nodiscard]] std::string pose_words(const water::RestPose& pose);

[[nodiscard]] std::string answer(const FloatResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const FloatResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const FloatResult& result);

}  // namespace trueblank::report
