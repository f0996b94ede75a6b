// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/copies_by_place.h"

#include <algorithm>
#include <cmath>

namespace trueblank::symmetry {

namespace {

struct Sums {
  double area = 0;
  double mean = 0;
  double variance = 0;
};

// Which of the four ways a normal faces most; skin that faces an end goes with the nearest.
std::size_t face_of(const geometry::Vec3& normal) {
  if (std::abs(normal.z()) >= std::abs(normal.y())) return normal.z() >= 0 ? 0 : 2;
  return normal.y() >= 0 ? 1 : 3;
}

}  // namespace

std::vector<SliceOfCopies> by_place(const ComparisonSkin& master, const CopiesResult& result,
                                    int slices) {
  const Eigen::Matrix3Xd& positions = master.body().positions_mm();
  const double low = positions.row(0).minCoeff();
  const double step = (positions.row(0).maxCoeff() - low) / slices;
  std::vector<std::array<Sums, 4>> sums(static_cast<std::size_t>(slices));
  for (Eigen::Index v = 0; v < positions.cols(); ++v) {
    const std::size_t at = static_cast<std::size_t>(v);
    const double area = master.vertex_areas_mm2()[at];
    if (result.counts[at] < 2 || !(area > 0)) continue;
    const double station = (positions(0, v) - low) / step;
    const int slice = std::clamp(static_cast<int>(station), 0, slices - 1);
    Sums& own = sums[static_cast<std::size_t>(slice)][face_of(master.normals().col(v))];
    own.area += area;
    own.mean += area * result.mean_mm[at];
    own.variance += area * result.spread_mm[at] * result.spread_mm[at];
  }
  std::vector<SliceOfCopies> places;
  for (int i = 0; i < slices; ++i) {
    SliceOfCopies& slice = places.emplace_back(
        SliceOfCopies{.from_mm = low + i * step, .to_mm = low + (i + 1) * step});
    for (std::size_t k = 0; k < slice.faces.size(); ++k) {
      const Sums& own = sums[static_cast<std::size_t>(i)][k];
      if (!(own.area > 0)) continue;
      slice.faces[k] = {.mean_mm = own.mean / own.area,
                        .spread_mm = std::sqrt(own.variance / own.area)};
    }
  }
  return places;
}

}  // namespace trueblank::symmetry
