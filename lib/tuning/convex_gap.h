// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

// How far two round rods are apart. Not installed.
namespace trueblank::tuning {

using geometry::Vec3;

/// All points within `margin_mm` of a cylinder with flat ends: a drilled slug has no margin, a ball
/// has nothing else, and a length of wire is the margin about a line.
struct Rod {
  Vec3 middle_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();  ///< unit
  double half_mm = 0;         ///< of the cylinder's length
  double radius_mm = 0;       ///< of the cylinder
  double margin_mm = 0;

  /// How far it reaches from its middle in a direction n of unit length; to −n likewise.
  [[nodiscard]] double reach_mm(const Vec3& n) const;

  /// The point that reaches farthest along n.
  [[nodiscard]] Vec3 farthest_mm(const Vec3& n) const;
};

struct Gap {
  double mm = 0;                  ///< < 0: how far one must at least be moved to come clear
  Vec3 n = Vec3::UnitX();         ///< from the other to the one: d mm / d one's middle
  Vec3 on_one_mm = Vec3::Zero();  ///< nearest to the other, or deepest in it
  Vec3 on_other_mm = Vec3::Zero();
};

/// Right to 1e-6 mm where they are apart, to 1e-3 mm where they overlap.
[[nodiscard]] Gap gap_between(const Rod& one, const Rod& other);

}  // namespace trueblank::tuning
