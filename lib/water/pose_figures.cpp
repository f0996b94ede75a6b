// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/pose_figures.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "water/attitude.h"
#include "water/rest_places.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;

void set_angles(RestPose& pose, const Vec3& up) {
  pose.up = up;
  pose.tail_down_deg = tail_down_deg(up);
  pose.list_deg = list_deg(up);
}

void set_stiffness(RestPose& pose, double mass_g) {
  const Curvatures k = curvatures(pose.up, pose.hessian_g_mm);
  const double least_allowed = pose.indifferent ? 0.0 : -HUGE_VAL;
  const auto along = [&](const Vec3& towards) {
    return std::max(towards.dot(pose.hessian_g_mm * towards), least_allowed);
  };
  pose.least_stiffness_g_mm_per_deg = std::max(k.soft_g_mm, least_allowed) * degree;
  if (std::abs(pose.tail_down_deg) > no_list_beyond_tail_down_deg) return;
  // A turn about the horizontal axis a moves `up` square to a.
  const Vec3 long_axis = (Vec3::UnitX() - pose.up.x() * pose.up).normalized();
  const Vec3 across = pose.up.cross(long_axis);
  const double roll = along(across);
  const double pitch = along(long_axis);
  pose.roll_stiffness_g_mm_per_deg = roll * degree;
  pose.pitch_stiffness_g_mm_per_deg = pitch * degree;
  // In list and trim, d up / d list is shorter than a unit turn by the cosine of the trim, and the
  // trim gives way to what the list asks of it.
  const double coupling = across.dot(pose.hessian_g_mm * long_axis);
  if (pose.list_deg && pitch > 0) {
    const double shorter = 1 - pose.up.x() * pose.up.x();
    pose.list_stiffness_g_mm_per_deg =
        std::max(shorter * (roll - coupling * coupling / pitch), least_allowed) * degree;
  }
  pose.gm_roll_mm = roll / mass_g;
  pose.gm_pitch_mm = pitch / mass_g;
}

}  // namespace

void drop_list(RestPose& pose) {
  pose.list_deg.reset();
  pose.list_stiffness_g_mm_per_deg.reset();
}

RestPose floating_pose(const Floater& lure, const Stationary& at, bool indifferent) {
  RestPose pose;
  pose.indifferent = indifferent;
  set_angles(pose, at.up);
  pose.waterline_offset_mm = at.line.offset_mm;
  pose.submerged_mm3 = at.line.below.volume_mm3;
  if (pose.submerged_mm3 > 0) {
    pose.centre_of_buoyancy_mm = at.line.below.first_moment_mm4 / pose.submerged_mm3;
  }
  pose.waterplane_mm2 = at.line.below.waterplane_mm2;
  pose.energy_g_mm = at.line.energy_g_mm;
  pose.hessian_g_mm = at.line.hessian_g_mm;
  set_stiffness(pose, lure.mass_g);
  return pose;
}

RestPose hanging_pose(const Floater& lure) {
  const double displaced_g = lure.displacement_full_g();
  const Vec3 lever_mm = lure.centre_of_full_buoyancy_mm() - lure.centre_of_mass_mm;
  const double arm_mm = lever_mm.norm();  // BG
  RestPose pose;
  pose.share = 1;
  // The energy is −displaced·BG·cos of the turn: over all directions it varies by twice that.
  pose.indifferent = 2 * displaced_g * arm_mm < indifferent_within_g_mm;
  set_angles(pose, pose.indifferent ? Vec3::UnitZ() : Vec3(lever_mm / arm_mm));
  pose.submerged_mm3 = lure.body.volume_mm3();
  pose.centre_of_buoyancy_mm = lure.body.first_moment_mm4() / pose.submerged_mm3;
  pose.energy_g_mm = -displaced_g * arm_mm;
  if (!pose.indifferent) pose.overturn_g_mm = 2 * displaced_g * arm_mm;
  pose.hessian_g_mm = displaced_g * arm_mm * (Mat3::Identity() - pose.up * pose.up.transpose());
  set_stiffness(pose, lure.mass_g);
  // All alike, to the last digit.
  const double stiffness = displaced_g * arm_mm * degree;
  pose.least_stiffness_g_mm_per_deg = stiffness;
  if (pose.roll_stiffness_g_mm_per_deg) pose.roll_stiffness_g_mm_per_deg = stiffness;
  if (pose.pitch_stiffness_g_mm_per_deg) pose.pitch_stiffness_g_mm_per_deg = stiffness;
  if (pose.indifferent) drop_list(pose);
  return pose;
}

RestPose indifferent_all_round(const Floater& lure) {
  Stationary at;
  at.line = waterline_at(lure, at.up);
  RestPose pose = floating_pose(lure, at, true);
  drop_list(pose);
  pose.share = 1;
  return pose;
}

}  // namespace trueblank::water
