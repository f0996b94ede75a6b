// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "geometry/mesh.h"

// A hollow body's outer skin and the walls of its cavities.
namespace trueblank::geometry {

/// 1 for each vertex of a shell that faces outward, 0 for those of a cavity's wall (a connected
/// piece of the skin that encloses less than nothing) and for those without facets.
[[nodiscard]] std::vector<std::uint8_t> on_outer_skin(const TriangleMesh& closed);

/// The facets whose vertices are marked, in their order, over all the vertices, which so keep their
/// numbers.
[[nodiscard]] TriangleMesh facets_over(const TriangleMesh& mesh,
                                       const std::vector<std::uint8_t>& vertices);

/// All within a body's outer skin, its cavities filled, over all the body's vertices.
/// returns  nothing where the outer skin alone bounds no volume
[[nodiscard]] std::optional<ClosedMesh> outer_skin(const ClosedMesh& body);

}  // namespace trueblank::geometry
