// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

#include "geometry/frame.h"
#include "geometry/parallel.h"
#include "symmetry/deviation.h"

namespace trueblank::symmetry {

/// The scan's own noise: what moves a skin along its normal and is no part of the body.
struct ScanNoise {
  /// One standard deviation of one skin. The gap between two skins whose noise is independent has
  /// √2 of it.
  double sigma_mm = 0;
  /// How far the noise holds together: over a distance d along the skin its correlation falls to
  /// exp(−d²/2·correlation²). Noise of neighbouring vertices that is each vertex's own shows the
  /// distance of the vertices. 0 where sigma is nil.
  double correlation_mm = 0;
  /// One standard deviation of the gaps that hold together over so far that shape and slow noise
  /// look alike; no part of sigma. A second scan tells them apart (symmetry/again.h). 0: none.
  double slow_mm = 0;
};

/// Noise of a scan, told from its own skin against its mirror image, as the part of the deviation
/// that shows in many places: half the skin must hold at least four that are each their own, which
/// on a lure is noise that holds together over an eighth of the length and less.
///
/// The deviation is taken for a sum of one or two random fields and the plane's three motions; the
/// likeliest widths and heights are sought. Where two fields are told apart the short one is the
/// noise and the long one the body's shape; a single one is noise where it has its many places, and
/// is no smooth shape that bends sharply in places; it is told no higher than the gaps it is
/// read from. Flaws and bumps that stand out are left out, and what flat facets stand off a smooth
/// skin is taken off. What it can't know: noise that is slower looks like shape (`slow_mm` tells
/// how much of such there is), and a skin that is wavy all over looks like noise; a bump that does
/// not stand out of a slow bend counts in part.
///
/// body            closed, any axes, mm
/// plane           the mirror plane, normal to either side
/// field           of this body and plane, as deviation_field gives it
/// facet_measured  as in fit_mirror; empty: all
/// returns         sigma exact to about a tenth for noise over less than a twentieth of the length
/// threads         the same bytes whatever `loop` does
/// cost            some passes over the facets and about half a second
/// source          restricted likelihood: D. A. Harville, J. Am. Statist. Assoc. 72, 320-338, 1977
[[nodiscard]] ScanNoise scan_noise(const geometry::ClosedMesh& body, const Plane& plane,
                                   const DeviationField& field,
                                   std::span<const std::uint8_t> facet_measured,
                                   const geometry::ParallelFor& loop = geometry::serial_for);

/// The same, measuring the deviation itself.
[[nodiscard]] ScanNoise scan_noise(const geometry::ClosedMesh& body, const Plane& plane,
                                   std::span<const std::uint8_t> facet_measured,
                                   const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
