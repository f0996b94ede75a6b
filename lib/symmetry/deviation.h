// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "geometry/frame.h"
#include "geometry/parallel.h"
#include "geometry/section.h"

namespace trueblank::symmetry {

using geometry::Plane;

class NearestSurface;

/// The signed deviation at every vertex: +distance(R(p), surface) where the mirror image R(p) of
/// vertex p lies outside the body (this side is proud of its opposite), minus it where inside
/// (shy).
/// threads  the same bytes whatever `loop` does
/// cost     the tree of NearestSurface and a nearest point a vertex
[[nodiscard]] std::vector<double> deviation_mm(const geometry::ClosedMesh& body, const Plane& plane,
                                               const geometry::ParallelFor& loop);

/// What a skin is compared with.
enum class Against { mirror_image, other_body };

/// The same over measured skin only; also of one body from another (symmetry/comparison_skin.h),
/// which then stands where the mirror image does.
struct DeviationField {
  std::vector<double> deviation_mm;  ///< a vertex each; 0 where it does not count
  /// 1 where a vertex carries measured facets and its mirror image meets measured skin: what is
  /// compared with a filled hole tells nothing.
  std::vector<std::uint8_t> counted;
  /// 3×V: the point nearest to the vertex on the skin of the mirror image; the vertex itself where
  /// it does not count.
  Eigen::Matrix3Xd mirror_image_mm = {};
  std::vector<int> opposite_facet = {};  ///< the facet whose mirror image holds it; -1: none
  /// The body's skin (or the other body's), for further questions; nothing where the field was put
  /// together by hand.
  std::shared_ptr<const NearestSurface> surface = {};
  Against against = Against::mirror_image;
  /// A vertex each: how far the smooth skin stands over the flat facet that it met there, < 0 where
  /// the skin is hollow; empty: not known, to be told from this body's own facets.
  std::vector<double> facets_mm = {};
};

/// facet_measured  as in fit_mirror; empty: all
[[nodiscard]] DeviationField deviation_field(const geometry::ClosedMesh& body, const Plane& plane,
                                             std::span<const std::uint8_t> facet_measured,
                                             const geometry::ParallelFor& loop);

/// Area-weighted: a vertex weighs a third of its measured facets' areas.
struct DeviationStatistics {
  double rms = 0;
  double mean_abs = 0;
  double p95 = 0;        ///< the least |deviation| with 95 % of the weight at or below it
  double max_proud = 0;  ///< ≥ 0
  double max_shy = 0;    ///< ≤ 0
};

/// facet_measured  as in fit_mirror; empty: all
[[nodiscard]] DeviationStatistics deviation_statistics(
    const geometry::ClosedMesh& body, std::span<const double> deviation_mm,
    std::span<const std::uint8_t> facet_measured);

/// Over the vertices that count.
[[nodiscard]] DeviationStatistics deviation_statistics(
    const geometry::ClosedMesh& body, const DeviationField& field,
    std::span<const std::uint8_t> facet_measured);

/// Where sections are taken along a body from x = 0 to its length.
struct StationSpacing {
  double step_mm = 10;  ///< at step, 2·step … < length
  int count = 0;        ///< where > 0: the middles of that many equal slices instead
};

/// Sections square to x at the wanted stations; none where the spacing asks for none. Of a step at
/// most ten thousand.
[[nodiscard]] std::vector<geometry::Section> stations(const geometry::ClosedMesh& in_body_frame,
                                                      double length_mm,
                                                      const StationSpacing& spacing);

/// Volumes on either side of y = 0; they sum to the whole.
struct SideVolumes {
  double left_mm3 = 0;
  double right_mm3 = 0;
};

[[nodiscard]] SideVolumes side_volumes(const geometry::ClosedMesh& in_body_frame);

}  // namespace trueblank::symmetry
