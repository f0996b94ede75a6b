// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/near_pose.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "water/pose_figures.h"
#include "water/rest_places.h"
#include "water/shares.h"
#include "water/stationary.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double nudge_rad = 1e-6;
constexpr double far_rad = 8 * degree;  // regular bars lead Newton's steps astray from 10° on
constexpr double far_step_rad = 3 * degree;
constexpr int most_newton_steps = 30;
constexpr double followed_within_rad = 10 * degree;
constexpr double newton_settled_rad = 1e-9;

Vec3 across(const Vec3& up, const Vec3& towards) { return towards - up.dot(towards) * up; }

// Right flank down is up turned towards −y, tail down towards −x. By unlike amounts, so that a
// ridge in between does not swallow it.
Vec3 nudged(const Vec3& up) {
  Vec3 way = across(up, Vec3(-0.5, -1, 0));
  if (way.norm() < 0.1) way = across(up, Vec3(-1, 0, 0));
  return turned(up, nudge_rad * way.normalized());
}

bool resists(const Floater& lure, const Stationary& at) {
  return at.converged && at.curvature.soft_g_mm > curvature_rounding_g_mm(lure);
}

Stationary downhill(const Floater& lure, const Vec3& up, std::optional<double> start_mm) {
  const Vec3 start = nudged(up);
  Stationary found = settle(lure, start, start_mm);
  if (found.converged && found.up.dot(start) > std::cos(far_rad)) return found;
  const Vec3 end = descend_truly(lure, start, far_step_rad);
  // The descent may have come to rest by its own measure right on a saddle.
  return settle(lure, nudged(end));
}

bool alike_all_round(const Floater& lure) {
  const SphereGrid grid(2);
  return EnergyField(lure, grid, geometry::serial_for).range_g_mm() < indifferent_within_g_mm;
}

// What the whole search would call indifferent: all directions, or a ring.
std::optional<RestPose> indifferent_at(const Floater& lure, const Stationary& found) {
  // A floor that rises by less than the limit over a whole turn hardly rises over a degree.
  if (found.curvature.soft_g_mm * degree * degree / 2 >= indifferent_within_g_mm) return {};
  if (found.curvature.stiff_g_mm * degree * degree / 2 < indifferent_within_g_mm &&
      alike_all_round(lure)) {
    return indifferent_all_round(lure);
  }
  const ValleyWalk walk = walk_valley(lure, found, indifferent_within_g_mm);
  if (!walk.ring) return {};
  RestPose pose = floating_pose(lure, walk.ring->representative, true);
  if (walk.ring->about_long_axis) drop_list(pose);
  return pose;
}

std::optional<RestPose> floating_near(const Floater& lure, const Vec3& up,
                                      const NearPoseOptions& options) {
  const Stationary found = downhill(lure, up, options.start_mm);
  if (!found.converged) return {};
  if (options.look_for_rings) {
    if (std::optional<RestPose> ring = indifferent_at(lure, found)) return ring;
  }
  if (!resists(lure, found)) return {};
  return floating_pose(lure, found, false);
}

}  // namespace

std::optional<RestPose> pose_near(const Floater& lure, const Vec3& up,
                                  const NearPoseOptions& options) {
  const bool floats = lure.displacement_full_g() > lure.mass_g;
  std::optional<RestPose> pose =
      floats ? floating_near(lure, up, options) : std::optional(hanging_pose(lure));
  if (pose) pose->share = 0;
  return pose;
}

std::optional<RestPose> pose_followed(const Floater& changed, const RestPose& from) {
  if (changed.displacement_full_g() <= changed.mass_g) return {};
  Stationary at;
  at.up = from.up;
  std::optional<double> offset_mm = from.waterline_offset_mm;
  for (int i = 0; i < most_newton_steps; ++i) {
    at.line = waterline_at(changed, at.up, offset_mm);
    if (!at.line.converged) return {};
    at.curvature = curvatures(at.up, at.line.hessian_g_mm);
    if (at.curvature.soft_g_mm <= curvature_rounding_g_mm(changed)) return {};
    if (at.converged) return floating_pose(changed, at, false);
    const Vec3 step = newton_step(at.curvature, at.line.gradient_g_mm);
    const Vec3 next = turned(at.up, step);
    if (next.dot(from.up) < std::cos(followed_within_rad)) return {};
    offset_mm = foreseen_offset_mm(at.line, at.up, next);
    // The last, tiny step is worth its one cut.
    at.converged = step.norm() < newton_settled_rad ||
                   slope_across(at.up, at.line).norm() <= gradient_rounding_g_mm(changed);
    at.up = next;
  }
  return {};
}

}  // namespace trueblank::water
