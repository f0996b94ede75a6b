// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

#include "geometry/mesh.h"
#include "geometry/parallel.h"

namespace trueblank::symmetry {

using geometry::Vec3;

/// Nearest points of a surface, for many questions to one body.
///
/// The sign comes from the angle-weighted normal of the facet, edge or vertex that holds the
/// nearest point, so that it is right at ridges too.
///
/// cost    building: some passes and a tree of boxes, about 125 bytes a facet; a question about
///         log F, many times less where the hint is near and the answer at the point itself
/// source  Bærentzen & Aanæs, IEEE TVCG 11(3), 243-253, 2005 (signed distance by pseudonormals)
class NearestSurface {
 public:
  /// threads  the same bytes whatever `loop` does
  explicit NearestSurface(const geometry::TriangleMesh& mesh,
                          const geometry::ParallelFor& loop = geometry::serial_for);
  ~NearestSurface();
  NearestSurface(NearestSurface&&) noexcept;
  NearestSurface& operator=(NearestSurface&&) noexcept;

  struct Hit {
    double signed_distance_mm = 0;  ///< > 0 outside
    Vec3 nearest_mm = Vec3::Zero();
    int facet = -1;
  };

  /// May be asked from several threads at once.
  ///
  /// likely_facet  a facet that is likely near (the last hit of a neighbour): saves time, and
  ///               changes nothing but which of several equally near facets is named; -1: none
  [[nodiscard]] Hit nearest(const Vec3& point_mm, int likely_facet = -1) const;

  struct Reached {
    double distance_mm = 0;
    Vec3 nearest_mm = Vec3::Zero();
    int facet = -1;
  };

  /// The nearest point that is come to from a facet by going over the skin while that comes nearer.
  /// Where the facet was the nearest a little while ago, so mostly is what is reached; other parts
  /// of the skin are not looked at, and may be nearer.
  [[nodiscard]] Reached reached_from(int facet, const Vec3& point_mm) const;

  /// The facet over an edge (edge k runs from corner k to the next); -1: none.
  [[nodiscard]] int across(int facet, int edge) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace trueblank::symmetry
