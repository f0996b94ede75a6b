// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "geometry/frame.h"
#include "geometry/parallel.h"

// Inside the room: the gaps between a skin and its mirror image as a random field.
namespace trueblank::symmetry {

using geometry::Plane;
using geometry::Vec3;

/// Points along the skin with their gaps to the mirror image.
struct GapSample {
  Eigen::Matrix3Xd positions_mm = {};  ///< 3×N, neighbours in the list are neighbours on the skin
  Eigen::Matrix3Xd normals = {};       ///< 3×N, smoothed, unit length, outward
  Eigen::Matrix3Xd met_normals = {};   ///< 3×N, likewise where the point's mirror image meets
  std::vector<double> gaps_mm = {};    ///< > 0 proud
  std::vector<double> areas_mm2 = {};  ///< what each stands for; 0: not to be counted
};

/// About what the plane turns, and how long the body is.
struct PlaneAxes {
  Plane plane;
  Vec3 long_axis = Vec3::UnitX();   ///< unit length, within the plane
  Vec3 centroid_mm = Vec3::Zero();  ///< where the plane's offset is told
  double length_mm = 100;
};

/// A random field on the skin with correlation exp(−d²/2·width²), in standard deviations of one
/// skin.
struct Field {
  double sigma_mm = 0;
  double width_mm = 0;
};

/// Likely fields, and what they do to the plane.
struct GapFields {
  std::vector<Field> likeliest;  ///< one or two, the narrower first; none: no gaps but rounding
  /// What is each point's own, as a field of the vertices' width; a sigma of 0: nothing.
  Field own;
  /// The squares that the fields would leave beside the plane's motions, over those that are there:
  /// near 1 for random fields, far above for a shape that is smooth here and bends sharply there.
  double expected_over_found = 1;
  /// How far the two sides agree on how the skin feels a turn about the long axis, −1 to 1: noise
  /// alone agrees on nothing.
  double turn_agreement = 1;
  /// Mean square by which the gaps grow with that turn, noise taken off.
  double turn_mm2_per_rad2 = 0;
  /// Covariance of (turn about the long axis in rad, yaw in rad, offset in mm at the centroid) of a
  /// least-squares plane, over all fields that the gaps allow, weighed by their likelihood.
  geometry::Mat3 plane_covariance = geometry::Mat3::Zero();
};

/// Restricted likelihood of one or two fields, the plane's three motions projected out, on about
/// two hundred points; gaps of more than four standard deviations (by their median) are flaws and
/// left out. Gaps are taken for known to a part of what neighbours differ by, so that a smooth
/// field's size is read from its waves and not from its last digits. A point p stands for the pair
/// (p, R(p)): its gap is n(p) − n(R(p)), so that two pairs have the covariance 2σ²·(ρ(|p−q|) −
/// ρ(|p−R(q)|)).
///
/// source  D. A. Harville, "Maximum likelihood approaches to variance component estimation", J. Am.
///         Statist. Assoc. 72, 320-338, 1977
[[nodiscard]] GapFields gap_fields(const GapSample& sample, const PlaneAxes& axes,
                                   const geometry::ParallelFor& loop);

/// The same for gaps between two skins that are no mirror images of each other: every point stands
/// for itself, and three shifts of the one skin are projected out. The covariance of a plane, the
/// turn's agreement and its square stay as they are by default.
///
/// middle_mm  of the body
[[nodiscard]] GapFields gap_fields_of_two(const GapSample& sample, const Vec3& middle_mm,
                                          double length_mm, const geometry::ParallelFor& loop);

/// What the plane may be turned about its long axis by gaps of this size at the most, in rad, were
/// they arranged to turn it as far as they can: their root mean square over that of the turn's
/// rows. Of the points that gap_fields would take; cheap.
[[nodiscard]] double most_turn_rad(const GapSample& sample, const PlaneAxes& axes);

}  // namespace trueblank::symmetry
