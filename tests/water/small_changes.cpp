// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/small_changes.h"

#include <gtest/gtest.h>

#include <utility>

#include "geometry/moments.h"
#include "water/near_pose.h"

namespace trueblank::water {

RestPose RiggedBody::pose() const {
  const std::optional<RestPose> found = pose_near(lure(), Vec3::UnitZ());
  EXPECT_TRUE(found) << "it lies nowhere";
  return found.value_or(RestPose());
}

std::vector<HookSize> RiggedBody::hooks() const {
  std::vector<HookSize> found;
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    if (assembly.parts[i].kind == rig::PartKind::hook) found.push_back({i, {}});
  }
  return found;
}

RiggedBody rigged_body(geometry::ClosedMesh mesh, const rig::Rig& rig) {
  RiggedBody made;
  made.mesh = std::make_shared<const geometry::ClosedMesh>(std::move(mesh));
  made.tree = std::make_shared<const geometry::MomentTree>(*made.mesh);
  const geometry::Moments whole = geometry::moments(*made.mesh);
  made.assembly = rig::assemble(*made.mesh, whole, rig, whole);
  return made;
}

rig::Rig needle_rig() {
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.37;
  rig.water.density_g_cm3 = 1;
  rig.wires.push_back({.name = "wire",
                       .density_g_cm3 = 7.9,
                       .diameter_mm = 1.4,
                       .path_mm = {{-6, 0, -1}, {30, 0, -2}, {171, 0, -1}}});
  rig.ballasts.push_back(
      {.name = "belly", .at_mm = {68, 0.3, -9}, .mass_g = 9, .density_g_cm3 = 11.34});
  rig.hooks.push_back({.name = "belly hook",
                       .eye_mm = {60, 0, -15},
                       .mass_g = 5,
                       .density_g_cm3 = 7.85,
                       .hang_mm = 16});
  rig.hooks.push_back({.name = "tail hook",
                       .eye_mm = {171, 0, -1},
                       .mass_g = 3,
                       .density_g_cm3 = 7.85,
                       .hang_mm = 12});
  return rig;
}

std::size_t part_named(const rig::Assembly& assembly, const std::string& name) {
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    if (assembly.parts[i].name == name) return i;
  }
  ADD_FAILURE() << "no part named " << name;
  return 0;
}

rig::LaidPart weight_at(const Vec3& at_mm, double mass_g, double wood_g) {
  return {.name = "weight",
          .kind = rig::PartKind::ballast,
          .mass_g = mass_g,
          .centre_mm = at_mm,
          .wood_g = wood_g,
          .wood_centre_mm = at_mm};
}

rig::Assembly wood_alone(double mass_g, const Vec3& at_mm) {
  rig::Assembly made;
  made.undrilled_wood_g = mass_g;
  made.undrilled_wood_centre_mm = at_mm;
  made.water_density_g_cm3 = 1;
  return made;
}

}  // namespace trueblank::water
