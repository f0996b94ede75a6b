// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::geometry {

/// Whether a point lies inside a closed body, by its winding number: right for any closed mesh,
/// self-intersecting or with cavities. A point on the skin may fall to either side.
/// cost  one pass over the facets
[[nodiscard]] bool contains(const ClosedMesh& body, const Vec3& point_mm);

/// The distance from a point to a body's skin (≥ 0), and the nearest point of the skin.
/// cost  one pass over the facets
struct SkinPoint {
  double distance_mm = 0;
  Vec3 nearest_mm = Vec3::Zero();
};

[[nodiscard]] SkinPoint nearest_on_skin(const ClosedMesh& body, const Vec3& point_mm);

/// Where the segment a→b crosses the body's skin: parameters 0..1 along it, rising; two that
/// belong to one crossing through a shared edge or vertex are given once.
/// cost  one pass over the facets
[[nodiscard]] std::vector<double> crossings(const ClosedMesh& body, const Vec3& a_mm,
                                            const Vec3& b_mm);

/// The parts of the segment a→b that lie inside the body, as [from, to] in 0..1, rising.
/// cost  one pass over the facets
[[nodiscard]] std::vector<std::pair<double, double>> inside_parts(const ClosedMesh& body,
                                                                  const Vec3& a_mm,
                                                                  const Vec3& b_mm);

/// The lowest and the highest z of the skin on the line (x, y, any z); nothing where the line
/// misses the body.
/// cost  one pass over the facets
[[nodiscard]] std::optional<std::pair<double, double>> skin_heights_mm(const ClosedMesh& body,
                                                                       double x_mm, double y_mm);

}  // namespace trueblank::geometry
