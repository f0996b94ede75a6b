// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"
#include "symmetry/patches.h"

// Where on a body a patch lies, in plain words.
namespace trueblank::symmetry {

/// The box of a body in its own frame.
struct BodyExtent {
  geometry::Vec3 low_mm = geometry::Vec3::Zero();
  geometry::Vec3 high_mm = geometry::Vec3::Zero();
};

[[nodiscard]] BodyExtent extent_of(const geometry::ClosedMesh& in_body_frame);

/// How a patch lies, gathered from its vertices.
class PatchSpread {
 public:
  /// normal  of unit length, outward
  void add(const geometry::Vec3& point_mm, const geometry::Vec3& normal, double area_mm2);

  [[nodiscard]] geometry::Vec3 middle_mm() const;  ///< of the area; zero where there is none

  /// Sets place, side, name, stations and heights.
  void describe(const BodyExtent& body, Patch& patch) const;

 private:
  [[nodiscard]] Place place(const BodyExtent& body) const;
  [[nodiscard]] Side side() const;
  /// It runs round the body, and so faces no one way.
  [[nodiscard]] bool all_round() const;
  [[nodiscard]] std::string height_words(const BodyExtent& body) const;

  double area_mm2_ = 0;
  double right_mm2_ = 0;
  double above_mm2_ = 0;
  geometry::Vec3 low_mm_ = geometry::Vec3::Constant(1e300);
  geometry::Vec3 high_mm_ = geometry::Vec3::Constant(-1e300);
  geometry::Vec3 normals_ = geometry::Vec3::Zero();
  geometry::Vec3 moment_ = geometry::Vec3::Zero();
};

}  // namespace trueblank::symmetry
