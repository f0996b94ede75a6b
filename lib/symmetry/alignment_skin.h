// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"
#include "symmetry/measured_skin.h"

// Inside the room: what an alignment needs of either body.
namespace trueblank::symmetry {

/// A turn, with or without a mirroring, factors along the axes that it turns to, and a shift:
/// p → factors∘(turn·p) + shift.
struct Pose {
  geometry::Mat3 turn = geometry::Mat3::Identity();  ///< orthogonal; determinant −1 mirrors
  Vec3 factors = Vec3::Ones();
  Vec3 shift_mm = Vec3::Zero();

  [[nodiscard]] Vec3 operator()(const Vec3& p) const {
    return factors.cwiseProduct(turn * p) + shift_mm;
  }

  [[nodiscard]] Vec3 back(const Vec3& q) const {
    return turn.transpose() * (q - shift_mm).cwiseQuotient(factors);
  }

  /// Unit normals go by the inverse's transpose.
  [[nodiscard]] Vec3 normal(const Vec3& n) const {
    return (turn * n).cwiseQuotient(factors).stableNormalized();
  }
};

/// A skin with what of it can be met: measured facets, but for the rim towards what was made up.
/// What lies beyond the rim of a part has the rim for its nearest place, and means nothing.
class AlignmentSkin {
 public:
  /// Both are kept by reference. threads: the same bytes whatever `loop` does.
  AlignmentSkin(const geometry::TriangleMesh& mesh, std::span<const std::uint8_t> facet_measured,
                const geometry::ParallelFor& loop);

  [[nodiscard]] const MeasuredSkin& skin() const { return skin_; }

  /// A place on a facet.
  [[nodiscard]] bool meets(int facet, const Vec3& place_mm) const {
    if (!skin_.measured(facet)) return false;
    return on_rim_.empty() || !lies_on_rim(facet, place_mm);
  }

  /// Area centroid of the measured skin, and its principal axes, the longest first, right-handed.
  [[nodiscard]] const Vec3& middle_mm() const { return middle_mm_; }

  [[nodiscard]] const geometry::Mat3& axes() const { return axes_; }

  /// Root mean squares of the measured skin along its axes.
  [[nodiscard]] const Vec3& spread_mm() const { return spread_mm_; }

  /// Along the longest axis.
  [[nodiscard]] double length_mm() const { return length_mm_; }

 private:
  [[nodiscard]] bool lies_on_rim(int facet, const Vec3& place_mm) const;

  MeasuredSkin skin_;
  const geometry::TriangleMesh& mesh_;
  std::vector<std::uint8_t> on_rim_;  // a vertex each; empty: none
  Vec3 middle_mm_ = Vec3::Zero();
  geometry::Mat3 axes_ = geometry::Mat3::Identity();
  Vec3 spread_mm_ = Vec3::Ones();
  double length_mm_ = 1;
};

}  // namespace trueblank::symmetry
