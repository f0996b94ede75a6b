// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A closed mesh with a vertex of its own for each sheet of the skin that goes through one, so that
/// around each vertex the facets make one ring. Where an edge has four facets or more, those that
/// go on most smoothly belong together.
///
/// returns  the facets in their order, vertices in the order of the file, a vertex's sheets one
///          after the other; vertices that no facet uses are gone. Nothing where an edge has no
///          partner that is wound alike.
/// cost     O(F log F)
[[nodiscard]] std::optional<geometry::TriangleMesh> in_sheets(const geometry::TriangleMesh& closed);

}  // namespace trueblank::intake
