// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// Nearest points of any facets, without a sign: what is closed or wound how doesn't matter.
/// Facets without area are left out.
/// cost  a tree of boxes, about 300 bytes a facet; a question about log F
class NearestSkin {
 public:
  /// mesh  at least one facet with area
  explicit NearestSkin(const geometry::TriangleMesh& mesh);
  ~NearestSkin();
  NearestSkin(const NearestSkin&) = delete;
  NearestSkin& operator=(const NearestSkin&) = delete;

  struct Hit {
    geometry::Vec3 point = geometry::Vec3::Zero();
    double distance = 0;
    int facet = -1;
  };

  [[nodiscard]] Hit nearest(const geometry::Vec3& point) const;

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace trueblank::intake
