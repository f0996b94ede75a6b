// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A closed body whose skin was drawn anew on request, beside what that changed. In the units of
/// the mesh that it was made from, whatever they are.
struct Reshaped {
  geometry::TriangleMesh mesh;                ///< closed and outward as the original
  std::vector<std::uint8_t> vertex_measured;  ///< 1 where a facet at it is
  std::vector<std::uint8_t> facet_measured;   ///< as the nearest facet of the original
  double volume_mm3 = 0;                      ///< of the original
  double volume_change_mm3 = 0;               ///< > 0: it grew
  double greatest_distance_mm = 0;            ///< between the two skins, either way
};

/// Fills in what changed: volumes, and the distances of both skins' vertices and facet middles to
/// the other skin. `out.mesh` must be there; the middles catch a chord as a vertex does not.
/// cost  a tree over either skin, O(log F) a sample
void measure_change(const geometry::TriangleMesh& original, Reshaped& out);

/// Fills in which facets of `out.mesh` and which of its vertices are measured, by the nearest facet
/// of the original.
void carry_measured(const geometry::TriangleMesh& original,
                    std::span<const std::uint8_t> facet_measured, Reshaped& out);

/// 1 where a facet at the vertex is: what was made up has a measured rim.
[[nodiscard]] std::vector<std::uint8_t> vertices_measured(
    const geometry::TriangleMesh& mesh, const std::vector<std::uint8_t>& facet_measured);

}  // namespace trueblank::intake
