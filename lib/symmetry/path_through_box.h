// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

// Inside the room: an order in which neighbours in the list are neighbours in space.
namespace trueblank::symmetry {

/// The place of a point along a curve that fills a box.
/// source  G. M. Morton, "A computer oriented geodetic data base", IBM, 1966
class PathThroughBox {
 public:
  /// positions_mm  the points whose box it fills, at least one
  explicit PathThroughBox(const Eigen::Matrix3Xd& positions_mm);

  [[nodiscard]] std::uint64_t place(const geometry::Vec3& p) const;

 private:
  geometry::Vec3 low_;
  double steps_per_mm_ = 0;
};

/// The listed columns of positions_mm in the order of the path.
[[nodiscard]] std::vector<int> along_path(const Eigen::Matrix3Xd& positions_mm,
                                          const std::vector<int>& columns);

}  // namespace trueblank::symmetry
