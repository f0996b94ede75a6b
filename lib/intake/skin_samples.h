// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A place of the skin; each stands for as much area as any other.
struct SkinSample {
  geometry::Vec3 position;
  geometry::Vec3 normal;  ///< of its facet, outward
};

/// Spreads places evenly over the area of facets: the same ones each time, and as many on a plate
/// of two facets as on one of a million.
class SkinSampler {
 public:
  /// area  of all facets that will come
  SkinSampler(double area, int count);
  void add(const geometry::Vec3& a, const geometry::Vec3& b, const geometry::Vec3& c);

  [[nodiscard]] std::vector<SkinSample> take() { return std::move(samples_); }

 private:
  double step_;
  double area_ = 0;  ///< so far
  std::size_t most_;
  std::vector<SkinSample> samples_;
};

/// About so many places of a whole mesh.
[[nodiscard]] std::vector<SkinSample> samples_of(const geometry::TriangleMesh& mesh, int count);

}  // namespace trueblank::intake
