// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A body wrapped anew, in the units of the mesh that it was made from. Where `refused` there is
/// no mesh, and the volumes say why.
struct Wrapped {
  geometry::TriangleMesh mesh;                ///< closed and outward; may cross itself in a few
                                              ///< places in creases and at sharp ridges
  std::vector<std::uint8_t> vertex_measured;  ///< 1 where a facet at it is
  std::vector<std::uint8_t> facet_measured;   ///< as the nearest facet of the input; 0 where the
                                              ///< wrap bridges a notch or a gap
  double finest_mm = 0;     ///< gaps and notches narrower than about this are bridged
  double thickness_mm = 0;  ///< that the wrap had added, measured, mean over the skin
  double left_on_mm = 0;    ///< of it after it was taken off again, mean over the skin, < 0: inside
  double before_mm3 = 0;    ///< enclosed by the input
  double wrapped_mm3 = 0;   ///< enclosed by the wrap, its thickness taken off
  double bound_mm3 = 0;     ///< the most that the wrap can have changed the enclosed volume
  bool refused = false;     ///< the two volumes differ by more than most_wrap_change, or the wrap
                            ///< is not closed
};

/// The most by which the wrapped and the given volume may differ, as a part of the given.
constexpr double most_wrap_change = 0.05;

/// Wraps a body that is closed but too broken to be mended facet by facet: a skin is shrunk onto
/// it from outside as far as a ball of a given size can go, a small offset away; then that offset
/// is measured against the given skin, and taken off again. What lies inside goes (loose facets,
/// folds, walls); a cavity (a shell turned inward) stays as it is.
///
/// An open scan must not be given: the ball goes in by the hole and wraps the skin from both
/// sides. So holes are filled first, and what changes the volume by more than a few per cent is
/// refused.
///
/// filled          closed, outward; may cross itself; any unit
/// facet_measured  1 a facet from the file, 0 made up; one for each facet
/// returns         nothing where the input isn't closed or encloses nothing
/// throws          nothing
/// cost            3 to 10 s; the wrap has 30 000 to 70 000 facets whatever the input
/// source          C. Portaneri, M. Rouxel-Labbé, M. Hemmer, D. Cohen-Steiner, P. Alliez, "Alpha
///                 wrapping with an offset", ACM Trans. Graphics 41(4), 2022, as CGAL has it
[[nodiscard]] std::optional<Wrapped> wrap(const geometry::TriangleMesh& filled,
                                          std::span<const std::uint8_t> facet_measured);

}  // namespace trueblank::intake
