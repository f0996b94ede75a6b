// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "symmetry/alignment.h"
#include "symmetry/scan_noise.h"

namespace trueblank::symmetry {

/// One part of a deviation, at the body's vertices.
struct DeviationPart {
  std::vector<double> at_vertices_mm;  ///< signed as the deviation; 0 where it does not count
  DeviationStatistics statistics;
};

/// What two scans of one blank say of its asymmetry.
struct Again {
  Alignment alignment;    ///< of the second scan onto the first
  Plane second_plane;     ///< the second scan's own mirror plane, in the first scan's axes
  DeviationPart body;     ///< what stays with the body: the mean of both scans at one place
  DeviationPart scanner;  ///< what stays with the scanner: half of first less second
  ScanNoise first_noise;
  ScanNoise second_noise;
  std::vector<std::uint8_t> counted;  ///< a vertex each: where both scans saw skin on both sides
};

struct AgainOptions {
  AlignOptions align = {};
  /// The plane was given: the second scan is measured against the same one. Else against its own
  /// best plane, which a slow bend turns as well.
  bool plane_is_given = false;
};

/// Tells what stays with a body from what stays with its scanner: the same blank, turned over,
/// scanned again. Each scan's deviation is taken against its own mirror plane; at each place of the
/// body the mean of the two is the body's and half their difference the scanner's. A slow bend that
/// the scanner puts into every scan turns round with the blank, and so shows up in the scanner's
/// part, but for the tilt, yaw and shift in it that a mirror plane takes up. Noise goes half of its
/// variance each way.
///
/// What it can't know: what the scanner puts in the same place of the body both times (a blank that
/// was not turned over, glare on the same spot).
///
/// body, plane     the first scan and its mirror plane, in its axes, mm
/// second          the second scan in any axes, mm
/// *_measured      as in fit_mirror; empty: all
/// threads         the same bytes whatever `loop` does
/// cost            an alignment, a plane refined on the second scan, three nearest points a vertex
[[nodiscard]] Again told_apart(const geometry::ClosedMesh& body, const Plane& plane,
                               std::span<const std::uint8_t> body_measured,
                               const geometry::ClosedMesh& second,
                               std::span<const std::uint8_t> second_measured,
                               const AgainOptions& options = {},
                               const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
