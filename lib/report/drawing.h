// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <array>
#include <string>
#include <string_view>
#include <vector>

// Pages of lines and words and how they become a file; no part of the room's interface.
namespace trueblank::report {

/// mm from a page's upper left corner, to the right and down.
using PagePoint = Eigen::Vector2d;

enum class Line { cut, edge, mark, axis, seam, bar };

/// How a line is drawn, in mm; black but for `grey`.
struct LineStyle {
  std::string_view name;
  double width_mm;
  std::array<double, 4> dashes_mm;  ///< on, off, on, off; all 0: unbroken
  double grey;                      ///< 0 black … 1 white
};

[[nodiscard]] const LineStyle& style_of(Line line);

/// All kinds of lines, in the order of Line.
[[nodiscard]] const std::array<LineStyle, 6>& line_styles();

struct Stroke {
  Line line = Line::cut;
  std::vector<PagePoint> points = {};
  bool closed = false;
};

/// Words on one line, from a point at their foot to the right.
struct Words {
  PagePoint at = PagePoint::Zero();
  double size_mm = 3;
  std::string text = {};  ///< valid UTF-8 without control characters
};

struct Sketch {
  std::vector<Stroke> strokes = {};
  std::vector<Words> words = {};
};

struct Drawing {
  std::string title = {};
  double width_mm = 0;   ///< of each page
  double height_mm = 0;  ///< likewise
  std::vector<Sketch> pages = {};
};

/// How wide words come out in Helvetica: exact for figures, points and spaces, nearly so for the
/// rest.
[[nodiscard]] double words_width_mm(std::string_view text, double size_mm);

/// What of a sketch lies in a rectangle, moved so that the rectangle's upper left corner comes to
/// `to`; words go by their foot.
[[nodiscard]] Sketch clipped(const Sketch& sketch, const PagePoint& upper_left,
                             const PagePoint& size, const PagePoint& to);

void append(const Sketch& more, Sketch& sketch);

[[nodiscard]] std::string drawing_svg(const Drawing& drawing);
[[nodiscard]] std::string drawing_pdf(const Drawing& drawing);

}  // namespace trueblank::report
