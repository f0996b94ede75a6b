// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <vector>

#include "rig/assembly.h"
#include "water/floating_bodies.h"
#include "water/sensitivity.h"

// Lures whose rig can be changed a little, for the tests of what a gram and a millimetre change.
namespace trueblank::water {

/// A body with a rig laid out on it.
struct RiggedBody {
  std::shared_ptr<const geometry::ClosedMesh> mesh;
  std::shared_ptr<const geometry::MomentTree> tree;
  rig::Assembly assembly;

  [[nodiscard]] CutBody body() const { return {tree.get()}; }

  [[nodiscard]] Floater lure() const { return floater(body(), rig::add_up(assembly)); }

  /// Where it goes from back up; fails the running test where that is nowhere.
  [[nodiscard]] RestPose pose() const;

  [[nodiscard]] std::vector<HookSize> hooks() const;
};

[[nodiscard]] RiggedBody rigged_body(geometry::ClosedMesh mesh, const rig::Rig& rig);

/// A needle of light wood: a stainless wire from nose to tail below the middle, 9 g of lead in the
/// belly, a 5 g hook under it and 3 g at the tail. It floats back up with a little list, for its
/// lead is 0.3 mm to the right.
[[nodiscard]] rig::Rig needle_rig();

/// Parts by their names in an assembly.
[[nodiscard]] std::size_t part_named(const rig::Assembly& assembly, const std::string& name);

/// A part that displaces nothing, takes `wood_g` of wood away, and weighs `mass_g`.
[[nodiscard]] rig::LaidPart weight_at(const Vec3& at_mm, double mass_g, double wood_g = 0);

/// A rig of wood alone in water of 1 g/cm³, its centre at `at_mm`.
[[nodiscard]] rig::Assembly wood_alone(double mass_g, const Vec3& at_mm = Vec3::Zero());

}  // namespace trueblank::water
