// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "intake/edges.h"

namespace trueblank::intake {

/// A soup of facets sewn together two by two across its edges: where more than two facets meet in
/// an edge, those that go on most smoothly belong together, so that a fin or an inner wall comes
/// off the body that it sticks to.
struct Sewn {
  std::vector<int> partner;  ///< the half-edge across, or -1, for each half-edge
  std::vector<int> piece;    ///< of each facet, numbered by first facet
  int pieces = 0;
  int edges_of_many = 0;                ///< in which more than two facets meet
  std::vector<std::uint8_t> turned;     ///< 1 a facet wound against most of its piece
  std::vector<std::uint8_t> one_sided;  ///< 1 a piece that cannot be wound alike, for each piece
};

/// positions  of the vertices, for the smoothness
[[nodiscard]] Sewn sewn(const Corners& facets, const Eigen::Matrix3Xd& positions);

}  // namespace trueblank::intake
