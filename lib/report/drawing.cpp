// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/drawing.h"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <utility>

namespace trueblank::report {
namespace {

/// The part [from, to] of 0..1 of p→q that lies in the box 0..size.
std::optional<std::pair<double, double>> part_inside(const PagePoint& p, const PagePoint& q,
                                                     const PagePoint& size) {
  double from = 0;
  double to = 1;
  for (int k = 0; k < 2; ++k) {
    const double way = q[k] - p[k];
    if (way == 0) {
      if (p[k] < 0 || p[k] > size[k]) return {};
      continue;
    }
    const auto [enter, leave] = std::minmax({-p[k] / way, (size[k] - p[k]) / way});
    from = std::max(from, enter);
    to = std::min(to, leave);
  }
  if (!(from < to)) return {};
  return std::pair(from, to);
}

/// What of a stroke lies in the box 0..size, in as many pieces as it takes.
std::vector<Stroke> pieces_inside(const Stroke& stroke, const PagePoint& size) {
  std::vector<PagePoint> points = stroke.points;
  if (stroke.closed && !points.empty()) points.push_back(points.front());
  std::vector<Stroke> pieces;
  bool goes_on = false;
  bool whole = true;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const PagePoint way = points[i + 1] - points[i];
    const auto part = part_inside(points[i], points[i + 1], size);
    if (!part && way.squaredNorm() == 0) continue;
    whole = whole && part && part->first == 0 && part->second == 1;
    if (!part) {
      goes_on = false;
      continue;
    }
    if (!goes_on || part->first > 0) {
      pieces.push_back({.line = stroke.line, .points = {points[i] + part->first * way}});
    }
    pieces.back().points.push_back(part->second < 1 ? PagePoint(points[i] + part->second * way)
                                                    : points[i + 1]);
    goes_on = part->second == 1;
  }
  if (whole && !pieces.empty()) return {stroke};
  return pieces;
}

}  // namespace

const std::array<LineStyle, 6>& line_styles() {
  static constexpr std::array<LineStyle, 6> styles = {{{"cut", 0.3, {}, 0},
                                                       {"edge", 0.15, {}, 0},
                                                       {"mark", 0.1, {}, 0.45},
                                                       {"axis", 0.1, {5, 1, 1, 1}, 0.3},
                                                       {"seam", 0.15, {2, 2, 2, 2}, 0.3},
                                                       {"bar", 1.2, {}, 0}}};
  return styles;
}

const LineStyle& style_of(Line line) { return line_styles()[static_cast<std::size_t>(line)]; }

double words_width_mm(std::string_view text, double size_mm) {
  // Helvetica's own advances, from memory: figures 0.556 of the size, point, comma and space 0.278.
  double ems = 0;
  for (const char c : text) {
    if ((static_cast<unsigned char>(c) & 0xC0U) == 0x80U) continue;  // UTF-8's later bytes
    ems += c == '.' || c == ',' || c == ' ' ? 0.278 : 0.556;
  }
  return ems * size_mm;
}

Sketch clipped(const Sketch& sketch, const PagePoint& upper_left, const PagePoint& size,
               const PagePoint& to) {
  Sketch inside;
  for (Stroke stroke : sketch.strokes) {
    for (PagePoint& p : stroke.points) p -= upper_left;
    for (Stroke& piece : pieces_inside(stroke, size)) {
      for (PagePoint& p : piece.points) p += to;
      inside.strokes.push_back(std::move(piece));
    }
  }
  for (Words words : sketch.words) {
    words.at -= upper_left;
    if ((words.at.array() < 0).any() || (words.at.array() > size.array()).any()) continue;
    words.at += to;
    inside.words.push_back(std::move(words));
  }
  return inside;
}

void append(const Sketch& more, Sketch& sketch) {
  sketch.strokes.insert(sketch.strokes.end(), more.strokes.begin(), more.strokes.end());
  sketch.words.insert(sketch.words.end(), more.words.begin(), more.words.end());
}

}  // namespace trueblank::report
