// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>
#include <vector>

#include "intake/edges.h"

namespace trueblank::intake {

/// The pairs of facets that meet in more than a shared vertex or edge, each as (lower, higher), in
/// rising order. Decided exactly. Facets without area are left out.
///
/// facets  three different corners each; any soup
/// cost    O(F log F) where facets are small against the body
[[nodiscard]] std::vector<std::pair<int, int>> self_intersections(
    const Corners& facets, const Eigen::Matrix3Xd& positions);

}  // namespace trueblank::intake
