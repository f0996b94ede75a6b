// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

// Inside the room: from a drawing's lines and curves to polygons.
namespace trueblank::intake {

using Point2 = Eigen::Vector2d;

/// p -> turn·p + shift, of a drawing's plane.
struct PlaneMap {
  Eigen::Matrix2d turn = Eigen::Matrix2d::Identity();
  Point2 shift = Point2::Zero();

  [[nodiscard]] Point2 operator()(const Point2& p) const { return turn * p + shift; }

  /// First `inner`, then this.
  [[nodiscard]] PlaneMap after(const PlaneMap& inner) const {
    return {turn * inner.turn, turn * inner.shift + shift};
  }
};

/// The numbers of an attribute, apart by blanks, a comma, or nothing where it is clear without.
class SvgNumbers {
 public:
  explicit SvgNumbers(std::string_view text) : text_(text) {}

  void skip_separators();

  [[nodiscard]] bool at_end() const { return text_.empty(); }

  [[nodiscard]] std::string_view rest() const { return text_; }

  [[nodiscard]] char peek() const { return text_.empty() ? '\0' : text_.front(); }

  void step() { text_.remove_prefix(1); }

  /// Nothing where none begins here, or one beyond what a double holds.
  [[nodiscard]] std::optional<double> number();
  /// A single 0 or 1.
  [[nodiscard]] std::optional<double> flag();

 private:
  std::string_view text_;
};

/// The greatest of the outlines that were given to it, and how many there were.
class GreatestOutline {
 public:
  explicit GreatestOutline(const std::string& name) : name_(name) {}

  /// A polygon of a drawing, mm; its end joins its beginning.
  /// throws  InputError: over a million corners in all
  void take(const std::vector<Point2>& corners);

  [[nodiscard]] const std::vector<Point2>& corners() const { return best_; }

  [[nodiscard]] double area_mm2() const { return area_mm2_; }

  [[nodiscard]] int outlines() const { return outlines_; }

  [[nodiscard]] const std::string& name() const { return name_; }

 private:
  const std::string& name_;
  std::vector<Point2> best_;
  double area_mm2_ = 0;
  std::size_t corners_ = 0;
  int outlines_ = 0;
};

/// Draws lines and curves that are given in a shape's own axes, flattened after the map to mm.
class SvgPen {
 public:
  SvgPen(const PlaneMap& to_mm, GreatestOutline& greatest) : to_mm_(to_mm), greatest_(greatest) {}

  void move(const Point2& to);
  void line(const Point2& to);
  void cubic(const Point2& a, const Point2& b, const Point2& to);
  void quadratic(const Point2& a, const Point2& to);
  /// Around `middle`, from one angle on by another (radians), on an ellipse that is turned.
  void turn(const Point2& middle, const Eigen::Matrix2d& axes, double from, double by);
  /// Ends the outline that was begun.
  void finish();

  [[nodiscard]] const Point2& at() const { return at_; }

 private:
  void put(const Point2& mapped_mm);

  PlaneMap to_mm_;
  GreatestOutline& greatest_;
  Point2 at_ = Point2::Zero();
  std::vector<Point2> corners_;
};

/// Draws a path's data. Whether all of it could be read.
[[nodiscard]] bool draw_path(std::string_view data, SvgPen& pen);

}  // namespace trueblank::intake
