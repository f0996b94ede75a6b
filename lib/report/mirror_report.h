// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "effect/plan.h"
#include "report/numbers.h"
#include "symmetry/deviation.h"
#include "symmetry/extremes.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/patches.h"
#include "symmetry/plane_uncertainty.h"
#include "symmetry/roundness.h"
#include "symmetry/sanding.h"
#include "symmetry/station_table.h"

namespace trueblank::report {

/// What an asymmetry does in the water, with a sheet's rig, in the pose that the lure most often
/// ends in. Patches are numbered as the result's are.
struct InTheWater {
  std::string sheet;
  double wood_density_g_cm3 = 0;  ///< of both sides together
  /// Nothing where the lure has no list to speak of; a warning says why.
  std::optional<effect::Effect> effect = {};
  effect::SandingPlan plan = {};
};

/// What a second scan of the same blank tells apart.
struct ScannedAgain {
  std::string file;
  double rms_mm = 0;            ///< of the second scan, laid onto the first
  double runner_up_rms_mm = 0;  ///< laid on in the next best way
  symmetry::DeviationStatistics body_mm = {};
  symmetry::DeviationStatistics scanner_mm = {};
  symmetry::ScanNoise first_noise = {};
  symmetry::ScanNoise second_noise = {};
};

/// What `mirror` found. Where the plane is open (`plane` is nothing) the deviation, the volumes,
/// the stations and all that follows from them are left out with it.
struct MirrorResult {
  body::InputFacts input;
  body::BodyRecord record;  ///< what was done to the scan, and how well it is known
  geometry::Frame frame;    ///< file axes
  bool guessed = false;     ///< an end, a side or the turn is a guess
  double length_mm = 0;
  std::optional<geometry::Plane> plane = {};  ///< file axes, the normal to the lure's right
  symmetry::PlaneFrom plane_from = symmetry::PlaneFrom::shape;
  /// Where the plane was fitted to the shape.
  std::optional<symmetry::PlaneUncertainty> plane_uncertainty = {};
  bool well_determined = false;
  bool round = false;                           ///< the turn about the long axis is open altogether
  std::vector<symmetry::Candidate> candidates;  ///< file axes
  std::optional<symmetry::DeviationStatistics> deviation_mm = {};
  symmetry::ScanNoise noise = {};
  symmetry::Extremes extremes = {};  ///< body frame
  std::optional<symmetry::SideVolumes> volumes = {};
  /// The proud ones, by what they matter: by what they do to the list, else by volume.
  std::vector<symmetry::Patch> patches = {};
  /// One standard deviation of each patch's greatest deviation, by what the plane may be off and by
  /// slow noise of the scan; empty where the plane was not fitted.
  std::vector<double> patch_doubt_mm = {};
  std::optional<symmetry::Sanding> sanding = {};
  std::vector<symmetry::Roundness> roundness = {};  ///< of a round body
  std::vector<symmetry::Station> stations = {};
  std::optional<InTheWater> water = {};
  std::optional<ScannedAgain> again = {};
  std::optional<double> limit_mm = {};      ///< as the user set it
  std::optional<double> map_scale_mm = {};  ///< where a map was asked for: ends of its colours, ±
  std::vector<std::string> warnings = {};
};

/// Whether a limit was set and p95 is above it, or can't be told since the plane is open.
[[nodiscard]] bool limit_missed(const MirrorResult& result);

// Warnings for what was asked for and can't be had.
/// what  "map", "station table", "target", "templates"
[[nodiscard]] std::string none_without_plane(const std::string& what, const std::string& path);
[[nodiscard]] std::string no_effect_without_plane(const std::string& sheet);
[[nodiscard]] std::string no_effect_without_list(const std::string& sheet);
[[nodiscard]] std::string not_told_apart_without_plane(const std::string& second);

/// A warning where a second scan hardly fits on the first, or fits in several ways; else empty.
[[nodiscard]] std::string doubtful_alignment(const ScannedAgain& again, double length_mm);

[[nodiscard]] std::string answer(const MirrorResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const MirrorResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const MirrorResult& result);

/// The stations as a table for a spreadsheet: a line of headings, commas, decimal points, LF. Half
/// widths at all heights that any station has; empty where that side has no skin there.
[[nodiscard]] std::string stations_csv(const MirrorResult& result);

}  // namespace trueblank::report
