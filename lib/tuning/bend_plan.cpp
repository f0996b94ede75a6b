// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/bend_plan.h"

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

namespace trueblank::tuning {
namespace {

using std::numbers::pi;

constexpr double same_point_mm = 1e-9;
constexpr double straight_on_deg = 0.01;  // a corner of less is none

double degrees(double radians) { return radians * 180 / pi; }

double angle_between(const Vec3& a, const Vec3& b) {
  return std::atan2(a.cross(b).norm(), a.dot(b));
}

/// From one bend's plane to the next's, about the wire between them.
double twist_deg(const Vec3& before, const Vec3& between, const Vec3& after) {
  const Vec3 one = before.cross(between);
  const Vec3 other = between.cross(after);
  const double twist = degrees(std::atan2(between.dot(one.cross(other)), one.dot(other)));
  return twist > -180 ? twist : 180;
}

}  // namespace

double eye_length_mm(double diameter_mm, double inside_mm, double wraps) {
  return pi * (inside_mm + diameter_mm) + wraps * std::hypot(2 * pi * diameter_mm, diameter_mm);
}

BendPlan bend_plan(const rig::Wire& wire) {
  BendPlan plan{.name = wire.name, .diameter_mm = wire.diameter_mm};
  std::vector<Vec3> runs;  // directions of the straight lengths
  Vec3 from = wire.path_mm.front();
  for (const Vec3& to : wire.path_mm) {
    const double length = (to - from).norm();
    if (length <= same_point_mm) continue;
    const Vec3 run = (to - from) / length;
    const double turn = runs.empty() ? 0 : degrees(angle_between(runs.back(), run));
    if (!runs.empty() && turn < straight_on_deg) {
      plan.lengths_mm.back() += length;
    } else {
      if (!runs.empty()) {
        BendPlan::Bend bend{.from_start_mm = plan.straight_mm, .angle_deg = turn, .at_mm = from};
        const std::size_t count = runs.size();
        if (count > 1) bend.twist_deg = twist_deg(runs[count - 2], runs[count - 1], run);
        plan.bends.push_back(bend);
      }
      runs.push_back(run);
      plan.lengths_mm.push_back(length);
    }
    plan.straight_mm += length;
    from = to;
  }
  plan.eye_mm = eye_length_mm(wire.diameter_mm, eye_inside_wires * wire.diameter_mm, eye_wraps);
  plan.cut_mm = plan.straight_mm + plan.eyes * plan.eye_mm;
  if (!wire.weighed_g) {
    const double section_mm2 = pi / 4 * wire.diameter_mm * wire.diameter_mm;
    plan.eyes_uncounted_g = plan.eyes * plan.eye_mm * section_mm2 * wire.density_g_cm3 / 1000;
  }
  return plan;
}

}  // namespace trueblank::tuning
