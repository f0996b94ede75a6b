// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/stationary.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace trueblank::water {
namespace {

constexpr double unit_rounding = std::numeric_limits<double>::epsilon();
constexpr int most_steps = 200;
constexpr double step_settled_rad = 1e-9;
// Of a rough body: what it is off by turns the pose by as much at least.
constexpr double rough_step_settled_rad = 1e-3;
constexpr double first_radius_rad = 0.2;
constexpr double greatest_radius_rad = 0.6;
constexpr double most_residual = 0.02;  // of the mass
constexpr double exact_below_rad = 1e-4;

// How far weight and buoyancy may differ after a step of so much: on the way a waterline that its
// own derivatives carry the rest of the way is as good as an exact one, and saves half the cuts.
// Once the steps are small it is exact.
double residual_after(double length_rad) {
  if (length_rad < exact_below_rad) return 0;
  return std::min(most_residual, length_rad / 20);
}

}  // namespace

Curvatures curvatures(const Vec3& up, const Mat3& hessian_g_mm) {
  const TangentPair t = tangents(up);
  const double a = t.first.dot(hessian_g_mm * t.first);
  const double b = t.first.dot(hessian_g_mm * t.second);
  const double c = t.second.dot(hessian_g_mm * t.second);
  const double mean = (a + c) / 2;
  const double half = (a - c) / 2;
  const double spread = std::sqrt(half * half + b * b);
  // Half the angle of half + i·b is the direction of the greater one.
  double cosine = 1;
  double sine = 0;
  if (half > 0) {
    cosine = std::sqrt((spread + half) / (2 * spread));
    sine = b / (2 * spread * cosine);
  } else if (spread > 0) {
    sine = std::sqrt((spread - half) / (2 * spread));
    cosine = b / (2 * spread * sine);
  }
  Curvatures found;
  found.soft_g_mm = mean - spread;
  found.stiff_g_mm = mean + spread;
  found.stiff_towards = cosine * t.first + sine * t.second;
  found.soft_towards = -sine * t.first + cosine * t.second;
  return found;
}

QuadraticModel model_at(const Vec3& slope_g_mm, const Curvatures& k) {
  return {slope_g_mm.dot(k.soft_towards), slope_g_mm.dot(k.stiff_towards), k.soft_g_mm,
          k.stiff_g_mm};
}

Vec3 turn_of(const ModelStep& step, const Curvatures& k) {
  return step.soft_rad * k.soft_towards + step.stiff_rad * k.stiff_towards;
}

Vec3 newton_step(const Curvatures& k, const Vec3& gradient_g_mm) {
  return -gradient_g_mm.dot(k.soft_towards) / k.soft_g_mm * k.soft_towards -
         gradient_g_mm.dot(k.stiff_towards) / k.stiff_g_mm * k.stiff_towards;
}

Vec3 slope_across(const Vec3& up, const Waterline& line) {
  return line.gradient_g_mm - up.dot(line.gradient_g_mm) * up;
}

double foreseen_offset_mm(const Waterline& line, const Vec3& from, const Vec3& to) {
  return line.offset_mm + line.offset_slope_mm.dot(to - from);
}

double gradient_rounding_g_mm(const Floater& lure) {
  return 64 * unit_rounding * lure.displacement_full_g() * lure.size_mm();
}

double curvature_rounding_g_mm(const Floater& lure) { return 1e4 * gradient_rounding_g_mm(lure); }

namespace {

// settle(), to steps below `settled_rad`.
Stationary settle_to(double settled_rad, const Floater& lure, const Vec3& start,
                     std::optional<double> start_mm) {
  const double nil = gradient_rounding_g_mm(lure);
  const double nil_curvature = curvature_rounding_g_mm(lure);
  const double rounding = nil / 4;
  const double rounding_g = 64 * unit_rounding * lure.displacement_full_g();
  Stationary here;
  here.up = start;
  here.line = waterline_at(lure, start, start_mm, most_residual);
  double radius = first_radius_rad;
  for (int i = 0; i < most_steps && here.line.converged; ++i) {
    here.curvature = curvatures(here.up, here.line.hessian_g_mm);
    const Vec3 slope = slope_across(here.up, here.line);
    const ModelStep step = step_down(model_at(slope, here.curvature), radius);
    const double length = step.length_rad();
    const double promised_g_mm = -step.cost_g_mm();
    // The last, tiny step is worth its one cut.
    const bool level = slope.norm() <= nil && here.curvature.soft_g_mm > -nil_curvature &&
                       std::abs(here.line.residual_g) <= rounding_g;
    const bool arrived = step.whole && length < settled_rad;
    here.converged = level || arrived;
    const Vec3 next = turned(here.up, turn_of(step, here.curvature));
    const Waterline line = waterline_at(lure, next, foreseen_offset_mm(here.line, here.up, next),
                                        here.converged ? 0 : residual_after(length));
    const double gained = here.line.energy_g_mm - line.energy_g_mm;
    // Where the promise is lost in rounding, a flatter slope is the proof of progress.
    const bool flatter = slope_across(next, line).norm() < slope.norm();
    const bool better =
        line.converged && (gained >= 0.1 * promised_g_mm || (promised_g_mm <= rounding && flatter));
    if (better) {
      here.up = next;
      here.line = line;
      if (here.converged) break;
      if (gained > 0.7 * promised_g_mm && length > 0.9 * radius) {
        radius = std::min(2 * radius, greatest_radius_rad);
      } else if (gained < 0.25 * promised_g_mm && promised_g_mm > rounding) {
        radius = length / 2;
      }
    } else if (std::abs(here.line.residual_g) > rounding_g) {
      // What the waterline was short by may outweigh what so small a step gains: exactly, then.
      here.line = waterline_at(lure, here.up, here.line.offset_mm);
      here.converged = false;
    } else {
      // As level as rounding lets it be, and curved up: that is as near as it gets.
      const bool at_rounding =
          promised_g_mm <= rounding && slope.norm() <= 1e3 * nil && here.curvature.soft_g_mm > 0;
      here.converged = here.converged || at_rounding;
      if (here.converged) break;
      radius = std::min(radius, length) / 4;
      if (radius < 1e-13) break;
    }
  }
  here.curvature = curvatures(here.up, here.line.hessian_g_mm);
  return here;
}

}  // namespace

Stationary settle(const Floater& lure, const Vec3& start, std::optional<double> start_mm) {
  return settle_to(step_settled_rad, lure, start, start_mm);
}

Stationary settle_from_afar(const Floater& lure, const Vec3& start,
                            std::optional<double> start_mm) {
  if (lure.body.rough() == nullptr) return settle(lure, start, start_mm);
  Floater roughly = lure;
  roughly.body = lure.body.rough();
  // One that can hardly carry the weight may come to nothing on the rough body.
  const Stationary near = settle_to(rough_step_settled_rad, roughly, start, start_mm);
  if (!near.converged) return settle(lure, start, start_mm);
  return settle(lure, near.up, near.line.offset_mm);
}

namespace {

constexpr double ring_step_rad = 0.5 * std::numbers::pi / 180;
constexpr int most_ring_points = 4000;

// The place on the valley's floor nearest to `up`, found across the valley; nothing where there is
// no valley there, or it is further off than a step.
struct Floor {
  Vec3 up;
  Waterline line;
  Curvatures curvature;
};

std::optional<Floor> to_floor(const Floater& lure, Vec3 up, double offset_mm) {
  const double nil = gradient_rounding_g_mm(lure);
  double strayed = 0;
  for (int i = 0; i < 12; ++i) {
    Floor floor{up, waterline_at(lure, up, offset_mm), {}};
    floor.curvature = curvatures(up, floor.line.hessian_g_mm);
    if (!floor.line.converged || floor.curvature.stiff_g_mm <= 0) return {};
    const double slope = floor.line.gradient_g_mm.dot(floor.curvature.stiff_towards);
    const double step = -slope / floor.curvature.stiff_g_mm;
    if (std::abs(step) < 1e-8 || std::abs(slope) < nil) return floor;
    strayed += std::abs(step);
    if (strayed > ring_step_rad) return {};
    const Vec3 next = turned(up, step * floor.curvature.stiff_towards);
    offset_mm = foreseen_offset_mm(floor.line, up, next);
    up = next;
  }
  return {};
}

bool winds_about_x(const std::vector<Vec3>& points) {
  double turns = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec3& a = points[i];
    const Vec3& b = points[(i + 1) % points.size()];
    turns += std::atan2(a.y() * b.z() - a.z() * b.y(), a.y() * b.y() + a.z() * b.z());
  }
  return std::abs(turns) > std::numbers::pi;
}

// How near a direction is to the one that stands for its ring.
double standing(const Vec3& up) { return up.z() + 1e-3 * up.x(); }

Stationary representative(const Floater& lure, const std::vector<Vec3>& points, double offset_mm) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (standing(points[i]) > standing(points[best])) best = i;
  }
  // The top of the parabola through the best point and its neighbours, taken back to the floor.
  const Vec3& before = points[(best + points.size() - 1) % points.size()];
  const Vec3& after = points[(best + 1) % points.size()];
  const double rise = standing(after) - standing(before);
  const double bend = 2 * standing(points[best]) - standing(after) - standing(before);
  const double along = bend > 0 ? std::clamp(rise / (4 * bend), -0.5, 0.5) : 0.0;
  const Vec3 top = (points[best] + along * (after - before)).normalized();
  Stationary found;
  const std::optional<Floor> floor = to_floor(lure, top, offset_mm);
  found.up = floor ? floor->up : points[best];
  found.line = floor ? floor->line : waterline_at(lure, points[best], offset_mm);
  found.curvature = curvatures(found.up, found.line.hessian_g_mm);
  found.converged = found.line.converged;
  return found;
}

}  // namespace

ValleyWalk walk_valley(const Floater& lure, const Stationary& from, double within_g_mm) {
  ValleyWalk walk;
  double least = from.line.energy_g_mm;
  double greatest = least;
  Floor here{from.up, from.line, from.curvature};
  Vec3 ahead = from.curvature.soft_towards;
  for (int i = 0; i < most_ring_points; ++i) {
    walk.passed.push_back(here.up);
    const Vec3 next = turned(here.up, ring_step_rad * ahead);
    const std::optional<Floor> floor =
        to_floor(lure, next, foreseen_offset_mm(here.line, here.up, next));
    if (!floor) return walk;
    least = std::min(least, floor->line.energy_g_mm);
    greatest = std::max(greatest, floor->line.energy_g_mm);
    if (greatest - least >= within_g_mm) return walk;
    // Along the valley means square to the stiff direction, on the side that the last step took.
    const Vec3 moved = floor->up - here.up;
    Vec3 along = floor->curvature.soft_towards;
    if (along.dot(moved) < 0) along = -along;
    if (along.dot(moved) < 0.5 * moved.norm()) return walk;
    ahead = along;
    here = *floor;
    if (i >= 4 && (here.up - from.up).norm() < 0.75 * ring_step_rad) {
      walk.ring = Ring{walk.passed, least, greatest, winds_about_x(walk.passed),
                       representative(lure, walk.passed, from.line.offset_mm)};
      return walk;
    }
  }
  return walk;
}

}  // namespace trueblank::water
