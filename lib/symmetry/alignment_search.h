// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "geometry/mesh.h"
#include "geometry/parallel.h"
#include "symmetry/alignment.h"

namespace trueblank::symmetry {

/// How sure an alignment is: one standard deviation each, along the body's axes.
struct AlignmentDoubt {
  geometry::Vec3 turn_deg = geometry::Vec3::Zero();  ///< about the lines through `at_mm`
  geometry::Vec3 shift_mm = geometry::Vec3::Zero();  ///< of what lies at `at_mm`
  double scale = 0;                                  ///< of motion.scale; 0 where it was not fitted
  geometry::Vec3 at_mm = geometry::Vec3::Zero();     ///< the body's centroid of volume
  /// Of (turn about x, y, z in rad; shift along x, y, z in mm), with the scale fitted where it was.
  Eigen::Matrix<double, 6, 6> covariance = Eigen::Matrix<double, 6, 6>::Zero();
  /// The two fit just as well however the one is turned about its long axis: what turn_deg says of
  /// that turn is a quarter of a circle and more.
  bool turn_is_open = false;
  /// Another pose, by more than 20° or a tenth of the length, fits as well as the noise can tell:
  /// turn_deg and shift_mm are of the two together, the covariance of the one found.
  bool another_fits = false;
};

/// A factor by which the body is larger than the other (above 1: the other is smaller), with one
/// standard deviation. A copy's shrinkage in percent is 100·(1 − 1/factor).
struct Factor {
  double factor = 1;
  double sd = 0;
};

/// How much of a skin was compared with the other skin, of its measured area, 0 to 1.
struct SkinCompared {
  /// Has measured skin of the other opposite it that faces the same way, no farther off than
  /// `reach_mm` of the alignment: what can be compared, like or unlike.
  double compared = 0;
  /// And is no farther off than the noise explains, four standard deviations.
  double alike = 0;
};

/// The pose of another body on a body, with what is known of it.
struct AlignmentFit {
  /// Of the other into the body's axes: p → scale·turn·p + shift, or scale·turn·(x, −y, z) + shift
  /// where it is mirrored. The scale is 1 unless it was to be fitted.
  Motion motion;
  /// The other is the body's mirror image: it was mirrored, y → −y in its own axes, before it was
  /// moved. Never where both fit about equally, as those of a true lure do.
  bool mirrored = false;
  /// Of the distances of the better covered skin, area-weighted, none counted for more than the
  /// reach; skin with nothing opposite counts as that.
  double rms_mm = 0;
  /// Likewise of the best pose that lies differently (by more than 20°, or a tenth of the length),
  /// mirrored or not as the motion is: where it is no greater by much, the shape doesn't tell how
  /// the two belong together. Nothing where no other pose holds.
  std::optional<double> runner_up_rms_mm;
  /// Likewise of the best pose of the other kind: mirrored where the motion is not, and so on.
  std::optional<double> other_handed_rms_mm;
  double noise_mm = 0;  ///< one standard deviation of the gaps, as their middle half shows it
  double reach_mm = 0;  ///< how far off skin still counts as compared
  SkinCompared body;
  SkinCompared other;
  AlignmentDoubt doubt;

  /// The one factor that would fit best, had it been free (it is motion.scale where it was);
  /// nothing where the compared skin does not tell it: sd above 0.1.
  std::optional<Factor> size;
  /// Where `size` lies within 3 % of 25.4, 10, 100, 1000, 2.54, 304.8 (inches, centimetres, feet
  /// for millimetres, and so on) or one of their inverses: that one. The other's units are then
  /// likely wrong by it.
  std::optional<double> likely_unit_factor;
  /// Where the scale was to be fitted: factors along the body frame's x, y and z, fitted together
  /// with turn and shift, each as `Factor` says; they hold the uniform one. One that the compared
  /// skin does not tell has an sd above 0.1.
  std::optional<std::array<Factor, 3>> stretch;

  [[nodiscard]] geometry::Vec3 operator()(const geometry::Vec3& p) const {
    return motion(mirrored ? geometry::Vec3(p.x(), -p.y(), p.z()) : p);
  }

  /// The same as a matrix on (x, y, z, 1); its upper left has a negative determinant where
  /// mirrored.
  [[nodiscard]] Eigen::Matrix4d matrix() const;
};

struct AlignmentSearchOptions {
  bool fit_scale = false;     ///< one factor, and three on top in `stretch`
  bool look_mirrored = true;  ///< try the mirror image too
};

/// The motion that brings a body onto another from any pose, with no hint: one may be a part of the
/// other (an end, a side), a mirror image, unlike it in places. Every turn of an even grid is tried
/// at places along both bodies' axes, on some hundred points and a grid of nearest points; the best
/// are refined on the skins themselves, the very best on many points of both, by a kernel that
/// narrows to what the gaps show, so that a flaw or a change of shape doesn't pull.
///
/// body            closed, in its body frame (x aft, y right, z to the back) for `stretch` and the
///                 doubts to mean what they say; mm
/// other           closed, any axes and place, mm
/// *_measured      a facet each: 0 where it was made up by mending; empty: all measured
/// returns         always a motion; where the two have nothing to do with each other, one with
///                 little `compared` and less `alike`
/// threads         the same bytes whatever `loop` does
/// cost            two trees and some half a million nearest points, more for parts; two or three
///                 seconds for 100,000 facets each on one core
/// source          point to plane: Y. Chen, G. Medioni, Image Vision Comput. 10, 145-155, 1992; the
///                 kernel: J. Zhang, Y. Yao, B. Deng, IEEE TPAMI 44(7), 2022; truncated cost:
///                 D. Chetverikov et al., Image Vision Comput. 23, 299-309, 2005; doubt: as in
///                 plane_uncertainty.h
[[nodiscard]] AlignmentFit fit_alignment(const geometry::ClosedMesh& body,
                                         std::span<const std::uint8_t> body_measured,
                                         const geometry::ClosedMesh& other,
                                         std::span<const std::uint8_t> other_measured,
                                         const AlignmentSearchOptions& options = {},
                                         const geometry::ParallelFor& loop = geometry::serial_for);

/// The other body moved by the fit, mirrored first where it is; the same vertices and facets in the
/// same order (of a mirrored one each facet's last two corners are swapped).
[[nodiscard]] geometry::ClosedMesh placed(const geometry::ClosedMesh& other,
                                          const AlignmentFit& fit);

}  // namespace trueblank::symmetry
