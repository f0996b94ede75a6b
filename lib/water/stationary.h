// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "water/model_step.h"
#include "water/sphere_grid.h"
#include "water/waterline.h"

namespace trueblank::water {

/// Second derivatives over turns along their own two directions, softest first.
struct Curvatures {
  double soft_g_mm = 0;               ///< per rad²
  double stiff_g_mm = 0;              ///< ≥ soft
  Vec3 soft_towards = Vec3::UnitX();  ///< unit, square to up
  Vec3 stiff_towards = Vec3::UnitY();
};

[[nodiscard]] Curvatures curvatures(const Vec3& up, const Mat3& hessian_g_mm);

/// The model of the energy where it slopes so and is so curved.
[[nodiscard]] QuadraticModel model_at(const Vec3& slope_g_mm, const Curvatures& k);

/// The turn, square to up, that a step in that model is.
[[nodiscard]] Vec3 turn_of(const ModelStep& step, const Curvatures& k);

/// Newton's step: the turn, square to up, after which the quadratic model is level.
///
/// k              neither of them nil
/// gradient_g_mm  what of it is along up counts for nothing
[[nodiscard]] Vec3 newton_step(const Curvatures& k, const Vec3& gradient_g_mm);

/// The energy's slope over turns: its gradient, square to `up`, which is where `line` was found.
[[nodiscard]] Vec3 slope_across(const Vec3& up, const Waterline& line);

/// What the offset will be at `to`, to first order, from the waterline at `from`.
[[nodiscard]] double foreseen_offset_mm(const Waterline& line, const Vec3& from, const Vec3& to);

/// Where the gradient over turns vanishes, reached downhill.
struct Stationary {
  Vec3 up = Vec3::UnitZ();
  Waterline line;
  Curvatures curvature;
  bool converged = false;
};

/// Walks downhill in E from `start` to where it is level: Newton's method within a trust region on
/// the sphere (Conn, Gould & Toint, Trust-Region Methods, 2000), which neither a saddle nor a jump
/// in the second derivatives stalls; at most 200 steps.
///
/// returns  `converged` only where the gradient is nil to rounding or the next Newton step is below
///          1e-9 rad; soft or saddle-like places are returned as such, and judged by their
///          curvature
[[nodiscard]] Stationary settle(const Floater& lure, const Vec3& start,
                                std::optional<double> start_mm = {});

/// The same from further off: where a rough body stands beside the lure's own, downhill on that one
/// first, and then on the lure's own from where that ended. What it comes to is as true as what
/// settle() does, but may be a place that lies some degrees from the other's.
[[nodiscard]] Stationary settle_from_afar(const Floater& lure, const Vec3& start,
                                          std::optional<double> start_mm = {});

/// What gradient (g·mm per rad) can't be told from nil: a small multiple of rounding in mass ×
/// size.
[[nodiscard]] double gradient_rounding_g_mm(const Floater& lure);

/// What second derivative (g·mm per rad²) can't be told from nil: the cut face's second moments
/// keep fewer digits than the volume.
[[nodiscard]] double curvature_rounding_g_mm(const Floater& lure);

/// A closed line of directions along which the energy hardly changes.
struct Ring {
  std::vector<Vec3> points;  ///< about half a degree apart, the last one next to the first
  double least_g_mm = 0;     ///< of the energy along it
  double greatest_g_mm = 0;
  bool about_long_axis = false;  ///< goes once round the body's x
  /// The ring's direction nearest to back up (z); of those equally near the one nearest to x.
  Stationary representative;
};

/// A way along a valley: the ring where it closed, else only the directions that it passed.
struct ValleyWalk {
  std::optional<Ring> ring;
  std::vector<Vec3> passed;
};

/// Follows the softest direction from a stationary place along the floor of its valley, and gives
/// the ring where it closes with the energy varying by less than `within_g_mm`.
/// cost  a few waterlines where the floor rises; some thousand where it is a ring
[[nodiscard]] ValleyWalk walk_valley(const Floater& lure, const Stationary& from,
                                     double within_g_mm);

}  // namespace trueblank::water
