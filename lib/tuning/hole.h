// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "rig/parts.h"
#include "rig/wishes.h"
#include "symmetry/nearest_surface.h"
#include "tuning/workpiece.h"

// A weight as it sits in its hole, and the wood that is left around it. Body frame.
namespace trueblank::tuning {

/// What a weight fills: a cylinder of the hole's diameter about its centre of mass, flat at both
/// ends; or, where no hole is known (diameter 0), a ball.
struct Slug {
  Vec3 at_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();  ///< unit
  double diameter_mm = 0;     ///< 0: a ball
  double volume_mm3 = 0;

  /// Of the cylinder along its axis; of a ball its diameter.
  [[nodiscard]] double length_mm() const;
  [[nodiscard]] double radius_mm() const;
};

[[nodiscard]] Slug slug_of(const rig::Ballast& ballast);

/// One measure of wood around a slug, and how it changes.
struct Wall {
  double mm = 0;                    ///< < 0: the slug pokes out so far
  Vec3 per_mm = Vec3::Zero();       ///< d mm / d at_mm
  double per_mm3 = 0;               ///< d mm / d volume_mm3, the diameter kept
  Vec3 thinnest_mm = Vec3::Zero();  ///< the point of the slug's face where it is
};

/// The wood between a slug and the skin: the least distance from its face to the skin, apart for
/// each end and each of four quarters of its flank (a ball: one), so that each changes smoothly for
/// the most part. The least of them is the wall.
/// cost  some 50 nearest points
[[nodiscard]] std::vector<Wall> walls_to_skin(const Slug& slug,
                                              const symmetry::NearestSurface& skin);

/// The wood between two slugs (`per_mm` and `per_mm3` for the first; the second's are in `other`).
struct WallBetween {
  Wall one;
  Wall other;
};

[[nodiscard]] WallBetween wall_between(const Slug& one, const Slug& other);

/// The wood between a slug and a round wire along a polyline.
[[nodiscard]] Wall wall_to_wire(const Slug& slug, const rig::Wire& wire);

/// How one hole is drilled.
struct DrillPlan {
  std::string name = {};
  rig::Mouth from = rig::Mouth::belly;
  Vec3 start_mm = Vec3::Zero();    ///< on the skin, where the drill is set
  Vec3 direction = Vec3::UnitZ();  ///< into the wood, unit
  double depth_mm = 0;             ///< from `start_mm` to the hole's flat end
  double diameter_mm = 0;
  double plug_mm = 0;  ///< of the hole over the weight, to be closed with wood
  double wall_mm = 0;  ///< least wood: to the skin, other holes, wires, along the slug
  Vec3 wall_at_mm = Vec3::Zero();
  std::string wall_to = {};    ///< "the skin", or the name of the neighbour
  double channel_wall_mm = 0;  ///< of the whole hole to other slugs and wires
  /// The whole hole meets the skin elsewhere than at its mouth: it is drilled through.
  bool breaks_out = false;
  /// Of the body's sections along the hole, the one with the least part left of its area and of its
  /// second moment about y (bending up and down); 1 where nothing is taken.
  double area_left = 1;
  double second_moment_left = 1;
  double weakest_station_mm = 0;
};

/// The plans of all drilled weights of a rig, in their order; nothing for one with no diameter.
[[nodiscard]] std::vector<std::optional<DrillPlan>> drill_plans(
    const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin, const rig::Rig& rig,
    const std::vector<std::optional<rig::Mouth>>& mouths);

/// Where a straight line through a slug's centre along its axis leaves the body on either side.
[[nodiscard]] std::optional<std::pair<Vec3, Vec3>> mouths_of(const geometry::ClosedMesh& body,
                                                             const Slug& slug);

/// A wire as it is bent: straight lengths between bends, and what the eyes take.
struct BendPlan {
  struct Bend {
    double from_start_mm = 0;  ///< along the straight wire, without the first eye
    double angle_deg = 0;      ///< between the wire's direction before and after, 0..180
    double twist_deg = 0;  ///< the plane of this bend against that of the one before, −180..180
    Vec3 at_mm = Vec3::Zero();
  };

  std::string name = {};
  double diameter_mm = 0;
  double straight_mm = 0;  ///< along the path, eyes left out
  std::vector<Bend> bends = {};
  int eyes = 2;       ///< a closed loop at each end of the path
  double eye_mm = 0;  ///< of wire, each: the loop and its wraps
  double cut_mm = 0;  ///< straight_mm + eyes · eye_mm
};

/// The eyes' inside diameter and wraps are as makers wind them; both are told with the plan.
/// source  common practice, no published source
inline constexpr double eye_inside_wires = 2.5;  ///< inside diameter of an eye, in wire diameters
inline constexpr double eye_wraps = 3;           ///< turns round the standing wire

[[nodiscard]] BendPlan bend_plan(const rig::Wire& wire);

}  // namespace trueblank::tuning
