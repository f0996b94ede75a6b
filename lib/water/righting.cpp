// SPDX-License-Identifier: GPL-3.0-or-later
// The slope over lists of the least energy over trims is the energy's own slope over lists there
// (the trim's slope is nil), and its second derivative the Schur complement of the two by two.
#include "water/righting.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "water/attitude.h"
#include "water/stationary.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double greatest_trim_rad = no_list_beyond_tail_down_deg * degree;
constexpr double first_step_rad = degree / 16;
constexpr double longest_step_rad = degree;
constexpr double least_step_rad = degree / 64;
constexpr double farthest_trim_rad = 3 * degree;   // from where the trim is expected
constexpr double steady_trim_rad = 0.25 * degree;  // likewise, where a step is short enough
constexpr double settled_rad = 1e-11;
constexpr double vanished_rad = 1e-7 * degree;
constexpr double half_turn_rad = std::numbers::pi;

// The valley's floor at one list.
struct Floor {
  double list_rad = 0;  // not brought back within half a turn
  double trim_rad = 0;  // tail down
  double energy_g_mm = 0;
  double moment_g_mm = 0;     // dE/dlist
  double stiffness_g_mm = 0;  // d²E/dlist², the trim following
  double trim_per_list = 0;
  Vec3 up = Vec3::UnitZ();
  std::optional<double> offset_mm;
  Vec3 offset_slope_mm = Vec3::Zero();
};

// The energy's derivatives over list and trim.
struct Derivatives {
  double over_list = 0;
  double over_trim = 0;
  double list_list = 0;
  double list_trim = 0;
  double trim_trim = 0;
};

class Valley {
 public:
  Valley(const Floater& lure, bool under_water)
      : lure_(&lure),
        under_water_(under_water),
        nil_(gradient_rounding_g_mm(lure)),
        nil_curvature_(curvature_rounding_g_mm(lure)) {}

  // The lowest trim that is come to downhill from a guess; nothing where that is far off. The
  // waterline is sought from that of another floor.
  [[nodiscard]] std::optional<Floor> floor(double list_rad, double guess_rad,
                                           const Floor& near) const {
    Floor here = near;
    here.list_rad = list_rad;
    here.trim_rad = guess_rad;
    double low = guess_rad - farthest_trim_rad;
    double high = guess_rad + farthest_trim_rad;
    for (int i = 0; i < 100; ++i) {
      const Derivatives d = derivatives(here);
      (d.over_trim > 0 ? high : low) = here.trim_rad;
      const double newton =
          d.trim_trim > 0 ? -d.over_trim / d.trim_trim : -std::copysign(HUGE_VAL, d.over_trim);
      double next = here.trim_rad + newton;
      if (!(next > low && next < high)) next = low + (high - low) / 2;
      const bool settled = std::abs(d.over_trim) <= nil_ || std::abs(newton) < settled_rad;
      if (!settled && high - low > settled_rad) {
        here.trim_rad = next;
        continue;
      }
      const bool edge = std::abs(here.trim_rad - guess_rad) > 0.99 * farthest_trim_rad;
      if (edge || d.trim_trim <= nil_curvature_) return {};
      if (std::abs(here.trim_rad) > greatest_trim_rad) return {};
      here.moment_g_mm = d.over_list;
      here.stiffness_g_mm = d.list_list - d.list_trim * d.list_trim / d.trim_trim;
      here.trim_per_list = -d.list_trim / d.trim_trim;
      return here;
    }
    return {};
  }

  [[nodiscard]] std::optional<Floor> next(const Floor& from, double list_rad) const {
    const double guess = from.trim_rad + from.trim_per_list * (list_rad - from.list_rad);
    return floor(list_rad, guess, from);
  }

 private:
  [[nodiscard]] Derivatives derivatives(Floor& at) const {
    const double cos_list = std::cos(at.list_rad);
    const double sin_list = std::sin(at.list_rad);
    const double cos_trim = std::cos(at.trim_rad);
    const double sin_trim = std::sin(at.trim_rad);
    const Vec3 up(-sin_trim, -cos_trim * sin_list, cos_trim * cos_list);
    const Vec3 to_list(0, -cos_trim * cos_list, -cos_trim * sin_list);
    const Vec3 to_trim(-cos_trim, sin_trim * sin_list, -sin_trim * cos_list);
    Waterline line;
    if (under_water_) {
      // E = D·(G − B)·up with all of the displacement D.
      line.gradient_g_mm = lure_->displacement_full_g() *
                           (lure_->centre_of_mass_mm - lure_->centre_of_full_buoyancy_mm());
      line.energy_g_mm = line.gradient_g_mm.dot(up);
      line.hessian_g_mm = -line.energy_g_mm * (Mat3::Identity() - up * up.transpose());
    } else {
      // What is left of the residual is carried by derivatives: its square is less than rounding.
      constexpr double residual = 1e-8;
      if (at.offset_mm) *at.offset_mm += at.offset_slope_mm.dot(up - at.up);
      line = waterline_at(*lure_, up, at.offset_mm, residual);
      at.up = up;
      at.offset_mm = line.offset_mm;
      at.offset_slope_mm = line.offset_slope_mm;
    }
    at.energy_g_mm = line.energy_g_mm;
    Derivatives d;
    d.over_list = line.gradient_g_mm.dot(to_list);
    d.over_trim = line.gradient_g_mm.dot(to_trim);
    // A circle of even trim is no straightest line, nor do those of even list run parallel: the
    // slopes come in with their bends.
    d.list_list = to_list.dot(line.hessian_g_mm * to_list) + sin_trim * cos_trim * d.over_trim;
    d.list_trim = to_list.dot(line.hessian_g_mm * to_trim) - sin_trim / cos_trim * d.over_list;
    d.trim_trim = to_trim.dot(line.hessian_g_mm * to_trim);
    return d;
  }

  const Floater* lure_;
  bool under_water_;
  double nil_;
  double nil_curvature_;
};

// A list brought within half a turn; exactly half a turn where it is, on the side it was come to.
double told_list_deg(double list_rad, double side) {
  const double list_deg = std::remainder(list_rad / degree, 360.0);
  if (180 - std::abs(list_deg) < vanished_rad / degree) return std::copysign(180.0, side);
  return list_deg;
}

// Points at all lists that are multiples of a step, those at half a turn both.
class Points {
 public:
  explicit Points(double step_deg)
      : count_(std::max(1, static_cast<int>(std::lround(360 / step_deg)))),
        points_(static_cast<std::size_t>(count_) + 1) {}

  [[nodiscard]] double step_rad() const { return 2 * half_turn_rad / count_; }

  void set(const Floor& floor, double mass_g) {
    const double steps = floor.list_rad / step_rad() + count_ / 2.0;
    if (std::abs(steps - std::round(steps)) > 1e-9) return;
    const int whole = static_cast<int>(std::lround(steps));
    const int i = whole > count_ ? whole - count_ : (whole < 0 ? whole + count_ : whole);
    std::optional<RightingPoint>& point = points_[static_cast<std::size_t>(i)];
    if (point) return;
    point = RightingPoint{-180 + 360.0 * i / count_, floor.moment_g_mm / mass_g, floor.moment_g_mm,
                          floor.trim_rad / degree};
  }

  [[nodiscard]] std::vector<RightingPoint> told() const {
    std::vector<std::optional<RightingPoint>> points = points_;
    if (!points.front()) points.front() = points.back();
    if (!points.back()) points.back() = points.front();
    if (points.front()) points.front()->list_deg = -180;
    if (points.back()) points.back()->list_deg = 180;
    std::vector<RightingPoint> told;
    for (const std::optional<RightingPoint>& point : points) {
      if (point) told.push_back(*point);
    }
    return told;
  }

  // The next list to be met, from one on, to a side.
  [[nodiscard]] double next_list_rad(double list_rad, double side) const {
    const double steps = side * list_rad / step_rad() + count_ / 2.0;
    return side * (std::floor(steps + 1e-9) + 1 - count_ / 2.0) * step_rad();
  }

 private:
  int count_;
  std::vector<std::optional<RightingPoint>> points_;
};

// Where between two floors a value that is above nil at the first and not at the second passes it.
template <typename Value>
Floor passed(const Valley& valley, Floor above, Floor below, const Value& value) {
  for (int i = 0; i < 60; ++i) {
    const double gap = below.list_rad - above.list_rad;
    if (std::abs(gap) < 1e-12) break;
    // Halving and a straight line in turn; the line alone may creep.
    const double line = value(above) / (value(above) - value(below));
    const double part = i % 2 == 0 && line > 0 && line < 1 ? std::clamp(line, 1e-9, 1 - 1e-9) : 0.5;
    const std::optional<Floor> middle = valley.next(above, above.list_rad + part * gap);
    if (!middle) break;
    (value(*middle) > 0 ? above : below) = *middle;
  }
  return std::abs(value(above)) < std::abs(value(below)) ? above : below;
}

// One side of the curve, being followed.
class Side {
 public:
  Side(const Valley& valley, double mass_g, const Floor& pose, double side)
      : valley_(&valley), mass_g_(mass_g), pose_(pose), side_(side) {}

  // From one floor to the next one, to see where the moment is greatest and where it vanishes.
  void note(const Floor& from, const Floor& to) {
    if (done_) return;
    Floor last = to;
    if (rights(to) <= 0) {
      done_ = true;
      if (rights(from) <= 0) return;  // level from the pose on
      last = passed(*valley_, from, to, [&](const Floor& at) { return rights(at); });
      vanish(last);
    }
    greatest(last);
    const auto stiffens = [](const Floor& at) { return at.stiffness_g_mm; };
    if (from.stiffness_g_mm > 0 && last.stiffness_g_mm <= 0) {
      greatest(passed(*valley_, from, last, stiffens));
    }
  }

  // At half a turn, where by symmetry the moment may be nil but for rounding.
  void end(const Floor& last) {
    if (done_) return;
    const double off_rad = std::abs(last.moment_g_mm / last.stiffness_g_mm);
    if (last.stiffness_g_mm < 0 && off_rad < vanished_rad) vanish(last);
  }

  [[nodiscard]] const RightingSide& told() const { return told_; }

  [[nodiscard]] double rights(const Floor& at) const { return side_ * at.moment_g_mm; }

 private:
  void vanish(const Floor& at) {
    told_.vanishing_deg = told_list_deg(at.list_rad, side_);
    told_.area_mm_rad = (at.energy_g_mm - pose_.energy_g_mm) / mass_g_;
  }

  void greatest(const Floor& at) {
    const double arm_mm = at.moment_g_mm / mass_g_;
    if (side_ * arm_mm <= side_ * told_.greatest_arm_mm) return;
    told_.greatest_arm_mm = arm_mm;
    told_.greatest_arm_list_deg = told_list_deg(at.list_rad, side_);
  }

  const Valley* valley_;
  double mass_g_;
  Floor pose_;
  double side_;
  bool done_ = false;
  RightingSide told_;
};

// Half a turn from the pose to one side, as far as the valley goes.
RightingSide followed(const Valley& valley, double mass_g, const Floor& pose, double sign,
                      Points& points) {
  Side side(valley, mass_g, pose, sign);
  const double end = pose.list_rad + sign * half_turn_rad;
  Floor here = pose;
  double step = first_step_rad;
  while (sign * (end - here.list_rad) > settled_rad) {
    const double point = points.next_list_rad(here.list_rad, sign);
    double list = here.list_rad + sign * step;
    if (sign * (list - point) > -settled_rad) list = point;
    if (sign * (list - end) > -settled_rad) list = end;
    const std::optional<Floor> next = valley.next(here, list);
    const double expected = here.trim_rad + here.trim_per_list * (list - here.list_rad);
    if (!next || std::abs(next->trim_rad - expected) > steady_trim_rad) {
      step = std::min(step, std::abs(list - here.list_rad)) / 2;
      if (step < least_step_rad) return side.told();
      continue;
    }
    // A pose whose first step already leads over its pass takes a shorter one.
    const bool first = here.list_rad == pose.list_rad;
    if (first && side.rights(*next) <= 0 && step > 1e-6 * degree) {
      step /= 2;
      continue;
    }
    side.note(here, *next);
    points.set(*next, mass_g);
    here = *next;
    step = std::min(2 * step, longest_step_rad);
  }
  side.end(here);
  return side.told();
}

// Of the two that which is nearer to the pose in turn.
std::optional<double> nearer(const Righting& curve, double list_deg) {
  const auto turn = [&](const RightingSide& side, double sign) {
    if (!side.vanishing_deg) return HUGE_VAL;
    const double away = sign * (*side.vanishing_deg - list_deg);
    return away < 0 ? away + 360 : away;
  };
  const bool left = turn(curve.left, -1) < turn(curve.right, 1) - 1e-6;
  return left ? curve.left.vanishing_deg : curve.right.vanishing_deg;
}

}  // namespace

std::optional<Righting> righting(const Floater& lure, const RestPose& pose, double step_deg) {
  if (!pose.list_deg) return {};
  const Valley valley(lure, !pose.waterline_offset_mm.has_value());
  Floor start;
  start.offset_mm = pose.waterline_offset_mm;
  const std::optional<Floor> at =
      valley.floor(*pose.list_deg * degree, pose.tail_down_deg * degree, start);
  if (!at) return {};
  Points points(step_deg);
  points.set(*at, lure.mass_g);
  Righting curve;
  curve.right = followed(valley, lure.mass_g, *at, 1, points);
  curve.left = followed(valley, lure.mass_g, *at, -1, points);
  if (pose.indifferent) {
    curve.right = {};
    curve.left = {};
  }
  curve.points = points.told();
  curve.vanishing_deg = nearer(curve, *pose.list_deg);
  return curve;
}

}  // namespace trueblank::water
