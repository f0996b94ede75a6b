// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>

#include "geometry/mesh.h"
#include "geometry/parallel.h"

namespace trueblank::symmetry {

/// A motion of one body onto another: p → scale·turn·p + shift.
struct Motion {
  geometry::Mat3 turn = geometry::Mat3::Identity();
  geometry::Vec3 shift_mm = geometry::Vec3::Zero();
  double scale = 1;

  [[nodiscard]] geometry::Vec3 operator()(const geometry::Vec3& p) const {
    return scale * (turn * p) + shift_mm;
  }
};

struct Alignment {
  Motion motion;      ///< of the other body into the body's axes
  double rms_mm = 0;  ///< area-weighted, of the other's measured skin off the body's
  /// Likewise of the best motion that turns the other body to lie differently: where it is no
  /// greater by much, the shape doesn't tell how the two belong together.
  double runner_up_rms_mm = 0;
};

struct AlignOptions {
  bool fit_scale = false;
};

/// The motion that brings one scan of a body onto another, from wherever they lie: both in their
/// principal axes, the four turns that leave the axes in place (eight where a body is about as wide
/// as high), each refined by a robust kernel that narrows to what the gaps show; the best is then
/// refined on many points. Flaws on one of the two don't pull.
///
/// body, other     closed, any axes, mm
/// *_measured      as in fit_mirror; empty: all
/// threads         the same bytes whatever `loop` does
/// cost            a tree over the body, and about a million nearest points
/// source          point to plane: Y. Chen, G. Medioni, Image Vision Comput. 10, 145-155, 1992; the
///                 kernel: J. Zhang, Y. Yao, B. Deng, IEEE TPAMI 44(7), 2022
[[nodiscard]] Alignment aligned(const geometry::ClosedMesh& body,
                                std::span<const std::uint8_t> body_measured,
                                const geometry::ClosedMesh& other,
                                std::span<const std::uint8_t> other_measured,
                                const AlignOptions& options = {},
                                const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
