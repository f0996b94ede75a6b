// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/may_be_off.h"

#include <algorithm>
#include <array>

#include "water/near_pose.h"

namespace trueblank::water {
namespace {

constexpr double least_part_of_mass = 0.02;

rig::LaidPart with_mass(const rig::LaidPart& part, double by_g) {
  return rig::heavier(part, std::max(by_g, (least_part_of_mass - 1) * part.mass_g));
}

}  // namespace

std::vector<MayBeOff> may_be_off(const rig::Assembly& assembly, const rig::Tolerances& tolerances) {
  std::vector<MayBeOff> all;
  if (assembly.wood_weighed) {
    const double blank_g = assembly.undrilled_wood_g;
    all.push_back({"the blank's weight", "g", tolerances.mass_g,
                   [blank_g](rig::Assembly& made, double by, double&) {
                     made = rig::with_wood_times(made, std::max(0.1, 1 + by / blank_g));
                   }});
  } else {
    all.push_back({"the wood's density", "%", tolerances.wood_density_percent,
                   [](rig::Assembly& made, double by, double&) {
                     made = rig::with_wood_times(made, std::max(0.1, 1 + by / 100));
                   }});
  }
  all.push_back({"the body's size", "%", tolerances.scale_percent,
                 [](rig::Assembly&, double by, double& scale) { scale *= 1 + by / 100; }});
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    const rig::LaidPart& part = assembly.parts[i];
    if (part.mass_g > 0) {
      all.push_back({"the mass of " + part.name, "g", tolerances.mass_g,
                     [i](rig::Assembly& made, double by, double&) {
                       made.parts[i] = with_mass(made.parts[i], by);
                     }});
    }
    if (part.kind == rig::PartKind::finish) continue;
    constexpr std::array<const char*, 3> ways = {" aft", " to the right", " up"};
    for (int axis = 0; axis < 3; ++axis) {
      all.push_back({part.name + ways[static_cast<std::size_t>(axis)], "mm", tolerances.place_mm,
                     [i, axis](rig::Assembly& made, double by, double&) {
                       made.parts[i] = rig::moved(made.parts[i], by * Vec3::Unit(axis));
                     }});
    }
  }
  std::erase_if(all, [](const MayBeOff& one) { return !(one.sd > 0); });
  return all;
}

Lies lies(const CutBody& body, const rig::Assembly& assembly, double scale, const Vec3& near_up) {
  const Floater lure = floater(body, rig::add_up(rig::on_scaled_body(assembly, scale)));
  const double cubed = scale * scale * scale;
  Lies found;
  found.reserve_g = (lure.displacement_full_g() - lure.mass_g) * cubed;
  const std::optional<RestPose> pose =
      pose_near(lure, near_up, {.start_mm = {}, .look_for_rings = false});
  if (!pose) return found;
  found.tail_down_deg = pose->tail_down_deg;
  found.list_deg = pose->list_deg;
  found.least_stiffness_g_mm_per_deg = pose->least_stiffness_g_mm_per_deg * cubed * scale;
  return found;
}

}  // namespace trueblank::water
