// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "intake/pieces.h"

namespace trueblank::intake {

struct Seams {
  Corners facets;            ///< over the same vertices
  int edges_sewn = 0;        ///< pairs of open edges that are one now, or an edge and its parts
  double greatest_move = 0;  ///< of a vertex, or of an edge onto its parts
  double bound = 0;          ///< the volume can't have changed by more
};

/// Sews open rims that lie on each other: where vertices of rims lie within a hundred-thousandth of
/// the body's diagonal, and a tenth of the rim's edges there, they become one (that of the lowest
/// number); where one open edge lies along several, its facet is cut at their vertices.
///
/// cost  O(open edges · log)
[[nodiscard]] Seams sew_seams(const Pieces& pieces);

}  // namespace trueblank::intake
