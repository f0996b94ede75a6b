// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>

#include "geometry/cut.h"
#include "geometry/moment_tree.h"

namespace trueblank::water {

using geometry::Mat3;
using geometry::Vec3;

/// All that the water asks of a body: what of it lies below a plane, how far it reaches, and its
/// whole volume. Two ways to answer, a moment tree or a plain loop over the facets, so that one
/// can be the judge of the other; or a third one of the caller's own (a body that a formula cuts).
/// Refers to the body it is made of, which must outlive it.
class CutBody {
 public:
  using Below = geometry::BelowPlane (*)(const void* body, const geometry::Plane& plane);
  using Extent = std::pair<double, double> (*)(const void* body, const Vec3& direction);

  CutBody() = default;
  CutBody(const geometry::MomentTree* tree);  // NOLINT(google-explicit-constructor): reads as one
  explicit CutBody(const geometry::ClosedMesh* mesh);

  /// `body` is handed to `below_plane` and `extent`, which may be called from several threads at
  /// once.
  CutBody(const void* body, Below below_plane, Extent extent, double whole_volume_mm3,
          const Vec3& whole_first_moment_mm4)
      : body_(body),
        below_(below_plane),
        extent_(extent),
        volume_mm3_(whole_volume_mm3),
        first_moment_mm4_(whole_first_moment_mm4) {}

  [[nodiscard]] geometry::BelowPlane below(const geometry::Plane& plane) const {
    return below_(body_, plane);
  }

  /// The least and greatest direction·p over the body.
  [[nodiscard]] std::pair<double, double> extent_mm(const Vec3& direction) const {
    return extent_(body_, direction);
  }

  /// The tree of the rough body beside it, where it is a tree that has one.
  [[nodiscard]] const geometry::MomentTree* rough() const { return rough_; }

  [[nodiscard]] double volume_mm3() const { return volume_mm3_; }

  [[nodiscard]] const Vec3& first_moment_mm4() const { return first_moment_mm4_; }

 private:
  const void* body_ = nullptr;
  Below below_ = nullptr;
  Extent extent_ = nullptr;
  const geometry::MomentTree* rough_ = nullptr;
  double volume_mm3_ = 0;
  Vec3 first_moment_mm4_ = Vec3::Zero();
};

}  // namespace trueblank::water
