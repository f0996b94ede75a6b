// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <utility>

namespace trueblank::geometry {

using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;

/// Triangles over shared vertices, of any quality.
///
/// positions_mm  3×V, a column a vertex
/// facets        3×F, a column a facet, 0-based columns of positions_mm, counter-clockwise seen
///               from outside where the mesh has an outside
struct TriangleMesh {
  Eigen::Matrix3Xd positions_mm;
  Eigen::Matrix3Xi facets;

  [[nodiscard]] int vertex_count() const { return static_cast<int>(positions_mm.cols()); }

  [[nodiscard]] int facet_count() const { return static_cast<int>(facets.cols()); }

  [[nodiscard]] Vec3 corner(int facet, int which) const {
    return positions_mm.col(facets(which, facet));
  }
};

/// A mesh that bounds a volume: every directed edge is met by its opposite equally often, the
/// enclosed volume is positive, every position is finite. So moments and plane cuts have nothing
/// to refuse. (Self-intersections are allowed; a cavity is a shell turned inward.)
class ClosedMesh {
 public:
  [[nodiscard]] const TriangleMesh& mesh() const { return mesh_; }

  [[nodiscard]] const Eigen::Matrix3Xd& positions_mm() const { return mesh_.positions_mm; }

  [[nodiscard]] const Eigen::Matrix3Xi& facets() const { return mesh_.facets; }

  [[nodiscard]] int vertex_count() const { return mesh_.vertex_count(); }

  [[nodiscard]] int facet_count() const { return mesh_.facet_count(); }

  [[nodiscard]] Vec3 corner(int facet, int which) const { return mesh_.corner(facet, which); }

  /// The same facets over moved vertices, p -> scale·turn·p + shift; turn is a rotation, scale > 0.
  [[nodiscard]] ClosedMesh moved(const Mat3& turn, const Vec3& shift_mm, double scale = 1) const;

 private:
  explicit ClosedMesh(TriangleMesh mesh) : mesh_(std::move(mesh)) {}

  friend std::optional<ClosedMesh> closed_mesh(TriangleMesh mesh);
  TriangleMesh mesh_;
};

/// Checks what ClosedMesh promises.
///
/// returns  nothing where an edge has no partner, an index or a position is not usable, or the
///          volume is not positive (an inside-out body is refused, not turned)
/// cost     O(F) and a hash of the edges
[[nodiscard]] std::optional<ClosedMesh> closed_mesh(TriangleMesh mesh);

}  // namespace trueblank::geometry
