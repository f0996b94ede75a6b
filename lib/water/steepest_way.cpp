// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/steepest_way.h"

#include <algorithm>
#include <cmath>

#include "water/shares.h"

namespace trueblank::water {
namespace {

// The greatest value of the cubic that has these values and slopes at the ends of a length.
double hermite_greatest(double from, double from_slope, double to, double to_slope, double length) {
  double best = std::max(from, to);
  if (!(from_slope > 0 && to_slope < 0)) return best;
  constexpr int parts = 64;
  for (int i = 1; i < parts; ++i) {
    const double t = static_cast<double>(i) / parts;
    const double t2 = t * t;
    const double t3 = t2 * t;
    best = std::max(best, (2 * t3 - 3 * t2 + 1) * from + (3 * t2 - 2 * t3) * to +
                              length * ((t3 - 2 * t2 + t) * from_slope + (t3 - t2) * to_slope));
  }
  return best;
}

// A place on the way and how steep it is there.
struct Footing {
  Vec3 up;
  Waterline line;
  Vec3 onward;                    // the slope (g·mm per rad), downhill or uphill as the way goes
  double steep_g_mm = 0;          // its length
  double steepens_g_mm_rad2 = 0;  // how that grows along the way, per rad
};

class Walk {
 public:
  Walk(const Floater& lure, Steepest kind)
      : lure_(&lure), sign_(kind == Steepest::descent ? 1 : -1) {}

  [[nodiscard]] Footing at(const Vec3& up, double offset_mm) const {
    constexpr double residual = 1e-8;
    Footing here{up, waterline_at(*lure_, up, offset_mm, residual), Vec3::Zero(), 0, 0};
    here.onward = -sign_ * slope_across(up, here.line);
    here.steep_g_mm = here.onward.norm();
    if (here.steep_g_mm > 0) {
      here.steepens_g_mm_rad2 = -sign_ * here.onward.dot(here.line.hessian_g_mm * here.onward) /
                                (here.steep_g_mm * here.steep_g_mm);
    }
    return here;
  }

  // A step of about a length, shorter where the energy would turn; nothing where it is at rest.
  [[nodiscard]] std::optional<Footing> step(const Footing& from, double length_rad) const {
    constexpr double still_rad = 1e-7;
    constexpr int most_halvings = 8;
    const double rounding = gradient_rounding_g_mm(*lure_) / 4;
    for (int halving = 0; halving <= most_halvings; ++halving) {
      const Vec3 step =
          descent_step(from.up, -from.onward, sign_ * from.line.hessian_g_mm, length_rad);
      if (step.norm() < still_rad) return {};
      const Vec3 up = turned(from.up, step);
      Footing next = at(up, foreseen_offset_mm(from.line, from.up, up));
      if (sign_ * (next.line.energy_g_mm - from.line.energy_g_mm) <= rounding) return next;
      length_rad = step.norm() / 2;
    }
    return {};
  }

 private:
  const Floater* lure_;
  double sign_;
};

}  // namespace

std::optional<Way> way_from(const Floater& lure, const Pass& pass, const Vec3& towards,
                            Steepest kind, double step_rad,
                            const std::function<bool(const Vec3&, double)>& arrived) {
  constexpr int most_steps = 2000;
  constexpr double first_rad = 1e-4;
  const Walk walk(lure, kind);
  const Vec3 first = turned(pass.at.up, first_rad * towards);
  Footing here = walk.at(first, foreseen_offset_mm(pass.at.line, pass.at.up, first));
  Way way;
  way.hardest_push_g_mm = here.steep_g_mm;
  double length = step_rad;
  for (int i = 0; i < most_steps; ++i) {
    const bool there = arrived && arrived(here.up, here.line.energy_g_mm);
    const std::optional<Footing> next = there ? std::nullopt : walk.step(here, length);
    if (!next) {
      way.end = here.up;
      way.energy_g_mm = here.line.energy_g_mm;
      return way;
    }
    const double travelled = (next->up - here.up).norm();
    way.hardest_push_g_mm =
        std::max(way.hardest_push_g_mm,
                 hermite_greatest(here.steep_g_mm, here.steepens_g_mm_rad2, next->steep_g_mm,
                                  next->steepens_g_mm_rad2, travelled));
    length = std::min(step_rad, 2 * travelled);
    here = *next;
  }
  return {};
}

}  // namespace trueblank::water
