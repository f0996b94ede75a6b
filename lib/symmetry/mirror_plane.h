// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "geometry/frame.h"
#include "geometry/moments.h"
#include "geometry/parallel.h"

namespace trueblank::symmetry {

using geometry::Plane;
using geometry::Vec3;

enum class Kernel { robust, least_squares };
enum class PlaneFrom { shape, back, split_line, given, best_sand };

/// What the caller knows. Directions and points in the axes of the body's vertices.
struct MirrorOptions {
  Kernel kernel = Kernel::robust;
  /// The direction in which the nose points, up to 45° off; any length > 0.
  std::optional<Vec3> nose = {};
  std::optional<Vec3> back = {};  ///< likewise the back
  std::optional<Plane> given = {};
  /// Three points of the plane, not in one line.
  std::optional<std::array<Vec3, 3>> split_line = {};
  /// Where the wire comes out at nose and tail, for a split line without a third point: the plane
  /// through both that holds `back`. Without a back, or with one along the wire, it is left out.
  std::optional<std::pair<Vec3, Vec3>> eyes = {};
};

struct Candidate {
  Plane plane;
  double rms_mm = 0;  ///< area-weighted root mean square of the deviation, over measured skin
};

/// The answer of the plane search.
struct MirrorFit {
  /// Nothing where the shape leaves it open and no back, split line or plane was given.
  std::optional<Plane> plane;
  PlaneFrom from = PlaneFrom::shape;
  /// Whether the shape itself (with the hints only choosing between local bests) fixes the plane.
  bool well_determined = false;
  bool round = false;  ///< no plane is sharp, and the body is about as wide as it is high
  std::vector<Candidate> candidates;  ///< by rising rms; of a round body the best few turns
  /// The line that the body frame's x lies on, towards neither end in particular.
  Vec3 long_axis = Vec3::UnitX();
};

/// The mirror plane of a body: many starts, a robust kernel that narrows to the scan's own noise.
///
/// A plane is *sharp* where every plane turned 8° from it (about the long axis, or across it) is
/// clearly worse: by more than the noise, with its correlation along the skin, and by more than the
/// facets explain. Without hints the plane is well determined where the best one is sharp and every
/// other is clearly worse. With nose and back the sharp plane nearest to the one that they span is
/// taken, with one of the two the sharp plane nearest to holding it. Where none is sharp, as on a
/// nearly round body under noise, the local best nearest to the hints is told all the same where
/// its turn about the long axis is sure to 3.3° (one standard deviation) and the two sides agree on
/// the shape that fixes it, which noise on a round body does not. Else (a round body, or noise that
/// hides the shape) `back`, made square to the long axis, is taken as exact. Planes across the long
/// axis (normal within 45° of it) are left out unless nose and back ask for them.
///
/// body            closed, any axes, mm
/// facet_measured  1 a facet that was scanned, 0 one made up to fill a hole (left out); or empty
/// returns         normals point to either side; body/frame turns them to the lure's right
/// threads         the same bytes whatever `loop` does
/// cost            about half a million nearest points, and a pass over the facets
/// source          many starts, then local best: Podolak et al., ACM TOG 25(3), 2006; a kernel that
///                 rejects flaws: Simari, Kalogerakis & Singh, "Folding meshes", SGP 2006
[[nodiscard]] MirrorFit fit_mirror(const geometry::ClosedMesh& body,
                                   std::span<const std::uint8_t> facet_measured,
                                   const MirrorOptions& options,
                                   const geometry::ParallelFor& loop = geometry::serial_for);

/// The principal axis of least inertia of a body's volume, taken within a plane; of unit length,
/// towards neither end in particular.
[[nodiscard]] Vec3 long_axis_within(const geometry::Moments& whole, const Plane& plane);

}  // namespace trueblank::symmetry
