// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <string>
#include <string_view>

namespace trueblank::intake {

/// The greatest closed outline of a drawing.
struct SvgOutline {
  Eigen::Matrix2Xd
      points_mm;        ///< a column a corner, x to the right, y up; the last joins the first
  double area_mm2 = 0;  ///< > 0
  int outlines = 0;     ///< that the drawing has, this one among them
  bool sized = false;   ///< the drawing says how big it is in mm, cm, in, pt or pc; else a
                        ///< unit of it is taken as a pixel, 96 to the inch
};

/// How far a curve's pieces may lie off it.
inline constexpr double svg_flattening_mm = 0.005;

/// Reads path, polygon, polyline, ellipse, circle and rect, under the transforms of their groups;
/// an open line is closed straight, as where it is filled. Each part of a path counts for itself.
/// What is not drawn (defs, clip paths, masks, patterns, markers, symbols) is left out, as are
/// styles, text, pictures and copies (use).
///
/// name    of the file, for messages
/// throws  InputError naming the file: no SVG, cut short, over 16 MB, more than a million corners,
///         a path or a transform that can't be read, no outline with an area
/// source  W3C Recommendation "Scalable Vector Graphics (SVG) 1.1 (Second Edition)", 2011:
///         chapter 7 (units, viewBox), chapter 8 (path data), appendix F.6 (arcs)
[[nodiscard]] SvgOutline parse_svg_outline(std::string_view text, const std::string& name);

/// As above, from a file.
[[nodiscard]] SvgOutline read_svg_outline(const std::string& path);

}  // namespace trueblank::intake
