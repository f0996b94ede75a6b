// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "geometry/mesh.h"
#include "geometry/moment_tree.h"
#include "rig/mass_model.h"
#include "water/waterline.h"

// Lures that nobody would make, and some that one might: body and rig drawn by a number. The same
// number draws the same lure on every machine.
namespace trueblank::water {

/// Bodies of 80 to 250 mm, of 1000 to 4000 facets unless fewer are asked for; lures of 20 to 200 g,
/// of which about one in six is heavier than the water it displaces.
struct RandomLure {
  std::unique_ptr<const geometry::ClosedMesh> bare;
  std::unique_ptr<const geometry::ClosedMesh> coated;  ///< nothing where the rig has no finish
  std::unique_ptr<const geometry::MomentTree> tree;    ///< of what displaces
  rig::Rig rig;
  rig::RiggedLure rigged;
  Floater lure;
  std::string told;  ///< what was drawn, in a line

  [[nodiscard]] const geometry::ClosedMesh& wet() const { return coated ? *coated : *bare; }
};

[[nodiscard]] RandomLure random_lure(std::uint64_t number, int least_facets = 1000,
                                     int most_facets = 4000);

}  // namespace trueblank::water
