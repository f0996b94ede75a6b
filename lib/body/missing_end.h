// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

#include "geometry/mesh.h"
#include "intake/mend.h"

// Inside the room: an end of a body that was not scanned.
namespace trueblank::body {

/// How far from the end that a body has its true end may lie, in the mesh's unit. Both are nought
/// where the end was scanned.
struct EndDoubt {
  double beyond = 0;    ///< further out, at most
  double short_of = 0;  ///< further in, at most

  [[nodiscard]] bool made_up() const { return beyond > 0 || short_of > 0; }
};

/// The end of a mended body towards a direction.
///
/// The true end lies no further in than the skin that was scanned. Where a hole's filling stands
/// out farther, or may do so, it lies no further out than where the tangents of the skin around
/// the hole meet over its middle, the skin bending one way only; than twice the hole's width where
/// they hardly meet; and than the tip of a cone with as much volume as the hole's own bound leaves,
/// which a skin that bends one way holds.
///
/// facet_measured  1 a facet that was scanned, 0 one made up; a facet each
/// holes           of the mended mesh, in the same unit; a filling that is none of them (a wrap's)
///                 goes by its tangents alone
/// outward         unit length
/// cost            one pass over the facets, and some for each hole that may be the end
[[nodiscard]] EndDoubt end_doubt(const geometry::TriangleMesh& mesh,
                                 std::span<const std::uint8_t> facet_measured,
                                 std::span<const intake::FilledHole> holes,
                                 const geometry::Vec3& outward);

}  // namespace trueblank::body
