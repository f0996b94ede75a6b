// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"
#include "symmetry/nearest_surface.h"

// Inside the room: what the plane search knows of a skin.
namespace trueblank::symmetry {

/// Points of a skin with what area each stands for and the smoothed normal there.
struct SkinPoints {
  Eigen::Matrix3Xd positions_mm;  ///< 3×N
  Eigen::Matrix3Xd normals;       ///< 3×N, unit length, outward
  std::vector<double> weights;    ///< N, mm²; those of vertices without measured facets are gone

  [[nodiscard]] int count() const { return static_cast<int>(positions_mm.cols()); }
};

/// A body's skin, made ready for many mirror planes: nearest points, normals smoothed over a few
/// rings of facets, even samples, and what was made up.
class MeasuredSkin {
 public:
  /// mesh            with at least one facet; kept by reference
  /// facet_measured  as in fit_mirror; empty: all; kept by reference
  /// threads         the same bytes whatever `loop` does
  MeasuredSkin(const geometry::TriangleMesh& mesh, std::span<const std::uint8_t> facet_measured,
               const geometry::ParallelFor& loop = geometry::serial_for);

  [[nodiscard]] const NearestSurface& surface() const { return surface_; }

  [[nodiscard]] bool measured(int facet) const {
    return facet_measured_.empty() || facet_measured_[static_cast<std::size_t>(facet)] != 0;
  }

  /// The smoothed unit normal at a point of a facet. It turns steadily from facet to facet, and
  /// jumps at ridges.
  [[nodiscard]] Vec3 normal_at(int facet, const Vec3& point_mm) const;

  /// `count` points, each for the same area of measured skin, along a path that winds over the
  /// skin: neighbours in the list are neighbours on the skin. The order of the facets in the mesh
  /// has no say.
  [[nodiscard]] SkinPoints even(int count) const;

  /// Every vertex that carries measured facets, in the same order along the skin.
  [[nodiscard]] SkinPoints vertices() const;

  /// How far the flat facets may stand off the smooth skin that they were drawn from: the root mean
  /// square, over the area, of the height of the arc over its chord. Edges that bend by more than
  /// 40° are meant, and are not counted. Of a fine mesh every so many facets are looked at.
  [[nodiscard]] double facetting_mm() const;

 private:
  void smooth_normals(const geometry::ParallelFor& loop);
  [[nodiscard]] Vec3 smoothed_normal(int facet) const;
  [[nodiscard]] double highest_arc_mm(int facet) const;

  const geometry::TriangleMesh& mesh_;
  std::span<const std::uint8_t> facet_measured_;
  NearestSurface surface_;
  Eigen::Matrix3Xd facet_normals_;      ///< smoothed over the neighbours
  Eigen::Matrix3Xd vertex_normals_;     ///< of those about each vertex
  std::vector<int> facets_along_skin_;  ///< measured ones only
  std::vector<double> area_mm2_;        ///< of every facet
};

}  // namespace trueblank::symmetry
