// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"

// Inside the room: a rough skin for the first steps of a search.
namespace trueblank::symmetry {

/// A surface with some `facets` facets that stays within a facet's size of the skin; not closed in
/// general. Where the mesh has no more than twice as many, it is given back as it is.
struct CoarseMesh {
  geometry::TriangleMesh mesh;
  std::vector<std::uint8_t> facet_measured;  ///< as in fit_mirror; empty: all
};

/// Vertices in one cell of a grid become one, as in geometry::rough_body, but facets that lie on
/// each other are kept once.
/// cost    O(F log F)
[[nodiscard]] CoarseMesh coarse_mesh(const geometry::TriangleMesh& mesh,
                                     std::span<const std::uint8_t> facet_measured, int facets);

}  // namespace trueblank::symmetry
