// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/svg_outline.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "intake/files.h"
#include "intake/messages.h"
#include "intake/svg_path.h"
#include "intake/xml_tags.h"

namespace trueblank::intake {
namespace {

constexpr std::size_t most_bytes = std::size_t{16} << 20;
constexpr std::size_t deepest = 256;  // groups in groups
constexpr double mm_per_pixel = 25.4 / 96;

struct LengthUnit {
  std::string_view name;
  double pixels;
  bool physical;
};

constexpr std::array<LengthUnit, 7> length_units{{{"", 1, false},
                                                  {"px", 1, false},
                                                  {"mm", 96 / 25.4, true},
                                                  {"cm", 960 / 25.4, true},
                                                  {"in", 96, true},
                                                  {"pt", 96 / 72.0, true},
                                                  {"pc", 16, true}}};

// Things that hold shapes without drawing them.
constexpr std::array<std::string_view, 8> not_drawn{
    "defs", "symbol", "clipPath", "mask", "pattern", "marker", "metadata", "foreignObject"};

struct ReadLength {
  double pixels = 0;
  bool physical = false;
};

/// Nothing where there is none, or one that depends on what is around (%, em).
std::optional<ReadLength> length_of(const XmlTags::Tag& tag, std::string_view name) {
  const std::optional<std::string_view> text = tag.attribute(name);
  if (!text) return {};
  SvgNumbers numbers(*text);
  const std::optional<double> value = numbers.number();
  if (!value) return {};
  std::string_view unit = numbers.rest();
  unit = unit.substr(0, unit.find_last_not_of(" \t\r\n") + 1);
  const auto found = std::ranges::find(length_units, unit, &LengthUnit::name);
  if (found == length_units.end()) return {};
  return ReadLength{*value * found->pixels, found->physical};
}

std::optional<std::array<double, 4>> view_box(const XmlTags::Tag& svg) {
  const std::optional<std::string_view> text = svg.attribute("viewBox");
  if (!text) return {};
  SvgNumbers numbers(*text);
  std::array<double, 4> box{};
  for (double& value : box) {
    const std::optional<double> read = numbers.number();
    if (!read) return {};
    value = *read;
  }
  if (!(box[2] > 0 && box[3] > 0)) return {};
  return box;
}

struct Canvas {
  PlaneMap to_mm;  // y turned up
  bool sized = false;
};

// The drawing's place on the page doesn't matter, its scale does.
Canvas canvas_of(const XmlTags::Tag& svg) {
  Eigen::Vector2d scale(1, 1);
  bool sized = false;
  const std::optional<std::array<double, 4>> box = view_box(svg);
  const std::optional<ReadLength> width = length_of(svg, "width");
  const std::optional<ReadLength> height = length_of(svg, "height");
  const bool wide = box && width && width->pixels > 0;
  const bool high = box && height && height->pixels > 0;
  if (wide) scale.setConstant(width->pixels / (*box)[2]);
  if (high) scale.y() = height->pixels / (*box)[3];
  if (high && !wide) scale.x() = scale.y();
  // As a rule a drawing is fitted in whole, alike along and across.
  if (svg.attribute("preserveAspectRatio").value_or("") != "none") {
    scale.setConstant(scale.minCoeff());
  }
  sized = (wide && width->physical) || (high && height->physical);
  Canvas canvas;
  canvas.to_mm.turn = (scale.cwiseProduct(Eigen::Vector2d(1, -1)) * mm_per_pixel).asDiagonal();
  canvas.sized = sized;
  return canvas;
}

PlaneMap map_of(double a, double b, double c, double d, double e, double f) {
  PlaneMap map;
  map.turn << a, c, b, d;
  map.shift = {e, f};
  return map;
}

/// One item of a transform; nothing where it has a wrong name or a wrong count of numbers.
std::optional<PlaneMap> map_named(std::string_view name, const std::vector<double>& n) {
  constexpr double degree = std::numbers::pi / 180;
  if (name == "matrix" && n.size() == 6) return map_of(n[0], n[1], n[2], n[3], n[4], n[5]);
  if (name == "translate" && (n.size() == 1 || n.size() == 2)) {
    return map_of(1, 0, 0, 1, n[0], n.size() == 2 ? n[1] : 0);
  }
  if (name == "scale" && (n.size() == 1 || n.size() == 2)) {
    return map_of(n[0], 0, 0, n.back(), 0, 0);
  }
  if (name == "rotate" && (n.size() == 1 || n.size() == 3)) {
    const double cosine = std::cos(n[0] * degree);
    const double sine = std::sin(n[0] * degree);
    PlaneMap map = map_of(cosine, sine, -sine, cosine, 0, 0);
    const Point2 about = n.size() == 3 ? Point2(n[1], n[2]) : Point2(0, 0);
    map.shift = about - map.turn * about;
    return map;
  }
  if (name == "skewX" && n.size() == 1) return map_of(1, 0, std::tan(n[0] * degree), 1, 0, 0);
  if (name == "skewY" && n.size() == 1) return map_of(1, std::tan(n[0] * degree), 0, 1, 0, 0);
  return {};
}

std::optional<PlaneMap> transform_of(std::string_view text) {
  PlaneMap all;
  SvgNumbers numbers(text);
  for (;;) {
    numbers.skip_separators();
    if (numbers.at_end()) return all;
    const std::string_view rest = numbers.rest();
    const std::size_t bracket = rest.find('(');
    if (bracket == std::string_view::npos) return {};
    const std::string_view name = rest.substr(0, std::min(rest.find_first_of(" \t\r\n"), bracket));
    while (numbers.peek() != '(') numbers.step();
    numbers.step();
    std::vector<double> values;
    while (const std::optional<double> value = numbers.number()) {
      values.push_back(*value);
      if (values.size() > 6) return {};
    }
    if (numbers.peek() != ')') return {};
    numbers.step();
    const std::optional<PlaneMap> map = map_named(name, values);
    if (!map) return {};
    all = all.after(*map);
  }
}

bool draw_corners(std::string_view points, SvgPen& pen) {
  SvgNumbers numbers(points);
  bool begun = false;
  while (const std::optional<double> x = numbers.number()) {
    const std::optional<double> y = numbers.number();
    if (!y) return false;
    begun ? pen.line({*x, *y}) : pen.move({*x, *y});
    begun = true;
  }
  pen.finish();
  return numbers.at_end();
}

void draw_ellipse(const Point2& middle, const Point2& radii, SvgPen& pen) {
  if (!(radii.minCoeff() > 0)) return;
  pen.move(middle + Point2(radii.x(), 0));
  pen.turn(middle, radii.asDiagonal(), 0, 2 * std::numbers::pi);
  pen.finish();
}

void draw_rectangle(const Point2& corner, const Point2& size, Point2 round, SvgPen& pen) {
  if (!(size.minCoeff() > 0)) return;
  round = round.cwiseMax(0).cwiseMin(size / 2);
  const Eigen::Matrix2d axes = round.asDiagonal();
  const std::array<Point2, 4> signs{{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}}};
  const Point2 middle = corner + size / 2;
  for (std::size_t i = 0; i < signs.size(); ++i) {
    const Point2 about = middle + signs[i].cwiseProduct(size / 2 - round);
    const double from = static_cast<double>(i) * std::numbers::pi / 2;
    const Point2 start = about + axes * Point2(std::cos(from), std::sin(from));
    i == 0 ? pen.move(start) : pen.line(start);
    pen.turn(about, axes, from, std::numbers::pi / 2);
  }
  pen.finish();
}

/// Whether what the shape says could be read; other tags draw nothing.
bool draw_shape(const XmlTags::Tag& tag, SvgPen& pen) {
  const auto value = [&](std::string_view name) {
    const std::optional<ReadLength> length = length_of(tag, name);
    return length ? length->pixels : 0;
  };
  if (tag.name == "path") return draw_path(tag.attribute("d").value_or(""), pen);
  if (tag.name == "polygon" || tag.name == "polyline") {
    return draw_corners(tag.attribute("points").value_or(""), pen);
  }
  if (tag.name == "circle") {
    draw_ellipse({value("cx"), value("cy")}, Point2::Constant(value("r")), pen);
  } else if (tag.name == "ellipse") {
    draw_ellipse({value("cx"), value("cy")}, {value("rx"), value("ry")}, pen);
  } else if (tag.name == "rect") {
    const double rx = value(length_of(tag, "rx") ? "rx" : "ry");
    const double ry = value(length_of(tag, "ry") ? "ry" : "rx");
    draw_rectangle({value("x"), value("y")}, {value("width"), value("height")}, {rx, ry}, pen);
  }
  return true;
}

bool hidden(const XmlTags::Tag& tag) {
  if (std::ranges::find(not_drawn, tag.name) != not_drawn.end()) return true;
  if (tag.attribute("display").value_or("") == "none") return true;
  const std::string_view style = tag.attribute("style").value_or("");
  return style.find("display:none") != std::string_view::npos ||
         style.find("display: none") != std::string_view::npos;
}

/// Walks over a drawing's tags, with the maps of the groups around.
class DrawingReader {
 public:
  DrawingReader(std::string_view text, const std::string& name)
      : tags_(text), name_(name), greatest_(name) {}

  SvgOutline read() {
    const std::optional<XmlTags::Tag> root = tags_.next();
    if (!root || root->name != "svg" || root->kind == XmlTags::Kind::close) throw not_svg(name_);
    const Canvas canvas = canvas_of(*root);
    maps_.push_back(canvas.to_mm);
    while (const std::optional<XmlTags::Tag> tag = tags_.next()) take(*tag);
    const bool open = !maps_.empty() && root->kind != XmlTags::Kind::alone;
    if (tags_.broken() || open) throw svg_cut_short(name_);
    if (greatest_.outlines() == 0) throw svg_without_outline(name_);
    SvgOutline outline;
    outline.points_mm.resize(2, static_cast<Eigen::Index>(greatest_.corners().size()));
    Eigen::Index column = 0;
    for (const Point2& corner : greatest_.corners()) outline.points_mm.col(column++) = corner;
    outline.area_mm2 = greatest_.area_mm2();
    outline.outlines = greatest_.outlines();
    outline.sized = canvas.sized;
    return outline;
  }

 private:
  void take(const XmlTags::Tag& tag) {
    if (maps_.empty()) return;  // after the end of the drawing
    if (tag.kind == XmlTags::Kind::close) {
      if (maps_.size() == hidden_from_) hidden_from_ = 0;
      maps_.pop_back();
      return;
    }
    const bool drawn = hidden_from_ == 0 && !hidden(tag);
    PlaneMap map = maps_.back();
    if (drawn) {
      if (const std::optional<std::string_view> text = tag.attribute("transform")) {
        const std::optional<PlaneMap> own = transform_of(*text);
        if (!own) throw svg_transform_broken(name_);
        map = map.after(*own);
      }
      SvgPen pen(map, greatest_);
      if (!draw_shape(tag, pen)) throw svg_shape_broken(name_, tag.name);
    }
    if (tag.kind == XmlTags::Kind::alone) return;
    if (maps_.size() == deepest) throw svg_too_deep(name_);
    maps_.push_back(map);
    if (!drawn && hidden_from_ == 0) hidden_from_ = maps_.size();
  }

  XmlTags tags_;
  const std::string& name_;
  GreatestOutline greatest_;
  std::vector<PlaneMap> maps_;
  std::size_t hidden_from_ = 0;  // how deep we were where drawing stopped; 0 where it goes on
};

}  // namespace

SvgOutline parse_svg_outline(std::string_view text, const std::string& name) {
  if (text.size() > most_bytes) throw svg_too_big(name);
  return DrawingReader(text, name).read();
}

SvgOutline read_svg_outline(const std::string& path) {
  return parse_svg_outline(read_file(path), path);
}

}  // namespace trueblank::intake
