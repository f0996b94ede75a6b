// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"
#include "symmetry/deviation.h"
#include "symmetry/scan_noise.h"

namespace trueblank::symmetry {

class NearestSurface;

/// A body made ready to be compared with others: nearest points, its smoothed normals, the rim of
/// what was measured.
///
/// body            closed; kept by reference
/// facet_measured  a facet each: 0 where it was made up by mending; empty: all; kept by reference
/// threads         the same bytes whatever `loop` does
/// cost            a tree over the facets (about 90 bytes each), some passes
class ComparisonSkin {
 public:
  explicit ComparisonSkin(const geometry::ClosedMesh& body,
                          std::span<const std::uint8_t> facet_measured = {},
                          const geometry::ParallelFor& loop = geometry::serial_for);

  [[nodiscard]] const geometry::ClosedMesh& body() const { return body_; }

  [[nodiscard]] std::span<const std::uint8_t> facet_measured() const { return facet_measured_; }

  [[nodiscard]] const std::shared_ptr<const NearestSurface>& surface() const { return surface_; }

  /// 3×V, unit length, outward, smoothed over a few rings; they jump at ridges.
  [[nodiscard]] const Eigen::Matrix3Xd& normals() const { return normals_; }

  /// A third of its measured facets' areas for each vertex.
  [[nodiscard]] const std::vector<double>& vertex_areas_mm2() const { return areas_mm2_; }

  /// Whether a point of a facet lies on measured skin, and not on its very rim, which stands for
  /// all that lies beyond.
  [[nodiscard]] bool is_measured_at(int facet, const geometry::Vec3& point_mm) const;

  /// How high the smooth skin, as the corners' normals bend it, stands over a point of a flat
  /// facet; nil at corners, over flat skin and where the facet ends at a ridge.
  [[nodiscard]] double arc_mm(int facet, const geometry::Vec3& point_mm) const;

 private:
  const geometry::ClosedMesh& body_;
  std::span<const std::uint8_t> facet_measured_;
  std::shared_ptr<const NearestSurface> surface_;
  Eigen::Matrix3Xd normals_;
  std::vector<double> areas_mm2_;
  std::vector<std::uint8_t> on_rim_;  ///< a vertex each: carries measured and made-up facets
};

/// The signed deviation of one body from another at each of its vertices: > 0 where the vertex lies
/// outside the other. It counts where the vertex carries measured facets and the nearest point lies
/// on measured skin: a nearest point on skin that was made up, or on the rim of what was measured,
/// tells nothing.
///
/// from, onto  in one frame
/// returns     `mirror_image_mm` and `opposite_facet` are of the other body
/// threads     the same bytes whatever `loop` does
/// cost        a nearest point a vertex
[[nodiscard]] DeviationField deviation_onto(
    const ComparisonSkin& from, const ComparisonSkin& onto,
    const geometry::ParallelFor& loop = geometry::serial_for);

/// The noise of two skins that are no mirror images of each other, told from the deviation of the
/// one from the other as scan_noise tells it; so sigma_mm is that of either skin if both had the
/// same: √2·sigma_mm is what the two together put into the deviation, √(σ₁² + σ₂²). What a slight
/// motion, a stretch along each axis and a coat of even thickness do is taken out first.
///
/// from, field  a body and its deviation from the other, or a mean of such
/// returns      sigma exact to about a tenth; next to nil for clean bodies, whatever their shapes
///              and meshes; what noise looks like and what it can't be told from: see scan_noise
/// threads      the same bytes whatever `loop` does
/// cost         about half a second
/// source       restricted likelihood: D. A. Harville, J. Am. Statist. Assoc. 72, 320-338, 1977
[[nodiscard]] ScanNoise noise_of_two(const ComparisonSkin& from, const DeviationField& field,
                                     const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
