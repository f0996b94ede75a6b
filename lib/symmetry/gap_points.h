// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "symmetry/gap_field.h"

// Inside the room: which gaps are looked at, and what the plane's motions do to them.
namespace trueblank::symmetry {

using Rows = Eigen::MatrixX3d;

/// Points folded onto one side of the plane, gaps and rows with them.
struct Folded {
  Eigen::Matrix3Xd positions_mm;  ///< about the centroid; own axes: along, up, off the plane
  Eigen::VectorXd gaps_mm;
  Rows rows;      ///< by how much each gap grows with the plane's three motions
  Rows own_rows;  ///< the same as the normals at the points tell it
  Rows met_rows;  ///< and as those where their mirror images meet tell it; `rows` is the mean
  std::vector<std::uint8_t> beyond;  ///< 1: the point was folded over
  bool mirrored = true;              ///< false: no plane, no mirror images; each point for itself

  /// Σ of the rows' squares without what noise adds to them: the noise of the two sides' normals
  /// is each side's own, so that their products are the shape's.
  [[nodiscard]] geometry::Mat3 shape_squares() const;
};

/// How far the two sides agree, −1 to 1, on how the skin feels a turn about the long axis: the
/// correlation of what the normals of the one and of the other tell of it, averaged along the body
/// and a little across. 1 where a shape fixes the turn, near 0 where noise alone seems to.
///
/// cost  all pairs
[[nodiscard]] double turn_agreement(const Folded& even);

[[nodiscard]] Folded folded(const GapSample& sample, const std::vector<int>& points,
                            const PlaneAxes& axes);

/// Points of a skin that is compared with another one: nothing is folded, the rows are what a shift
/// along each axis does to the gaps.
[[nodiscard]] Folded not_folded(const GapSample& sample, const std::vector<int>& points,
                                const geometry::Vec3& middle_mm);

/// Points that count and are no flaws, in the order of the sample. A flaw's gap is over four
/// standard deviations, told from the median of all.
[[nodiscard]] std::vector<int> sound_points(const GapSample& sample);

/// Of the sound points: two hundred for the likelihood, even over the skin and with neighbours
/// along the path, from the next one to halfway to the next even point.
[[nodiscard]] std::vector<int> likelihood_points(const GapSample& sample,
                                                 const std::vector<int>& sound);

/// Of the sound points: eight hundred for what a field does to the plane, each for a like area.
[[nodiscard]] std::vector<int> even_points(const GapSample& sample, const std::vector<int>& sound);

[[nodiscard]] double area_mm2(const GapSample& sample, const std::vector<int>& points);

}  // namespace trueblank::symmetry
