// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "body/section_skin.h"
#include "geometry/mesh.h"

// A body that is told by a few of its sections.
namespace trueblank::body {

/// A section as a maker measures it, from a straight line along the body.
struct DrawnSection {
  double station_mm = 0;
  double width_mm = 0;                       ///< whole; 0 or more
  double above_mm = 0;                       ///< from the line up to the back; may be below it
  double below_mm = 0;                       ///< from the line down to the belly; -above or more
  std::optional<double> widest_mm = {};      ///< height of the widest place above the line,
                                             ///< between belly and back; without: on the line, or
                                             ///< as near as the body comes to it
  double fullness_above = ellipse_fullness;  ///< least_fullness to 1
  double fullness_below = ellipse_fullness;

  [[nodiscard]] double height_mm() const { return above_mm + below_mm; }
};

/// How finely a drawn body is cut into facets: about 2 · around · along of them.
struct Fineness {
  int around = 128;  ///< corners of a section, a multiple of 8
  int along = 160;   ///< steps between the ends
};

/// The sections in between: the squares of half width and of the heights from the widest place are
/// joined by cubics that keep to the values given: between two sections nothing is wider or
/// narrower, higher or lower than both. A body of conic sections lengthwise (cylinder, cone,
/// ellipsoid, paraboloid) whose greatest section is among three or more comes out as it is; at an
/// end without width the body is round, or pointed where its flanks run straight into it. Two
/// sections are joined by straight lines.
///
/// sections  as section_skin's rings: two or more, stations rising, nothing but the ends without
///           width or height
/// returns   along + 1 rings or a few more; each section is one of them
/// source    F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17(2), 1980: slopes within the
///           circle of radius 3; before that, those of the parabola through three neighbours
[[nodiscard]] std::vector<SectionRing> rings_between(std::span<const DrawnSection> sections,
                                                     int along);

/// The closed skin of the body; its axes are section_skin's, the line of the sections is y = z = 0.
/// The nose is at the first section.
[[nodiscard]] geometry::TriangleMesh body_of_sections(std::span<const DrawnSection> sections,
                                                      const Fineness& fineness = {});

}  // namespace trueblank::body
