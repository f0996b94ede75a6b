// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "intake/mend.h"
#include "intake/pieces.h"

namespace trueblank::intake {

/// Closed pieces, facing outward, whose skin crosses that of the kept one or of another such piece
/// (fins stuck through a body, a body drawn as several solids): they are part of it. A piece that
/// meets it in a few points only is none, nor is an open one (a stray hand, some table).
///
/// returns  their numbers, rising
/// cost     as self_intersections over these pieces and what lies beside them; nothing where the
///          kept piece is the only closed one
[[nodiscard]] std::vector<int> pieces_that_cross(const Pieces& pieces);

/// Whether a closed mesh winds round more than it should behind some of its skin (half a per cent
/// of its area): its parts overlap, or it is turned over on itself. Single folds of a noisy scan,
/// which change nothing, don't count.
///
/// cost  O(F), some 8000 rays
[[nodiscard]] bool overlaps_itself(const geometry::TriangleMesh& closed);

/// What taking the outer skin of a body did.
struct Resolved {
  bool done = false;      ///< else the body is as it was: it crosses itself too often
  int pairs = 0;          ///< of facets that crossed
  double change_mm3 = 0;  ///< of the enclosed volume
};

/// Puts the outer skin in the place of the body's mesh. What part of it was measured stays known.
[[nodiscard]] Resolved resolve_crossings(MendedMesh& body);

}  // namespace trueblank::intake
