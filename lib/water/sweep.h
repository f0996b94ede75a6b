// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <utility>
#include <vector>

#include "geometry/parallel.h"
#include "rig/assembly.h"
#include "water/rest_poses.h"

namespace trueblank::water {

enum class Swept { mass, x, y, z, wood_density, water_density };

/// One quantity of a rig, taken through `count` even steps.
struct SweepAxis {
  Swept what = Swept::mass;
  std::size_t part = 0;  ///< in the assembly; of a mass or a place
  /// Where the part is as the rig stands: centre of mass, eye, middle of the hole. Body frame.
  Vec3 place_mm = Vec3::Zero();
  bool inside = false;  ///< the place must lie in the body
  double nominal = 0;   ///< as the rig stands: g, mm or g/cm³
  double from = 0;      ///< > 0 of a mass or a density
  double to = 0;        ///< likewise; may be less than `from`
  int count = 2;        ///< 2 or more

  [[nodiscard]] double value(int i) const {
    return i == count - 1 ? to : from + (to - from) * i / (count - 1);
  }
};

/// The rig with one quantity set to a value. A mass takes what it displaces and the wood whose
/// place it takes along (heavier()), a place moves the part as one (moved()), a density of wood or
/// water does what the sheet's would; water in pockets is that of the lure. Just what laying the
/// changed rig out anew would give, but for what heavier() and moved() say.
[[nodiscard]] rig::Assembly with_value(const rig::Assembly& assembly, const SweepAxis& axis,
                                       double value);

/// One build of the map: what becomes of it when it is set on the water back up (back_up.h).
struct SweepCell {
  bool told = false;  ///< nothing is told of a part outside the body, or of no mass at all
  bool stands = false;
  State state = State::floats;
  double reserve_g = 0;
  // Nothing where the search for the pose did not converge.
  std::optional<double> tail_down_deg = {};
  std::optional<double> list_deg = {};  ///< nor where a list means nothing
  std::optional<double> least_stiffness_g_mm_per_deg = {};
};

/// What lures do that differ in one or two quantities.
struct Sweep {
  std::vector<SweepAxis> axes;   ///< one or two
  std::vector<SweepCell> cells;  ///< row-major: of two axes (i, j) is at i·axes[1].count + j
  /// The line between builds that stand and builds that do not, as polylines of (value of the
  /// first, value of the second); a closed one ends where it began. Of one axis: points, each
  /// alone, the second value 0.
  std::vector<std::vector<Eigen::Vector2d>> border;
  /// For each axis, the other at its nominal value: between which values it stands, rising.
  std::vector<std::vector<std::pair<double, double>>> stands_between;

  [[nodiscard]] int untold() const;  ///< how many cells nothing is told of
};

/// Sweeps one or two quantities.
///
/// Where four cells that stand around a block lie alike, those between are found by Newton's method
/// from what lies between the four; else the block is cut, down to single cells, each let go by
/// itself. A spot of other builds that is smaller than 16 steps across may be missed there. The
/// border is sought on the sides between neighbouring cells, to 1e-6 of a step where the upright
/// stiffness passes through nil, else to 1e-3, and joined by marching squares (W. Lorensen, H.
/// Cline, Computer Graphics 21(4), 1987, in the plane).
///
/// body      the (coated) body that the water sees
/// bare      the bare body, in which inside parts must lie
/// assembly  of the rig as it stands
/// axes      one or two, of different quantities
/// returns   the same to the last bit whatever the loop does
/// cost      about 4 cuts a cell; a pass over the facets a row where one part's place is swept
[[nodiscard]] Sweep sweep(const CutBody& body, const geometry::ClosedMesh& bare,
                          const rig::Assembly& assembly, std::vector<SweepAxis> axes,
                          const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::water
