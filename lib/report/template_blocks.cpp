// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/template_blocks.h"

#include <algorithm>
#include <limits>
#include <utility>

#include "report/numbers.h"

namespace trueblank::report {
namespace {

using symmetry::HalfSection;
using symmetry::Point2;

// A card's paper beyond the outline: room for the fingers and for what is written on it.
constexpr double above_mm = 13;
constexpr double below_mm = 10;
constexpr double beside_mm = 15;
constexpr double least_card_mm = 40;
// Paper round a profile, and how far station marks and the long axis stick out of it.
constexpr double round_profile_mm = 14;
constexpr double mark_out_mm = 3;
constexpr double axis_out_mm = 6;

/// "40" or "37.5"
std::string station_figure(double x_mm) {
  std::string text = fixed(x_mm, 1);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

/// A box round points.
struct Extent {
  Point2 low = Point2::Constant(std::numeric_limits<double>::infinity());
  Point2 high = Point2::Constant(-std::numeric_limits<double>::infinity());

  explicit Extent(const std::vector<Point2>& points) {
    for (const Point2& p : points) {
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
  }
};

/// Puts a body's (x, y or z), which goes up, onto paper, where down is up.
struct OnPaper {
  Point2 origin_mm;  ///< where the body's (0, 0) comes to

  [[nodiscard]] PagePoint operator()(double along, double up) const {
    return {origin_mm.x() + along, origin_mm.y() - up};
  }

  [[nodiscard]] std::vector<PagePoint> operator()(const std::vector<Point2>& points) const {
    std::vector<PagePoint> drawn;
    drawn.reserve(points.size());
    for (const Point2& p : points) drawn.push_back((*this)(p.x(), p.y()));
    return drawn;
  }
};

/// Words with their middle over a place.
Words centred(const PagePoint& at, double size_mm, std::string text) {
  const double half = words_width_mm(text, size_mm) / 2;
  return {.at = at - PagePoint(half, 0), .size_mm = size_mm, .text = std::move(text)};
}

/// A thin cross line at each station, with its figure over it.
void add_station_marks(const Templates& templates, const Extent& extent, const OnPaper& paper,
                       Sketch& sketch) {
  for (const HalfSection& section : templates.sections) {
    const double x = section.x_mm;
    if (section.outline_mm.empty() || x < extent.low.x() || x > extent.high.x()) continue;
    const PagePoint top = paper(x, extent.high.y() + mark_out_mm);
    const PagePoint foot = paper(x, extent.low.y() - mark_out_mm);
    sketch.strokes.push_back({.line = Line::mark, .points = {top, foot}});
    sketch.words.push_back(centred(top - PagePoint(0, 0.8), 2.6, station_figure(x)));
  }
}

Block profile(std::string name, const std::string& above, const std::string& below,
              const std::vector<Point2>& outline, const Templates& templates) {
  Block block{.name = std::move(name)};
  if (outline.size() < 2) return block;
  const Extent extent(outline);
  const Point2 round = Point2::Constant(round_profile_mm);
  block.size_mm = extent.high - extent.low + 2 * round;
  const OnPaper paper{{round_profile_mm - extent.low.x(), round_profile_mm + extent.high.y()}};
  Sketch& sketch = block.sketch;
  sketch.strokes.push_back({.line = Line::cut, .points = paper(outline), .closed = true});
  sketch.strokes.push_back({.line = Line::axis,
                            .points = {paper(extent.low.x() - axis_out_mm, 0),
                                       paper(extent.high.x() + axis_out_mm, 0)}});
  add_station_marks(templates, extent, paper, sketch);
  sketch.words.push_back({.at = {0, 4}, .size_mm = 3.4, .text = block.name});
  const PagePoint nose = paper(extent.low.x(), 0);
  sketch.words.push_back({.at = {0, nose.y() - 1.2}, .size_mm = 2.6, .text = "nose"});
  sketch.words.push_back(
      {.at = {block.size_mm.x() - round_profile_mm + axis_out_mm, nose.y() + 0.9},
       .size_mm = 2.6,
       .text = "tail"});
  sketch.words.push_back({.at = {0, nose.y() - 7}, .size_mm = 2.6, .text = above});
  sketch.words.push_back({.at = {0, nose.y() + 9}, .size_mm = 2.6, .text = below});
  return block;
}

}  // namespace

Block card(const HalfSection& section) {
  const double low = section.lowest_z_mm();
  const double high = section.highest_z_mm();
  const double width = section.half_width_mm();
  const std::string station = station_figure(section.x_mm) + " mm";
  Block block{.name = "Card at " + station};
  block.size_mm = {std::max(width + beside_mm, least_card_mm), above_mm + (high - low) + below_mm};
  const OnPaper paper{{0, above_mm + high}};
  Sketch& sketch = block.sketch;
  sketch.strokes.push_back({.line = Line::cut, .points = paper(section.outline_mm)});
  const double right = block.size_mm.x();
  const double bottom = block.size_mm.y();
  sketch.strokes.push_back({.line = Line::cut, .points = {{0, bottom}, paper(0, low)}});
  sketch.strokes.push_back({.line = Line::cut, .points = {paper(0, high), {0, 0}}});
  sketch.strokes.push_back(
      {.line = Line::edge, .points = {{0, 0}, {right, 0}, {right, bottom}, {0, bottom}}});
  sketch.strokes.push_back({.line = Line::axis, .points = {paper(0, low), paper(0, high)}});
  if (low < 0 && high > 0) {
    sketch.strokes.push_back(
        {.line = Line::mark, .points = {paper(0, 0), paper(width + 0.4 * beside_mm, 0)}});
    sketch.words.push_back(
        {.at = paper(width + 0.4 * beside_mm + 0.5, -0.7), .size_mm = 2.2, .text = "axis"});
  }
  sketch.words.push_back({.at = {2, 6}, .size_mm = 4.2, .text = station});
  sketch.words.push_back({.at = {2, above_mm - 2.5}, .size_mm = 2.4, .text = "back"});
  sketch.words.push_back({.at = {2, bottom - below_mm + 4.2}, .size_mm = 2.4, .text = "belly"});
  sketch.words.push_back(
      {.at = {2, bottom - 1.8},
       .size_mm = 2.2,
       .text = "half width " + fixed(width, 1) + " mm, height " + fixed(high - low, 1) + " mm"});
  return block;
}

Block side_view(const Templates& templates) {
  return profile("From the side", "back", "belly", templates.profiles.side_mm, templates);
}

Block top_view(const Templates& templates) {
  std::vector<Point2> outline;
  const std::vector<Point2>& half = templates.profiles.top_mm;
  outline.reserve(2 * half.size());
  for (const Point2& p : half) outline.emplace_back(p.x(), -p.y());
  outline.insert(outline.end(), half.rbegin(), half.rend());
  return profile("From above", "right", "left", outline, templates);
}

}  // namespace trueblank::report
