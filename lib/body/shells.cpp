// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/shells.h"

#include "geometry/shells.h"

namespace trueblank::body {

std::vector<std::uint8_t> outside_measured(const intake::MendedMesh& mended) {
  std::vector<std::uint8_t> measured = mended.facet_measured;
  if (!(mended.cavity_mm3 > 0)) return measured;
  const std::vector<std::uint8_t> outer = geometry::on_outer_skin(mended.mesh);
  for (int f = 0; f < mended.mesh.facet_count(); ++f) {
    if (outer[static_cast<std::size_t>(mended.mesh.facets(0, f))] == 0) {
      measured[static_cast<std::size_t>(f)] = 0;
    }
  }
  return measured;
}

}  // namespace trueblank::body
