// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::symmetry {

/// A point of a drawing, mm.
using Point2 = Eigen::Vector2d;

/// What a symmetrical target takes from the two flanks at each height.
enum class Flanks {
  lesser,  ///< the narrower one: wood can come off, but not go on
  mean,    ///< half of both
};

/// Half of a symmetrical target's section square to x, as a straight card held to the flank meets
/// it: the greatest half width at each height. Hollows that open to back or belly don't show.
struct HalfSection {
  double x_mm = 0;
  /// (half width, z): from the middle at the belly round the flank to the middle at the back. Empty
  /// where the target has no section. Straight pieces stand off the section by no more than
  /// `outline_within_mm`.
  std::vector<Point2> outline_mm = {};

  [[nodiscard]] double half_width_mm() const;  ///< the greatest; 0 where empty
  [[nodiscard]] double lowest_z_mm() const;    ///< 0 where empty
  [[nodiscard]] double highest_z_mm() const;   ///< likewise
};

/// What is left out where a run of short pieces is drawn as one straight piece.
inline constexpr double outline_within_mm = 0.005;

/// The half sections of a body's symmetrical target, mirror plane y = 0, in the order of x_mm.
/// Where the plane of a station lies in a facet, the section just aft of it.
///
/// cost  one pass over the facets, and a sort of each section's corners
[[nodiscard]] std::vector<HalfSection> half_sections(const geometry::ClosedMesh& in_body_frame,
                                                     std::span<const double> x_mm,
                                                     Flanks flanks = Flanks::lesser);

/// The outlines of the same target from the side and from above.
struct Profiles {
  /// (x, z), closed: along the belly to the tail, and along the back to the nose.
  std::vector<Point2> side_mm;
  std::vector<Point2> top_mm;  ///< (x, half width ≥ 0) from nose to tail
};

/// Read off half sections at `stations` places, closer together near the ends.
[[nodiscard]] Profiles profiles(const geometry::ClosedMesh& in_body_frame,
                                Flanks flanks = Flanks::lesser, int stations = 480);

}  // namespace trueblank::symmetry
