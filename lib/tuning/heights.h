// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/mesh.h"
#include "rig/wishes.h"

// How high the skin is over a small region, for many questions. Inside the room.
namespace trueblank::tuning {

/// The lowest (or highest) z of a body's skin over a rectangle of x and y, tabled and read between
/// by straight lines: on a skin of radius R off by no more than spacing² / 8R.
class SkinHeights {
 public:
  enum class Side { belly, back };

  /// body  in the body frame; where the line at (x, y) misses it, the height of the nearest node
  ///       along x that does not is taken
  /// cost  a pass over the facets for each node
  SkinHeights(const geometry::ClosedMesh& body, const rig::Range& x_mm, const rig::Range& y_mm,
              Side side);

  struct Height {
    double z_mm = 0;
    double per_x = 0;
    double per_y = 0;
  };

  [[nodiscard]] Height at(double x_mm, double y_mm) const;

  [[nodiscard]] double least_mm() const;
  [[nodiscard]] double greatest_mm() const;

  /// Whether any line of the rectangle meets the body.
  [[nodiscard]] bool any() const { return any_; }

 private:
  struct Axis {
    double low = 0;
    double step = 0;
    int nodes = 1;
  };

  [[nodiscard]] double node(int ix, int iy) const {
    return z_mm_[static_cast<std::size_t>(iy * x_.nodes + ix)];
  }

  Axis x_;
  Axis y_;
  std::vector<double> z_mm_;
  bool any_ = false;
};

}  // namespace trueblank::tuning
