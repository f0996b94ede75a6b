// SPDX-License-Identifier: GPL-3.0-or-later
// W3C Recommendation "Scalable Vector Graphics (SVG) 1.1 (Second Edition)", 2011, chapter 8 and
// appendix F.6.
#include "intake/svg_path.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

#include "intake/messages.h"
#include "intake/svg_outline.h"

namespace trueblank::intake {
namespace {

constexpr std::size_t most_corners = 1'000'000;
constexpr double most_pieces = 1000;        // of a curve
constexpr double beyond_any_lure_mm = 1e6;  // and where doubles still keep the flattening

bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

double cross(const Point2& a, const Point2& b) { return a.x() * b.y() - a.y() * b.x(); }

}  // namespace

void SvgNumbers::skip_separators() {
  const std::size_t kept = text_.find_first_not_of(" \t\r\n,");
  text_.remove_prefix(std::min(kept, text_.size()));
}

std::optional<double> SvgNumbers::number() {
  skip_separators();
  std::string_view digits = text_;
  if (digits.starts_with('+')) digits.remove_prefix(1);
  const std::size_t sign = digits.starts_with('-') && digits.size() == text_.size() ? 1 : 0;
  // from_chars reads words such as "inf" too.
  if (digits.size() <= sign || !(is_digit(digits[sign]) || digits[sign] == '.')) return {};
  double value = 0;
  const char* const end = digits.data() + digits.size();
  const auto [next, error] = std::from_chars(digits.data(), end, value);
  if (error != std::errc()) return {};
  text_ = std::string_view(next, static_cast<std::size_t>(end - next));
  return value;
}

std::optional<double> SvgNumbers::flag() {
  skip_separators();
  if (peek() != '0' && peek() != '1') return {};
  const double value = peek() - '0';
  step();
  return value;
}

void GreatestOutline::take(const std::vector<Point2>& corners) {
  corners_ += corners.size();
  if (corners_ > most_corners) throw svg_too_long(name_);
  double twice_mm2 = 0;
  for (std::size_t i = 2; i < corners.size(); ++i) {
    twice_mm2 += cross(corners[i - 1] - corners[0], corners[i] - corners[0]);
  }
  const double area_mm2 = std::abs(twice_mm2) / 2;
  if (!(area_mm2 > 0)) return;
  ++outlines_;
  if (area_mm2 <= area_mm2_) return;
  area_mm2_ = area_mm2;
  best_ = corners;
}

void SvgPen::put(const Point2& mapped_mm) {
  // Not "greater": what isn't a number is refused too.
  if (!(mapped_mm.cwiseAbs().maxCoeff() < beyond_any_lure_mm)) throw svg_too_far(greatest_.name());
  if (corners_.size() > most_corners) throw svg_too_long(greatest_.name());
  if (corners_.empty() || corners_.back() != mapped_mm) corners_.push_back(mapped_mm);
}

void SvgPen::move(const Point2& to) {
  finish();
  at_ = to;
}

void SvgPen::line(const Point2& to) {
  if (corners_.empty()) put(to_mm_(at_));
  put(to_mm_(to));
  at_ = to;
}

// A chord over 1/n of a cubic lies off it by at most its greatest second derivative / (8n²); that
// is 6 times the greater second difference of its four points.
void SvgPen::cubic(const Point2& a, const Point2& b, const Point2& to) {
  const Point2 p = to_mm_(at_);
  const Point2 q = to_mm_(a);
  const Point2 r = to_mm_(b);
  const Point2 s = to_mm_(to);
  if (corners_.empty()) put(p);
  const double bend = std::max((p - 2 * q + r).norm(), (q - 2 * r + s).norm());
  const double wanted = std::sqrt(0.75 * bend / svg_flattening_mm);
  const int pieces = wanted < most_pieces ? std::max(1, static_cast<int>(std::ceil(wanted)))
                                          : static_cast<int>(most_pieces);
  for (int i = 1; i < pieces; ++i) {
    const double t = static_cast<double>(i) / pieces;
    const double u = 1 - t;
    put(u * u * u * p + 3 * u * u * t * q + 3 * u * t * t * r + t * t * t * s);
  }
  put(s);
  at_ = to;
}

void SvgPen::quadratic(const Point2& a, const Point2& to) {
  cubic(at_ + (a - at_) * (2.0 / 3), to + (a - to) * (2.0 / 3), to);
}

// In cubics of 30° and less, which keep to the circle within 3e-7 of its radius.
void SvgPen::turn(const Point2& middle, const Eigen::Matrix2d& axes, double from, double by) {
  const int pieces =
      std::clamp(static_cast<int>(std::ceil(std::abs(by) * 6 / std::numbers::pi)), 1, 12);
  const double step = by / pieces;
  const double reach = 4.0 / 3 * std::tan(step / 4);
  for (int i = 0; i < pieces; ++i) {
    const double start = from + i * step;
    const double end = start + step;
    const Point2 begins(std::cos(start), std::sin(start));
    const Point2 ends(std::cos(end), std::sin(end));
    const Point2 out = begins + reach * Point2(-begins.y(), begins.x());
    const Point2 in = ends - reach * Point2(-ends.y(), ends.x());
    cubic(middle + axes * out, middle + axes * in, middle + axes * ends);
  }
}

void SvgPen::finish() {
  greatest_.take(corners_);
  corners_.clear();
}

namespace {

/// An arc as a path has it: radii, turn of the ellipse, which of the four.
struct Arc {
  Point2 radii;
  double turned_deg = 0;
  bool large = false;
  bool sweep = false;
  Point2 to;
};

// Appendix F.6.5 and F.6.6: the middle from both ends; radii that don't reach are made bigger.
void draw_arc(const Arc& arc, SvgPen& pen) {
  const Point2 from = pen.at();
  if (from == arc.to) return;
  Point2 radii = arc.radii.cwiseAbs();
  if (!(radii.minCoeff() > 0)) {
    pen.line(arc.to);
    return;
  }
  const double angle = arc.turned_deg * std::numbers::pi / 180;
  Eigen::Matrix2d turn;
  turn << std::cos(angle), -std::sin(angle), std::sin(angle), std::cos(angle);
  // In the ellipse's own axes, where it is the unit circle.
  const Point2 half = (turn.transpose() * (from - arc.to) / 2).cwiseQuotient(radii);
  const double apart = half.squaredNorm();
  if (apart > 1) radii *= std::sqrt(apart);
  const Point2 chord = apart > 1 ? Point2(half / std::sqrt(apart)) : half;
  const double off = std::sqrt(std::max(0.0, 1 / chord.squaredNorm() - 1));
  const double side = arc.large == arc.sweep ? -off : off;
  const Point2 middle = side * Point2(chord.y(), -chord.x());
  const Point2 begins = chord - middle;
  const Point2 ends = -chord - middle;
  double by = std::atan2(cross(begins, ends), begins.dot(ends));
  if (arc.sweep && by < 0) by += 2 * std::numbers::pi;
  if (!arc.sweep && by > 0) by -= 2 * std::numbers::pi;
  const Eigen::Matrix2d axes = turn * radii.asDiagonal();
  pen.turn((from + arc.to) / 2 + axes * middle, axes, std::atan2(begins.y(), begins.x()), by);
  pen.line(arc.to);
}

class PathReader {
 public:
  PathReader(std::string_view data, SvgPen& pen) : numbers_(data), pen_(pen) {}

  bool read() {
    char command = 0;
    for (;;) {
      numbers_.skip_separators();
      if (numbers_.at_end()) break;
      if (is_letter(numbers_.peek())) {
        command = numbers_.peek();
        numbers_.step();
      } else if (command == 0 || command == 'Z' || command == 'z') {
        return false;
      }
      if (before_ == 0 && command != 'M' && command != 'm') return false;
      if (!draw(command)) return false;
      before_ = upper(command);
      // More points after a move are lines.
      if (command == 'M') command = 'L';
      if (command == 'm') command = 'l';
    }
    pen_.finish();
    return true;
  }

 private:
  static char upper(char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; }

  bool draw(char command) {
    relative_ = command >= 'a';
    switch (upper(command)) {
      case 'M':
        return numbers(2) && move(point(0));
      case 'L':
        return numbers(2) && line(point(0));
      case 'H':
        return numbers(1) && line({(relative_ ? pen_.at().x() : 0) + values_[0], pen_.at().y()});
      case 'V':
        return numbers(1) && line({pen_.at().x(), (relative_ ? pen_.at().y() : 0) + values_[0]});
      case 'C':
        return numbers(6) && cubic(point(0), point(2), point(4));
      case 'S':
        return numbers(4) && cubic(reflected('C', 'S'), point(0), point(2));
      case 'Q':
        return numbers(4) && quadratic(point(0), point(2));
      case 'T':
        return numbers(2) && quadratic(reflected('Q', 'T'), point(0));
      case 'A':
        return arc();
      case 'Z':
        pen_.line(start_);
        pen_.move(start_);
        return true;
      default:
        return false;
    }
  }

  bool numbers(std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) {
      const std::optional<double> value = numbers_.number();
      if (!value) return false;
      values_[i] = *value;
    }
    return true;
  }

  [[nodiscard]] Point2 point(std::size_t i) const {
    const Point2 read(values_[i], values_[i + 1]);
    return relative_ ? Point2(pen_.at() + read) : read;
  }

  /// The control point of a curve that goes on smoothly from the one before.
  [[nodiscard]] Point2 reflected(char one, char other) const {
    return before_ == one || before_ == other ? Point2(2 * pen_.at() - control_) : pen_.at();
  }

  bool move(const Point2& to) {
    pen_.move(to);
    start_ = to;
    return true;
  }

  bool line(const Point2& to) {
    pen_.line(to);
    return true;
  }

  bool cubic(const Point2& a, const Point2& b, const Point2& to) {
    pen_.cubic(a, b, to);
    control_ = b;
    return true;
  }

  bool quadratic(const Point2& a, const Point2& to) {
    pen_.quadratic(a, to);
    control_ = a;
    return true;
  }

  bool arc() {
    if (!numbers(3)) return false;
    Arc arc{.radii = {values_[0], values_[1]}, .turned_deg = values_[2], .to = {}};
    const std::optional<double> large = numbers_.flag();
    const std::optional<double> sweep = large ? numbers_.flag() : std::nullopt;
    if (!sweep || !numbers(2)) return false;
    arc.large = *large != 0;
    arc.sweep = *sweep != 0;
    arc.to = point(0);
    draw_arc(arc, pen_);
    return true;
  }

  SvgNumbers numbers_;
  SvgPen& pen_;
  std::array<double, 6> values_{};
  bool relative_ = false;
  char before_ = 0;  // the last command, as a capital
  Point2 control_ = Point2::Zero();
  Point2 start_ = Point2::Zero();
};

}  // namespace

bool draw_path(std::string_view data, SvgPen& pen) { return PathReader(data, pen).read(); }

}  // namespace trueblank::intake
