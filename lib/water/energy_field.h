// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/parallel.h"
#include "water/sphere_grid.h"
#include "water/waterline.h"

namespace trueblank::water {

/// The energy of a floater over all directions, tabled at the nodes of an even grid and read
/// between them: what all poses are sought in, and what share of all drops each gets.
///
/// Between the nodes the gradient is a blend of the three corners' own first-order expansions with
/// their slopes halved, which is exact for a gradient that is quadratic over the triangle.
class EnergyField {
 public:
  struct Node {
    double energy_g_mm = 0;
    Vec3 gradient_g_mm = Vec3::Zero();  ///< square to up
    Mat3 hessian_g_mm = Mat3::Zero();   ///< as Waterline's
    double offset_mm = 0;
    Vec3 offset_slope_mm = Vec3::Zero();
  };

  /// loop  gets the nodes of one level at a time; the result is the same whatever it does
  /// cost  two to three cuts a node
  EnergyField(const Floater& lure, const SphereGrid& grid, const geometry::ParallelFor& loop);

  [[nodiscard]] const SphereGrid& grid() const { return *grid_; }

  [[nodiscard]] const Node& node(int i) const { return nodes_[static_cast<std::size_t>(i)]; }

  /// What the offset will be at `up`, to first order, from the waterline at a node.
  [[nodiscard]] double foreseen_offset_mm(int i, const Vec3& up) const {
    return node(i).offset_mm + node(i).offset_slope_mm.dot(up - grid_->node(i));
  }

  /// Greatest less least energy over the nodes.
  [[nodiscard]] double range_g_mm() const;

  /// Gradient (square to up) and second derivatives over turns at any direction.
  struct Value {
    Vec3 gradient_g_mm;
    Mat3 hessian_g_mm;  ///< means something only between vectors that are square to up
    int face = 0;
  };

  [[nodiscard]] Value at(const Vec3& up, int near_face) const;

 private:
  const SphereGrid* grid_;
  std::vector<Node> nodes_;
  std::vector<Vec3> steady_gradient_;  // of the extension of E that does not change along rays
  std::vector<Mat3> steady_hessian_;
};

}  // namespace trueblank::water
