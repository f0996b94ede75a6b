// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>

#include "geometry/mesh.h"
#include "geometry/parallel.h"

namespace trueblank::symmetry {

/// How thick a wall is, how wide a gap: the greatest ball that touches the skin at a point, on the
/// one side or the other, up to the skin that faces that place.
///
/// Two skins face each other where their normals stand at 120° or more. Skin that turns away by
/// less (round the corner of a block, the next facet of a round body) does not count, so that a
/// convex edge is no thin wall; skins that meet in an edge of less than 60° are one, and the ball
/// shrinks to nothing there.
///
/// cost    building: a tree of boxes; a question about log F and the facets that a ball meets: in a
///         round room, where it meets all of the skin at once, all of them
/// source  the ball is shrunk onto each nearer point of the skin in turn: J. Ma, S. W. Bae,
///         S. Choi, "3D medial axis point approximation using nearest neighbors and the normal
///         field", Visual Computer 28, 7-19, 2012 (from memory); here on facets instead of points
class FacingSkin {
 public:
  /// threads  the same bytes whatever `loop` does
  explicit FacingSkin(const geometry::TriangleMesh& mesh,
                      const geometry::ParallelFor& loop = geometry::serial_for);
  ~FacingSkin();
  FacingSkin(FacingSkin&&) noexcept;
  FacingSkin& operator=(FacingSkin&&) noexcept;

  /// Of unit length, outward; zero of a facet without area.
  [[nodiscard]] geometry::Vec3 normal(int facet) const;

  struct Ball {
    double diameter_mm = 0;
    int facet = -1;  ///< of the other skin, where it meets that
  };

  enum class Side { within, outside };

  /// May be asked from several threads at once.
  ///
  /// facet    with area
  /// point    of that facet
  /// side     within: the material's thickness there; outside: the width of the gap
  /// most_mm  > 0; balls greater than this are not looked for
  /// likely_facet  one that is likely touched: saves time and changes nothing; -1: none
  /// returns  nothing where no skin faces it within that
  [[nodiscard]] std::optional<Ball> ball(int facet, const geometry::Vec3& point_mm, Side side,
                                         double most_mm, int likely_facet = -1) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace trueblank::symmetry
