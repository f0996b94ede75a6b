// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/hints.h"
#include "intake/mend.h"

namespace trueblank::body {

/// Something that may make the true volume differ from the one told.
struct VolumeDoubt {
  std::string what;    ///< "scale", "dunk test", "made-up skin", "noise of the scan", …
  double mm3 = 0;      ///< ±
  bool bound = false;  ///< the most it can be; else one standard deviation
};

/// A change of the skin that was asked for.
struct Reshaping {
  std::string what;  ///< "smoothed" or "thinned"
  int facets = 0;    ///< after it
  double volume_change_mm3 = 0;
  double greatest_distance_mm = 0;  ///< between the two skins
};

/// What was done to a scan to make the body of it, and how well its volume is known. In file axes,
/// mm.
struct BodyRecord {
  bool drawn = false;                     ///< by sections or outlines, and never scanned
  std::vector<intake::Mended> mended;     ///< each step that did something
  std::vector<intake::FilledHole> holes;  ///< that were filled
  double made_up_share = 0;               ///< of the skin's area
  double made_up_bound_mm3 = 0;  ///< as far as made-up skin goes, the volume lies within ± this
  std::vector<Reshaping> reshaped;
  std::optional<double> scale_sd_percent = {};  ///< of a length, one standard deviation; nothing
                                                ///< where the scale was assumed or guessed
  /// Where a length set the scale of a body with an end that was made up: the true length may be
  /// off the body's by this part of it, at most. 0: both ends were scanned.
  double end_off_share = 0;
  std::optional<Dunk> dunk = {};
  double skin_offset_mm = 0;          ///< all over, > 0 outward, to what the dunk test has
  double coat_off_mm = 0;             ///< taken off a scan of the finished lure
  double noise_mm = 0;                ///< the scan's own, from vertex to vertex
  double noise_sigma_mm = 0;          ///< as its left and right sides differ; 0 where it is no scan
  double noise_correlation_mm = 0;    ///< how far that holds together
  double area_mm2 = 0;                ///< of the outer skin
  double displaced_mm3 = 0;           ///< by the bare body wholly under water; 0 where it is open
  std::optional<Cavity> cavity = {};  ///< where there is one
  std::vector<VolumeDoubt> doubts;    ///< of displaced_mm3
};

/// One standard deviation of the displaced volume, of what was measured alone.
[[nodiscard]] double volume_sd_mm3(const BodyRecord& record);

/// Two standard deviations of what was measured and all bounds together: the true volume lies
/// within ± this, save for a scale that isn't known.
[[nodiscard]] double volume_bound_mm3(const BodyRecord& record);

}  // namespace trueblank::body
