// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/mesh.h"
#include "symmetry/facing_skin.h"
#include "symmetry/nearest_surface.h"

// Inside the room: where on a skin walls and gaps are measured.
namespace trueblank::body {

struct SkinSample {
  int facet = 0;
  geometry::Vec3 at_mm = geometry::Vec3::Zero();
  double area_mm2 = 0;  ///< that it stands for; 0 of those beside sharp edges
};

struct SampleSpacing {
  double every_mm = 0.5;
  double thickness_mm = 0.8;  ///< beside sharp edges: where the skins are up to so far apart
};

/// Facets are halved across their longest edges until none is longer than twice the spacing; each
/// part gives its middle. Of a mesh of many fine facets every so many are taken, each for its
/// neighbours in the file too. Beside each edge where two facets meet at less than 60°, within the
/// body or without it, a few points more on either facet.
/// order  by facet, then those beside edges
[[nodiscard]] std::vector<SkinSample> skin_samples(const geometry::ClosedMesh& body,
                                                   const symmetry::FacingSkin& skin,
                                                   const symmetry::NearestSurface& surface,
                                                   const SampleSpacing& spacing);

}  // namespace trueblank::body
