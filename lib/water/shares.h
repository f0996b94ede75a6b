// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <vector>

#include "geometry/parallel.h"
#include "water/energy_field.h"

namespace trueblank::water {

/// Where a drop may end: one direction, or the closed line of a ring.
struct Ending {
  std::vector<Vec3> points;
};

/// Steepest descent of E over directions (round metric) on the tabled field, from one start.
struct Descent {
  int ending = -1;            ///< where it was caught; -1 where the field is level elsewhere
  Vec3 last = Vec3::UnitZ();  ///< the last direction
};

/// A step of steepest descent of about `length_rad`, by the quadratic model at `up` followed
/// exactly; shorter only where that model comes to rest sooner or falls off a ridge.
[[nodiscard]] Vec3 descent_step(const Vec3& up, const Vec3& gradient_g_mm, const Mat3& hessian_g_mm,
                                double length_rad);

/// Steepest descent on the energy itself, not the table, to where it stands still.
/// cost  up to 2000 waterlines
[[nodiscard]] Vec3 descend_truly(const Floater& lure, const Vec3& start, double step_rad);

/// What part of all directions each ending is reached from by steepest descent.
///
/// Descends on the tabled field from the middle of each face of a coarser grid (5120 of them), and
/// from six more places in each face whose neighbours end elsewhere. A step follows the local
/// quadratic model's own descent exactly, so that a valley whose sides are a hundred times steeper
/// than its floor costs no more steps than another.
class ShareCount {
 public:
  ShareCount(const EnergyField& field, std::vector<Ending> endings);

  /// From one start, for tests and for starts of the caller's own.
  [[nodiscard]] Descent descend(const Vec3& start) const;

  struct Result {
    std::vector<double> shares;  ///< one an ending
    double unresolved = 0;       ///< the rest, up to rounding
  };

  /// settle_stalled  told where a descent stood still, gives the ending that is truly reached from
  ///                 there, or -1; called in a fixed order on the calling thread
  /// loop            the result is the same whatever it does
  [[nodiscard]] Result count(const geometry::ParallelFor& loop,
                             const std::function<int(const Vec3&)>& settle_stalled) const;

 private:
  [[nodiscard]] int caught_at(const Vec3& up, int face) const;

  const EnergyField* field_;
  std::vector<Ending> endings_;
  std::vector<double> catch_cosine_;  // an ending's: within this of one of its points is caught
  std::vector<std::vector<int>> near_face_;  // endings that may catch within a face
};

}  // namespace trueblank::water
