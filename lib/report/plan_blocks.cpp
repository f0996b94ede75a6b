// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/plan_blocks.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <numbers>
#include <utility>

#include "report/ballast_words.h"
#include "report/layout.h"
#include "report/numbers.h"
#include "tuning/hole.h"

namespace trueblank::report {
namespace {

using geometry::Vec3;

// Paper round an outline: the long axis sticks out of it, and labels stand there.
constexpr double beside_mm = 16;
constexpr double axis_out_mm = 6;
constexpr double around_mm = 3;   // over and under all
constexpr double name_mm = 5;     // what the view is called, in its first line
constexpr double label_mm = 2.6;  // how high its letters are
constexpr double label_row_mm = 4;
constexpr double label_out_mm = 4;  // from the outline to the nearest row
constexpr double hatch_mm = 1;
constexpr double centre_mm = 1.5;
constexpr int circle_corners = 48;

std::string figure(double mm) { return fixed(mm, 1); }

Words centred(const PagePoint& at, double size_mm, std::string text) {
  const double half = words_width_mm(text, size_mm) / 2;
  return {.at = at - PagePoint(half, 0), .size_mm = size_mm, .text = std::move(text)};
}

/// A view along one axis of the body frame, put onto paper.
struct View {
  int up = 2;      ///< which coordinate goes up: z from the side, y from above
  int toward = 1;  ///< which one goes into the paper
  PagePoint origin_mm = PagePoint::Zero();

  [[nodiscard]] PagePoint operator()(const Vec3& p) const {
    return {origin_mm.x() + p.x(), origin_mm.y() - p[up]};
  }

  /// A direction in the body frame, on paper.
  [[nodiscard]] PagePoint way(const Vec3& v) const { return {v.x(), -v[up]}; }
};

/// A number at a hole's start, with its station.
struct Label {
  PagePoint from = PagePoint::Zero();  ///< on the skin
  bool above = false;                  ///< over the outline, or under it
  std::string text = {};
};

std::vector<PagePoint> circle(const PagePoint& middle, double diameter_mm) {
  std::vector<PagePoint> points;
  for (int i = 0; i < circle_corners; ++i) {
    const double turn = 2 * std::numbers::pi * i / circle_corners;
    points.push_back(middle + diameter_mm / 2 * PagePoint(std::cos(turn), std::sin(turn)));
  }
  return points;
}

void add_cross(const PagePoint& middle, Sketch& sketch) {
  for (const PagePoint& arm : {PagePoint(centre_mm, 0), PagePoint(0, centre_mm)}) {
    sketch.strokes.push_back({.line = Line::edge, .points = {middle - arm, middle + arm}});
  }
}

/// A cylinder seen from the side: a rectangle about its axis.
struct Tube {
  PagePoint from = PagePoint::Zero();
  PagePoint way = PagePoint::UnitX();  ///< unit
  double diameter_mm = 0;

  [[nodiscard]] PagePoint at(double along_mm, double across) const {
    return from + along_mm * way + across * diameter_mm / 2 * PagePoint(-way.y(), way.x());
  }

  [[nodiscard]] std::vector<PagePoint> piece(double begin_mm, double end_mm) const {
    return {at(begin_mm, -1), at(end_mm, -1), at(end_mm, 1), at(begin_mm, 1)};
  }
};

void add_hatch(const Tube& tube, double begin_mm, double end_mm, Sketch& sketch) {
  const int lines = static_cast<int>((end_mm - begin_mm) / hatch_mm);
  for (int i = 1; i <= lines; ++i) {
    const double along = begin_mm + i * (end_mm - begin_mm) / (lines + 1);
    sketch.strokes.push_back(
        {.line = Line::mark, .points = {tube.at(along, -1), tube.at(along, 1)}});
  }
}

/// A round thing seen along its axis: hatched across.
void add_round(const PagePoint& middle, double diameter_mm, Sketch& sketch) {
  sketch.strokes.push_back(
      {.line = Line::edge, .points = circle(middle, diameter_mm), .closed = true});
  const int lines = static_cast<int>(diameter_mm / hatch_mm);
  for (int i = 1; i <= lines; ++i) {
    const double off = diameter_mm * (static_cast<double>(i) / (lines + 1) - 0.5);
    const double half = std::sqrt(std::max(0.0, diameter_mm * diameter_mm / 4 - off * off));
    sketch.strokes.push_back(
        {.line = Line::mark,
         .points = {middle + PagePoint(-half, off), middle + PagePoint(half, off)}});
  }
}

void add_slug(const tuning::Slug& slug, const View& view, Sketch& sketch) {
  const PagePoint middle = view(slug.at_mm);
  const double length = slug.length_mm();
  if (slug.ball() || std::abs(slug.axis[view.toward]) > 0.5) {
    add_round(middle, slug.ball() ? length : slug.diameter_mm, sketch);
  } else {
    const Tube tube{.from = view(slug.at_mm - length / 2 * slug.axis),
                    .way = view.way(slug.axis),
                    .diameter_mm = slug.diameter_mm};
    sketch.strokes.push_back({.line = Line::edge, .points = tube.piece(0, length), .closed = true});
    add_hatch(tube, 0, length, sketch);
  }
  add_cross(middle, sketch);
}

/// The empty part of a hole, from the skin to its weight.
void add_channel(const tuning::DrillPlan& hole, const View& view, Sketch& sketch) {
  if (std::abs(hole.direction[view.toward]) > 0.5) return;
  const Tube tube{.from = view(hole.start_mm),
                  .way = view.way(hole.direction),
                  .diameter_mm = hole.diameter_mm};
  const double end = hole.depth_mm - hole.length_mm;
  for (const double side : {-1.0, 1.0}) {
    sketch.strokes.push_back(
        {.line = Line::edge, .points = {tube.at(0, side), tube.at(end, side)}});
  }
  sketch.strokes.push_back(
      {.line = Line::axis, .points = {tube.at(-axis_out_mm / 2, 0), tube.at(hole.depth_mm, 0)}});
}

void add_wire(const rig::Wire& wire, const View& view, Sketch& sketch) {
  for (std::size_t i = 0; i + 1 < wire.path_mm.size(); ++i) {
    const PagePoint from = view(wire.path_mm[i]);
    const PagePoint way = view(wire.path_mm[i + 1]) - from;
    const double length = way.norm();
    if (!(length > 0)) continue;
    const Tube tube{.from = from, .way = way / length, .diameter_mm = wire.diameter_mm};
    for (const double side : {-1.0, 1.0}) {
      sketch.strokes.push_back(
          {.line = Line::edge, .points = {tube.at(0, side), tube.at(length, side)}});
    }
  }
}

/// Where the numbers go: on the side of the hole's mouth, an end's to the top.
Label label_of(const BallastResult& result, std::size_t i, const View& view) {
  const rig::Ballast& ballast = result.found.plan.weights[i].ballast;
  const std::optional<tuning::DrillPlan>& hole = result.holes[i];
  const Vec3 from = hole ? hole->start_mm : ballast.at_mm;
  const Vec3 out = hole ? Vec3(-hole->direction) : Vec3(0, 0, -1);
  return {.from = view(from),
          .above = out[view.up] >= 0,
          .text = std::to_string(i + 1) + ": " + figure(from.x())};
}

/// Labels of one side, each with the row in which it touches no other; row 0 is the nearest.
struct Rows {
  std::vector<std::pair<Label, int>> labels = {};
  int count = 0;

  [[nodiscard]] double height_mm() const {
    return count == 0 ? 0 : label_out_mm + label_row_mm * count;
  }
};

Rows rows_of(std::vector<Label> labels, bool above) {
  std::erase_if(labels, [&](const Label& one) { return one.above != above; });
  std::ranges::stable_sort(labels, {}, [](const Label& one) { return one.from.x(); });
  Rows rows;
  std::vector<double> ends;  // of each row
  for (const Label& label : labels) {
    const double half = words_width_mm(label.text, label_mm) / 2 + 1;
    std::size_t row = 0;
    while (row < ends.size() && ends[row] > label.from.x() - half) ++row;
    if (row == ends.size()) ends.push_back(0);
    ends[row] = label.from.x() + half;
    rows.labels.emplace_back(label, static_cast<int>(row));
  }
  rows.count = static_cast<int>(ends.size());
  return rows;
}

/// edge_mm  of the outline, down the page
void add_labels(const Rows& rows, double edge_mm, const PagePoint& move, Sketch& sketch) {
  for (const auto& [label, row] : rows.labels) {
    const double out = label_out_mm + label_row_mm * row;
    const PagePoint from = label.from + move;
    const PagePoint foot(from.x(), label.above ? edge_mm - out : edge_mm + out);
    sketch.strokes.push_back({.line = Line::mark, .points = {from, foot}});
    sketch.words.push_back(
        centred(foot + PagePoint(0, label.above ? -0.7 : label_mm), label_mm, label.text));
  }
}

/// From the cut end: eyes below, bends above.
std::vector<Label> wire_labels(const tuning::BendPlan& wire) {
  std::vector<Label> labels;
  const auto add = [&](double along_mm, bool above, const std::string& text) {
    labels.push_back({.from = {along_mm, 0}, .above = above, .text = text});
  };
  add(0, false, "0");
  add(wire.eye_mm, false, "eye " + figure(wire.eye_mm));
  add(wire.cut_mm - wire.eye_mm, false, "eye " + figure(wire.cut_mm - wire.eye_mm));
  add(wire.cut_mm, false, figure(wire.cut_mm));
  for (const tuning::BendPlan::Bend& bend : wire.bends) {
    const double along_mm = wire.eye_mm + bend.from_start_mm;
    const bool turned = std::abs(bend.twist_deg) > 0.5;
    add(along_mm, true,
        figure(along_mm) + ", " + fixed(bend.angle_deg, 1) + "°" +
            (turned ? ", twist " + fixed(bend.twist_deg, 0) + "°" : ""));
  }
  return labels;
}

struct Extent {
  symmetry::Point2 low = symmetry::Point2::Constant(std::numeric_limits<double>::infinity());
  symmetry::Point2 high = -low;

  void take(const symmetry::Point2& p) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
};

struct Look {
  std::string name;
  std::string above, below;  ///< what lies there
  int up = 2;
};

void add_names(const Look& look, const View& view, const Extent& all, Block& block) {
  Sketch& sketch = block.sketch;
  sketch.words.push_back({.at = {0, label_mm + 0.8}, .size_mm = 3.4, .text = look.name});
  const double axis = view.origin_mm.y();
  const double tail = view.origin_mm.x() + all.high.x();
  sketch.words.push_back({.at = {0, axis - 1.2}, .size_mm = label_mm, .text = "nose"});
  sketch.words.push_back(
      {.at = {tail + axis_out_mm + 1, axis + 0.9}, .size_mm = label_mm, .text = "tail"});
  sketch.words.push_back({.at = {0, axis - 7}, .size_mm = label_mm, .text = look.above});
  sketch.words.push_back({.at = {0, axis + 9}, .size_mm = label_mm, .text = look.below});
  sketch.strokes.push_back({.line = Line::axis,
                            .points = {{view.origin_mm.x() + all.low.x() - axis_out_mm, axis},
                                       {tail + axis_out_mm, axis}}});
}

Block plan_view(const PlanSheet& sheet, const Look& look,
                const std::vector<symmetry::Point2>& outline) {
  Block block{.name = look.name};
  if (outline.size() < 2) return block;
  const BallastResult& result = sheet.result;
  Extent skin;
  for (const symmetry::Point2& p : outline) skin.take(p);
  Extent all = skin;  // wires stick out
  for (const rig::Wire& wire : result.found.plan.rig.wires) {
    for (const Vec3& p : wire.path_mm) all.take({p.x(), p[look.up]});
  }
  View view{.up = look.up, .toward = 3 - look.up};
  std::vector<Label> labels;  // where the nose is the origin
  for (std::size_t i = 0; i < result.found.plan.weights.size(); ++i) {
    labels.push_back(label_of(result, i, view));
  }
  const Rows above = rows_of(labels, true);
  const Rows below = rows_of(labels, false);
  const double over_mm = name_mm + above.height_mm() + around_mm;
  view.origin_mm = {beside_mm - all.low.x(), over_mm + all.high.y()};
  block.size_mm = {all.high.x() - all.low.x() + 2 * beside_mm,
                   over_mm + all.high.y() - all.low.y() + below.height_mm() + around_mm};
  Sketch& sketch = block.sketch;
  std::vector<PagePoint> drawn;
  for (const symmetry::Point2& p : outline) {
    drawn.emplace_back(view.origin_mm.x() + p.x(), view.origin_mm.y() - p.y());
  }
  sketch.strokes.push_back({.line = Line::cut, .points = std::move(drawn), .closed = true});
  add_names(look, view, all, block);
  for (const rig::Wire& wire : result.found.plan.rig.wires) add_wire(wire, view, sketch);
  for (const rig::Ballast& weight : result.found.plan.rig.ballasts) {
    add_slug(tuning::slug_of(weight), view, sketch);
  }
  for (const rig::Hook& hook : result.found.plan.rig.hooks) {
    sketch.strokes.push_back(
        {.line = Line::edge, .points = circle(view(hook.eye_mm), 2), .closed = true});
  }
  for (const std::optional<tuning::DrillPlan>& hole : result.holes) {
    if (hole) add_channel(*hole, view, sketch);
  }
  add_labels(above, view.origin_mm.y() - skin.high.y(), view.origin_mm, sketch);
  add_labels(below, view.origin_mm.y() - skin.low.y(), view.origin_mm, sketch);
  return block;
}

}  // namespace

Block plan_side_view(const PlanSheet& sheet) {
  return plan_view(sheet, {"From the side", "back", "belly", 2}, sheet.profiles.side_mm);
}

Block plan_top_view(const PlanSheet& sheet) {
  std::vector<symmetry::Point2> outline;
  const std::vector<symmetry::Point2>& half = sheet.profiles.top_mm;
  outline.reserve(2 * half.size());
  for (const symmetry::Point2& p : half) outline.emplace_back(p.x(), -p.y());
  outline.insert(outline.end(), half.rbegin(), half.rend());
  return plan_view(sheet, {"From above", "right", "left", 1}, outline);
}

Block straight_wire(const tuning::BendPlan& wire, double width_mm) {
  constexpr double side_mm = 12;  // room for half a label
  const double longest_mm = width_mm - 2 * side_mm;
  const int pieces = std::max(1, static_cast<int>(std::ceil(wire.cut_mm / longest_mm)));
  Block block{.name = shown(wire.name) + ", straight"};
  Sketch& sketch = block.sketch;
  sketch.words.push_back(
      {.at = {0, label_mm + 0.8},
       .size_mm = 3.4,
       .text = shown(wire.name) + ", straight: cut " + figure(wire.cut_mm) + " mm of " +
               figure(wire.diameter_mm) + " mm" +
               (pieces > 1 ? "; drawn in " + std::to_string(pieces) + " rows" : "")});
  const std::vector<Label> labels = wire_labels(wire);
  double down = name_mm;
  for (int i = 0; i < pieces; ++i) {
    const double begin = i * longest_mm;
    const double end = std::min(wire.cut_mm, begin + longest_mm);
    std::vector<Label> here;
    std::ranges::copy_if(labels, std::back_inserter(here), [&](const Label& one) {
      return one.from.x() >= begin && (one.from.x() < end || i + 1 == pieces);
    });
    const Rows above = rows_of(here, true);
    const Rows below = rows_of(here, false);
    down += above.height_mm() + wire.diameter_mm + around_mm;
    const Tube tube{.from = {side_mm, down}, .way = {1, 0}, .diameter_mm = wire.diameter_mm};
    for (const double side : {-1.0, 1.0}) {
      sketch.strokes.push_back(
          {.line = Line::edge, .points = {tube.at(0, side), tube.at(end - begin, side)}});
    }
    const auto end_line = [&](double along_mm) {
      sketch.strokes.push_back(
          {.line = Line::edge, .points = {tube.at(along_mm, -1), tube.at(along_mm, 1)}});
    };
    if (i == 0) end_line(0);
    if (i + 1 == pieces) end_line(end - begin);
    add_labels(above, down, {side_mm - begin, down}, sketch);
    add_labels(below, down, {side_mm - begin, down}, sketch);
    down += below.height_mm() + around_mm;
  }
  block.size_mm = {std::min(width_mm, wire.cut_mm + 2 * side_mm), down};
  return block;
}

Block text_block(const std::string& heading, const std::vector<std::string>& lines,
                 double width_mm) {
  constexpr double size_mm = 2.8;
  constexpr double line_mm = 4;
  Block block{.name = heading};
  double down = 0;
  const auto add = [&](std::string text, double size) {
    down += line_mm;
    block.sketch.words.push_back({.at = {0, down - 0.8}, .size_mm = size, .text = std::move(text)});
  };
  if (!heading.empty()) add(heading, 3.4);
  for (const std::string& line : lines) {
    std::string so_far;
    for (std::size_t from = 0; from < line.size();) {
      const std::size_t to = std::min(line.find(' ', from), line.size());
      const std::string word = line.substr(from, to - from);
      const std::string longer = so_far.empty() ? word : so_far + ' ' + word;
      if (!so_far.empty() && words_width_mm(longer, size_mm) > width_mm) {
        add(std::exchange(so_far, "    " + word), size_mm);
      } else {
        so_far = longer;
      }
      from = to + 1;
    }
    if (!so_far.empty()) add(std::move(so_far), size_mm);
  }
  block.size_mm = {width_mm, down};
  return block;
}

}  // namespace trueblank::report
