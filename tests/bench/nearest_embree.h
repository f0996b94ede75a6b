// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <vector>

#include "geometry/mesh.h"

// Apart from the rest, so that Embree's headers meet no others.
namespace trueblank::bench {

/// Nearest points of a skin by Embree's point query, on one thread, asked in a row: each query
/// begins with the distance to the facet that was nearest to the one before. Embree keeps the boxes
/// (in float) and hands over the facets that they leave; the distance to a facet is found here, in
/// double.
class ByEmbree {
 public:
  explicit ByEmbree(const geometry::TriangleMesh& mesh);
  ~ByEmbree();
  ByEmbree(const ByEmbree&) = delete;
  ByEmbree& operator=(const ByEmbree&) = delete;

  /// Without a sign.
  [[nodiscard]] std::vector<double> distances(const std::vector<geometry::Vec3>& questions) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace trueblank::bench
