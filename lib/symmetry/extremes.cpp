// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/extremes.h"

#include <cstddef>

namespace trueblank::symmetry {

Extremes extremes(const geometry::ClosedMesh& body, std::span<const double> deviation_mm) {
  Extremes found;
  for (std::size_t i = 0; i < deviation_mm.size(); ++i) {
    const double d = deviation_mm[i];
    const double proudest = found.proudest ? found.proudest->deviation_mm : 0;
    const double shyest = found.shyest ? found.shyest->deviation_mm : 0;
    const auto column = static_cast<Eigen::Index>(i);
    if (d > proudest) found.proudest = Spot{d, body.positions_mm().col(column)};
    if (d < shyest) found.shyest = Spot{d, body.positions_mm().col(column)};
  }
  return found;
}

}  // namespace trueblank::symmetry
