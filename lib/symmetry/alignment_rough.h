// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/parallel.h"
#include "symmetry/alignment_skin.h"

// Inside the room: where a body may lie on another, roughly, from any pose.
namespace trueblank::symmetry {

struct RoughPose {
  Pose pose;        ///< of the other's axes into the body's; its factors are those asked for
  double cost = 0;  ///< 0 where every point of both lies on the other skin, 1 where none is near
};

/// A body's skin for many rough questions: points that stand for all of it, and for each box of a
/// grid about it the nearest place on the skin. In own axes: the principal ones about the middle.
class RoughSkin {
 public:
  /// grow  the factor that the body is taken by
  RoughSkin(const AlignmentSkin& skin, double grow, const geometry::ParallelFor& loop);

  struct Place {
    Eigen::Vector3f at_mm = Eigen::Vector3f::Zero();
    Eigen::Vector3f normal = Eigen::Vector3f::Zero();
    float met = 0;  // 0: there is no measured skin
  };

  /// Of the box that holds the point, or of the nearest one.
  [[nodiscard]] const Place& near(const Eigen::Vector3f& own_mm) const;

  [[nodiscard]] const Eigen::Matrix3Xf& points_mm() const { return points_mm_; }

  [[nodiscard]] const Eigen::Matrix3Xf& normals() const { return normals_; }

  [[nodiscard]] const geometry::Mat3& axes() const { return axes_; }

  [[nodiscard]] const Vec3& middle_mm() const { return middle_mm_; }

  [[nodiscard]] double length_mm() const { return length_mm_; }

  /// Of a cylinder that is as thin.
  [[nodiscard]] double radius_mm() const { return radius_mm_; }

 private:
  Eigen::Matrix3Xf points_mm_;
  Eigen::Matrix3Xf normals_;
  geometry::Mat3 axes_;
  Vec3 middle_mm_;
  double length_mm_ = 0;
  double radius_mm_ = 0;
  Eigen::Vector3f low_mm_;
  float box_mm_ = 1;
  Eigen::Array3i boxes_;
  std::vector<Place> places_;
};

struct RoughSearch {
  bool mirrored = false;
  /// Try places along both bodies' lengths as well, for a part on a whole.
  bool along = false;
  int most = 6;  ///< how many poses are wanted
};

/// The best of the poses that an even grid of turns leads to, each unlike the others, the best
/// first.
///
/// threads  the same bytes whatever `loop` does
/// source   even turns: M. Alexa, "Super-Fibonacci spirals: fast, low-discrepancy sampling of
///          SO(3)", CVPR 2022; the kernel: S. Geman, D. McClure, Bull. Int. Stat. Inst. 52, 1987
[[nodiscard]] std::vector<RoughPose> rough_poses(const RoughSkin& body, const RoughSkin& other,
                                                 double grow, const RoughSearch& how,
                                                 const geometry::ParallelFor& loop);

}  // namespace trueblank::symmetry
