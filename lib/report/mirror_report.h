// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "report/numbers.h"
#include "symmetry/deviation.h"
#include "symmetry/extremes.h"
#include "symmetry/mirror_plane.h"

namespace trueblank::report {

/// What `mirror` found. Where the plane is open (`plane` is nothing) the deviation, the volumes and
/// the stations are left out with it.
struct MirrorResult {
  body::InputFacts input;
  geometry::Frame frame;  ///< file axes
  bool guessed = false;   ///< an end, a side or the turn is a guess
  double length_mm = 0;
  std::optional<geometry::Plane> plane = {};  ///< file axes, the normal to the lure's right
  symmetry::PlaneFrom plane_from = symmetry::PlaneFrom::shape;
  bool well_determined = false;
  bool round = false;                           ///< the turn about the long axis is open altogether
  std::vector<symmetry::Candidate> candidates;  ///< file axes
  std::optional<symmetry::DeviationStatistics> deviation_mm = {};
  symmetry::Extremes extremes = {};  ///< body frame
  std::optional<symmetry::SideVolumes> volumes = {};
  std::vector<geometry::Section> stations = {};
  std::optional<double> limit_mm = {};      ///< as the user set it
  std::optional<double> map_scale_mm = {};  ///< where a map was asked for: ends of its colours, ±
  std::vector<std::string> warnings = {};
};

/// Whether a limit was set and p95 is above it, or can't be told since the plane is open.
[[nodiscard]] bool limit_missed(const MirrorResult& result);

/// A warning for where a map was asked for and can't be made.
[[nodiscard]] std::string no_map_without_plane(const std::string& path);

[[nodiscard]] std::string answer(const MirrorResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const MirrorResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const MirrorResult& result);

}  // namespace trueblank::report
