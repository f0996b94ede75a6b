// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "body/sections.h"
#include "geometry/mesh.h"

// A body that is told by its outlines from the side and from above.
namespace trueblank::body {

/// Closed polygons, a column a corner, mm; x to the right, y up.
struct Outlines {
  Eigen::Matrix2Xd side;  ///< the back is up
  Eigen::Matrix2Xd top;
  std::string side_file;  ///< for messages
  std::string top_file;
  bool nose_right = false;                   ///< in both drawings
  bool size_known = true;                    ///< the side's; else there is a warning
  double fullness_above = ellipse_fullness;  ///< least_fullness to 1, all along
  double fullness_below = ellipse_fullness;
};

/// The greatest outline of each of two SVG drawings; size_known where the side's says so.
/// throws  InputError naming the file: missing, not readable, no drawing, without an outline
[[nodiscard]] Outlines read_outlines(const std::string& side_path, const std::string& top_path);

/// The body that has these outlines, and what there is to say about it.
struct OutlinedBody {
  geometry::TriangleMesh mesh_mm;  ///< closed, outward, axes as section_skin's
  double unequal_mm = 0;           ///< the most that the two sides of the top outline differ by in
                                   ///< half width, about its own middle line
  double top_scale = 1;            ///< the top outline is drawn that much bigger, to be as long as
                                   ///< the side one
  std::vector<std::string> warnings;  ///< whole sentences
};

/// At each station the side outline gives back and belly, the widest place midway between them, and
/// the top outline the width, shared out evenly so that the body is true. Where an outline doubles
/// back, its outermost edges count.
///
/// throws  InputError naming the file: an outline without length, or pinched to nothing on the way
[[nodiscard]] OutlinedBody body_of_outlines(const Outlines& outlines,
                                            const Fineness& fineness = {});

}  // namespace trueblank::body
