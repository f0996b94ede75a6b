// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/copy_effect.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/moment_tree.h"
#include "rig/assembly.h"
#include "water/near_pose.h"
#include "water/sensitivity.h"

namespace trueblank::effect {
namespace {

using geometry::Vec3;

// Two ways of finding one pose are no further apart.
constexpr double same_pose_deg = 0.2;

double angle_deg(const Vec3& a, const Vec3& b) {
  return std::atan2(a.cross(b).norm(), a.dot(b)) * 180 / std::numbers::pi;
}

water::Floater floater(const RiggedBody& body) {
  return water::floater(body.cut,
                        rig::add_up(rig::assemble(body.bare, body.whole, body.rig, body.coated)));
}

int nearest_pose(const std::vector<water::RestPose>& poses, const Vec3& up) {
  const auto nearest = std::ranges::min_element(
      poses, {}, [&](const water::RestPose& pose) { return angle_deg(pose.up, up); });
  return nearest == poses.end() ? -1 : static_cast<int>(nearest - poses.begin());
}

LiesAs lies_as(const geometry::Moments& bare, const water::Floater& lure,
               const water::RestPose* pose) {
  LiesAs lies{.volume_mm3 = bare.volume_mm3,
              .mass_g = lure.mass_g,
              .displacement_full_g = lure.displacement_full_g()};
  lies.reserve_g = lies.displacement_full_g - lies.mass_g;
  if (pose == nullptr) return lies;
  lies.tail_down_deg = pose->tail_down_deg;
  lies.list_deg = pose->list_deg;
  lies.roll_stiffness_g_mm_per_deg = pose->roll_stiffness_g_mm_per_deg;
  lies.pitch_stiffness_g_mm_per_deg = pose->pitch_stiffness_g_mm_per_deg;
  lies.least_stiffness_g_mm_per_deg = pose->least_stiffness_g_mm_per_deg;
  lies.gm_roll_mm = pose->gm_roll_mm;
  lies.gm_pitch_mm = pose->gm_pitch_mm;
  return lies;
}

// Where a lure goes that is let go as `from` lies; nothing where that is another side, or nowhere.
std::optional<water::RestPose> followed(const water::Floater& lure, const water::RestPose& from) {
  std::optional<water::RestPose> pose = water::pose_near(lure, from.up);
  if (pose && angle_deg(pose->up, from.up) > lost_beyond_deg) pose.reset();
  return pose;
}

// The same facets, grown about a point.
geometry::ClosedMesh grown(const geometry::ClosedMesh& body, const Vec3& about_mm, double factor) {
  return body.moved(geometry::Mat3::Identity(), (1 - factor) * about_mm, factor);
}

geometry::Moments grown(geometry::Moments moments, const Vec3& about_mm, double factor) {
  const double cubed = factor * factor * factor;
  moments.volume_mm3 *= cubed;
  moments.area_mm2 *= factor * factor;
  moments.centroid_mm = about_mm + factor * (moments.centroid_mm - about_mm);
  moments.inertia_mm5 *= cubed * factor * factor;
  moments.spread_mm5 *= cubed * factor * factor;
  return moments;
}

LiesAs lies_from(const geometry::Moments& bare, const water::Floater& lure,
                 const water::RestPose* from) {
  const std::optional<water::RestPose> pose =
      from == nullptr ? std::nullopt : followed(lure, *from);
  return lies_as(bare, lure, pose ? &*pose : nullptr);
}

// What the volume alone does to the master.
LiesAs by_size_alone(const RiggedBody& master, const water::Floater& as_it_is,
                     const water::RestPose* pose, double volume_factor) {
  const double factor = std::cbrt(volume_factor);
  const Vec3& about = master.whole.centroid_mm;
  const geometry::ClosedMesh bare = grown(master.bare, about, factor);
  const geometry::ClosedMesh wet = grown(master.wet, about, factor);
  const geometry::Moments whole = grown(master.whole, about, factor);
  const geometry::Moments coated = grown(master.coated, about, factor);
  const geometry::MomentTree tree(wet);
  // Of stuff as dense as that which was weighed.
  rig::Rig rig = master.rig;
  if (rig.halves) {
    rig.halves->left_g *= volume_factor;
    rig.halves->right_g *= volume_factor;
  }
  if (rig.finish && rig.finish->weighed_g) *rig.finish->weighed_g *= volume_factor;
  const water::Floater lure = floater(
      {.bare = bare, .whole = whole, .wet = wet, .coated = coated, .cut = &tree, .rig = rig});
  return difference(lies_from(whole, lure, pose), lies_from(master.whole, as_it_is, pose));
}

std::optional<double> less(const std::optional<double>& of, const std::optional<double>& from) {
  if (!of || !from) return {};
  return *of - *from;
}

}  // namespace

LiesAs difference(const LiesAs& of, const LiesAs& from) {
  LiesAs by{.volume_mm3 = of.volume_mm3 - from.volume_mm3,
            .mass_g = of.mass_g - from.mass_g,
            .displacement_full_g = of.displacement_full_g - from.displacement_full_g,
            .reserve_g = of.reserve_g - from.reserve_g,
            .tail_down_deg = less(of.tail_down_deg, from.tail_down_deg),
            .list_deg = less(of.list_deg, from.list_deg),
            .roll_stiffness_g_mm_per_deg =
                less(of.roll_stiffness_g_mm_per_deg, from.roll_stiffness_g_mm_per_deg),
            .pitch_stiffness_g_mm_per_deg =
                less(of.pitch_stiffness_g_mm_per_deg, from.pitch_stiffness_g_mm_per_deg),
            .least_stiffness_g_mm_per_deg =
                less(of.least_stiffness_g_mm_per_deg, from.least_stiffness_g_mm_per_deg),
            .gm_roll_mm = less(of.gm_roll_mm, from.gm_roll_mm),
            .gm_pitch_mm = less(of.gm_pitch_mm, from.gm_pitch_mm)};
  if (by.list_deg) by.list_deg = std::remainder(*by.list_deg, 360);
  return by;
}

water::Balance balance_of(const RiggedBody& body, const geometry::ParallelFor& loop) {
  return water::balance(floater(body), loop);
}

CopyEffect copy_effect(const RiggedBody& master, const RiggedBody& copy,
                       const geometry::ParallelFor& loop) {
  return copy_effect(master, balance_of(master, loop), copy, loop);
}

CopyEffect copy_effect(const RiggedBody& master, const water::Balance& as_master,
                       const RiggedBody& copy, const geometry::ParallelFor& loop) {
  const water::Floater first = floater(master);
  const water::Floater second = floater(copy);
  CopyEffect effect{.master = as_master, .copy = water::balance(second, loop)};
  effect.state_changed = effect.master.state != effect.copy.state;
  const double factor = copy.whole.volume_mm3 / master.whole.volume_mm3;
  effect.larger_percent = 100 * (factor - 1);

  const water::RestPose* from = nullptr;
  const water::RestPose* to = nullptr;
  if (!effect.master.poses.empty()) {
    effect.master_pose = 0;
    from = effect.master.poses.data();
    const std::optional<water::RestPose> gone = water::pose_near(second, from->up);
    const int nearest = gone ? nearest_pose(effect.copy.poses, gone->up) : -1;
    if (gone) effect.turned_deg = angle_deg(gone->up, from->up);
    if (nearest >= 0) {
      const water::RestPose& there = effect.copy.poses[static_cast<std::size_t>(nearest)];
      const bool same = angle_deg(there.up, gone->up) <= same_pose_deg || there.indifferent;
      if (same && effect.turned_deg <= lost_beyond_deg) {
        effect.copy_pose = nearest;
        effect.turned_deg = angle_deg(there.up, from->up);
        to = &there;
      }
    }
  }
  effect.master_lies = lies_as(master.whole, first, from);
  effect.copy_lies = lies_as(copy.whole, second, to);
  effect.change = difference(effect.copy_lies, effect.master_lies);
  effect.by_size = by_size_alone(master, first, from, factor);
  effect.by_shape = difference(effect.change, effect.by_size);
  return effect;
}

}  // namespace trueblank::effect
