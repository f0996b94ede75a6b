// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "tuning/hole.h"

// The face of a drilled slug in pieces, and how deep its points lie in the wood. Not installed.
namespace trueblank::tuning {

/// A point of a face: how deep it lies in the body (< 0: outside), and how that changes.
struct FacePoint {
  double a_mm = 0;  ///< on its piece
  double b_mm = 0;
  double depth_mm = 0;
  Vec3 at_mm = Vec3::Zero();
  Vec3 slope = Vec3::Zero();  ///< d depth / d at, of unit length
};

/// The depth of points under a skin. Remembers the last facet: neighbours come cheap.
class Depths {
 public:
  explicit Depths(const symmetry::NearestSurface& skin) : skin_(skin) {}

  /// inward  where there is wood if the point lies on the skin itself: gives the slope there
  [[nodiscard]] FacePoint at(const Vec3& point_mm, const Vec3& inward);

 private:
  const symmetry::NearestSurface& skin_;
  int facet_ = -1;
};

/// A quarter of half a flank, or of an end: a over [low_mm, high_mm] around the axis, measured on
/// the flank; b over [0, reach_mm] from the slug's middle along the axis, or from the axis outward.
struct FacePiece {
  Vec3 middle_mm;
  Vec3 axis;
  Vec3 u;
  Vec3 v;
  double radius_mm;
  double half_mm;  ///< half the slug's length
  double side;     ///< 1: the half at +axis, −1: the other
  bool flank;
  double low_mm;
  double high_mm;
  double reach_mm;

  [[nodiscard]] Vec3 outward(double a_mm) const;
  [[nodiscard]] Vec3 point(double a_mm, double b_mm) const;
  [[nodiscard]] Vec3 point_per_a(double a_mm, double b_mm) const;
  [[nodiscard]] Vec3 point_per_b(double a_mm) const;

  [[nodiscard]] FacePoint measured(Depths& depths, double a_mm, double b_mm) const;
};

/// The eighths of a drilled slug in the order of walls_to_skin(): of each its part of the flank and
/// of the end.
struct FaceEighth {
  FacePiece flank;
  FacePiece end;
};

[[nodiscard]] std::vector<FaceEighth> eighths_of(const Slug& slug);

/// Downhill in depth from a point over its piece, by line searches for the zero of the derivative
/// along a, along b, and along the way gone; to 1e-5 mm in place.
/// lines  at most so many
[[nodiscard]] FacePoint shallowest_near(const FacePiece& piece, Depths& depths,
                                        const FacePoint& start, int lines);

}  // namespace trueblank::tuning
