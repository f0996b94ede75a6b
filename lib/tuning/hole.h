// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/mesh.h"
#include "rig/parts.h"
#include "symmetry/nearest_surface.h"

// A weight as it sits in its hole, and the wood that is left around it. Body frame.
namespace trueblank::tuning {

using geometry::Vec3;

/// What a weight fills: a cylinder of the hole's diameter about its centre of mass, flat at both
/// ends; or, where no hole is known (diameter 0), a ball.
struct Slug {
  Vec3 at_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();  ///< unit
  double diameter_mm = 0;     ///< 0: a ball
  double volume_mm3 = 0;

  [[nodiscard]] bool ball() const { return !(diameter_mm > 0); }

  /// Of the cylinder along its axis; of a ball its diameter.
  [[nodiscard]] double length_mm() const;
  [[nodiscard]] double radius_mm() const;
};

[[nodiscard]] Slug slug_of(const rig::Ballast& ballast);

/// A pocket as the cylinder that is drilled.
[[nodiscard]] Slug slug_of(const rig::Pocket& pocket);

/// One measure of wood around a slug, and how it changes.
struct Wall {
  double mm = 0;                    ///< < 0: the slug pokes out, or into the other, so far
  Vec3 per_mm = Vec3::Zero();       ///< d mm / d at_mm
  double per_mm3 = 0;               ///< d mm / d volume_mm3, the diameter kept
  Vec3 thinnest_mm = Vec3::Zero();  ///< the point of the slug's face where it is
};

/// How closely the wood to the skin is looked for.
enum class Closely {
  fine,   ///< right to 1e-3 mm; features of the skin narrower than 0.25 mm may be missed
  coarse  ///< a tenth of the cost, and never too small: the least right to 0.01 mm on smooth skin
};

/// How many walls to the skin a slug has: 8, of a ball 1.
[[nodiscard]] int wall_count(const Slug& slug);

/// The wood between a slug and the skin: the least distance from its face to the skin, apart for
/// each half of its length in each of four quarters about its axis (an eighth has its part of the
/// flank and of the end; a ball is one), so that each changes smoothly for the most part. The least
/// of them is the wall. The quarters are about ±u and ±v, where u is the first of x, y, z that lies
/// most across the axis and v = axis × u; the halves of the end at +axis come first.
///
/// Where the nearest skin is square to the face a wall's slope is the direction away from the
/// nearest point; of a volume, the ends move apart. A ball of under 0.1 mm radius has the slope
/// per_mm3 of one of 0.1 mm, to keep it finite.
///
/// A wall of < 0 is how far a point of the face lies outside the body.
///
/// skin     one that does not cross itself: where pieces overlap their hidden parts count as skin,
///          and the side is not known
/// returns  wall_count(slug) of them, always in the same order
/// cost     fine: some thousand nearest points, coarse: some 100; a ball: one
[[nodiscard]] std::vector<Wall> walls_to_skin(const Slug& slug,
                                              const symmetry::NearestSurface& skin,
                                              Closely closely = Closely::fine);

/// The wood between two slugs (`per_mm` and `per_mm3` for the first; the second's are in `other`).
struct WallBetween {
  Wall one;
  Wall other;
};

/// Right to 1e-6 mm where they are apart. Where they overlap, minus the least way by which one must
/// be moved to come clear, to 1e-3 mm, and its slopes drive them apart.
/// source  Gilbert, Johnson & Keerthi, IEEE J. Robotics and Automation 4(2), 193-203, 1988 (apart)
[[nodiscard]] WallBetween wall_between(const Slug& one, const Slug& other);

/// The wood between a slug and a round wire along a polyline, each stretch with round ends.
[[nodiscard]] Wall wall_to_wire(const Slug& slug, const rig::Wire& wire);

/// The thinnest of all the wood around one ballast of a rig: to the skin, to the other ballasts, to
/// pockets and to wires.
struct ThinnestWood {
  Wall wall;
  std::string to = {};  ///< "the skin", or the neighbour's name
};

[[nodiscard]] ThinnestWood thinnest_wood(const rig::Rig& rig, std::size_t ballast,
                                         const symmetry::NearestSurface& skin);

/// Whether a slug has a place in a body: the first of these troubles that it has.
struct Fit {
  enum class Trouble {
    none,
    centre_outside,    ///< by how far
    wider_than_body,   ///< the diameter, than the least chord through the centre square to the axis
    longer_than_body,  ///< than the chord along the axis
    pokes_out,         ///< of the skin, by how far
    thin_wall          ///< the wall is so much under wall_min_mm
  };

  Trouble trouble = Trouble::none;
  double by_mm = 0;                 ///< > 0 where there is trouble
  double room_mm = 0;               ///< what there is: the chord, or the wall
  Vec3 thinnest_mm = Vec3::Zero();  ///< where the wall to the skin is thinnest

  [[nodiscard]] bool fits() const { return trouble == Trouble::none; }
};

/// cost  some 20 passes over the facets and fine walls
[[nodiscard]] Fit fits(const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin,
                       const Slug& slug, double wall_min_mm = 0);

}  // namespace trueblank::tuning
