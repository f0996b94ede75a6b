// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "notebook/photograph.h"
#include "rig/waters.h"
#include "water/rest_poses.h"

namespace trueblank::notebook {

/// What the water showed of a build in one trial; what was not looked at is not set. Doubts are one
/// standard deviation.
struct TankRecord {
  std::int64_t number = 0;  ///< from 1 within its build
  std::string date = {};    ///< "2026-03-01" or, UTC, "2026-03-01T18:30:00Z"
  std::optional<water::State> state = {};
  std::optional<double> tail_down_deg = {};
  std::optional<double> tail_down_sd_deg = {};  ///< set where tail_down_deg is
  std::optional<Photograph> photograph = {};    ///< that tail_down_deg was measured in, if in one
  std::optional<double> list_deg = {};          ///< positive with the right flank down
  std::optional<double> list_sd_deg = {};
  std::optional<double> sank_with_g = {};  ///< lead stuck on outside that just sank it
  std::optional<double> sank_sd_g = {};
  rig::Water water = rig::water_at(0, 20);   ///< the tub: fresh, 20 °C
  std::optional<double> mass_before_g = {};  ///< weighed dry
  std::optional<double> mass_after_g = {};   ///< weighed after an hour's soak, wiped
  std::string notes = {};
};

}  // namespace trueblank::notebook
