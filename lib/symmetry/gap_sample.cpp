// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/gap_sample.h"

#include <algorithm>

namespace trueblank::symmetry {

GapSample gap_sample(const MeasuredSkin& skin, const SkinPoints& points, const Plane& plane,
                     const geometry::ParallelFor& loop) {
  GapSample sample{points.positions_mm, points.normals, points.normals,
                   std::vector<double>(points.weights.size(), 0.0), points.weights};
  constexpr int run_length = 256;
  const int count = points.count();
  loop((count + run_length - 1) / run_length, [&](int run) {
    int likely = -1;
    for (int i = run * run_length; i < std::min(count, (run + 1) * run_length); ++i) {
      const NearestSurface::Hit hit =
          skin.surface().nearest(plane.reflected(points.positions_mm.col(i)), likely);
      likely = hit.facet;
      const std::size_t at = static_cast<std::size_t>(i);
      sample.gaps_mm[at] = hit.signed_distance_mm;
      sample.met_normals.col(i) = skin.normal_at(hit.facet, hit.nearest_mm);
      if (!skin.measured(hit.facet)) sample.areas_mm2[at] = 0;
    }
  });
  return sample;
}

}  // namespace trueblank::symmetry
