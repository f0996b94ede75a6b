// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>

#include "geometry/mesh.h"

namespace trueblank::symmetry {

/// A vertex that stands out.
struct Spot {
  double deviation_mm = 0;
  geometry::Vec3 at_mm = geometry::Vec3::Zero();  ///< in the axes of the body's vertices
};

struct Extremes {
  std::optional<Spot> proudest;  ///< nothing where no vertex is proud
  std::optional<Spot> shyest;    ///< nothing where no vertex is shy
};

/// Where a body is most proud and most shy of its mirror image.
///
/// deviation_mm  a vertex each, as deviation_mm() gives it (0 where the skin was made up)
/// ties          the first vertex
[[nodiscard]] Extremes extremes(const geometry::ClosedMesh& body,
                                std::span<const double> deviation_mm);

}  // namespace trueblank::symmetry
