// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/mass_model.h"

#include "geometry/coat.h"
#include "rig/assembly.h"

namespace trueblank::rig {

RiggedLure rigged(const geometry::ClosedMesh& body, const geometry::Moments& whole,
                  const Rig& rig) {
  if (!rig.finish) return add_up(assemble(body, whole, rig, whole));
  const std::optional<geometry::ClosedMesh> skin = geometry::coated(body, rig.finish->thickness_mm);
  return rigged(body, whole, rig, skin ? geometry::moments(*skin) : whole);
}

RiggedLure rigged(const geometry::ClosedMesh& body, const geometry::Moments& whole, const Rig& rig,
                  const geometry::Moments& coated) {
  return add_up(assemble(body, whole, rig, coated));
}

}  // namespace trueblank::rig
