// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/parallel.h"
#include "symmetry/alignment_pair.h"

// Inside the room: how sure a fitted pose is.
namespace trueblank::symmetry {

/// What the gaps that a pose leaves say of it.
///
/// The gaps, but for flaws that the robust fit rejects, are taken for an even offset (a coat) and a
/// random field with its own correlation along the skin, one or two Gaussians wide; what it does to
/// a least-squares pose follows: J⁺ C J⁺ᵀ. All fields that the gaps allow are weighed by their
/// restricted likelihood, the nine motions and the offset projected out.
///
/// source  D. A. Harville, "Maximum likelihood approaches to variance component estimation", J. Am.
///         Statist. Assoc. 72, 320-338, 1977
class AlignmentEvidence {
 public:
  /// gaps       of points along the skin, each for a like area
  /// length_mm  of the body
  AlignmentEvidence(const std::vector<PairGap>& gaps, const Vec3& about_mm, const Vec3& factors,
                    double length_mm, const geometry::ParallelFor& loop);

  /// Of the motions that the columns of `basis` (9×M; the nine of gap_row) stand for, fitted
  /// together. Of one that the shape leaves open the variance is great, not endless.
  [[nodiscard]] Eigen::MatrixXd covariance(const Eigen::MatrixXd& basis) const;

 private:
  using Square = Eigen::Matrix<double, 9, 9>;
  Square shape_ = Square::Zero();    // Σ rowᵀrow as the shape alone makes it
  Square squares_ = Square::Zero();  // and with what noise adds to it
  Square pulled_ = Square::Zero();   // Σᵢⱼ rowᵢᵀ Cᵢⱼ rowⱼ
};

}  // namespace trueblank::symmetry
