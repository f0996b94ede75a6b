// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "body/hints.h"
#include "geometry/mesh.h"

// Inside the room: a body whose outer skin is moved in or out, all over alike.
namespace trueblank::body {

/// A closed body, the directions in which its outer skin moves, and what it displaces then. The
/// walls of a cavity stay.
class MovableSkin {
 public:
  /// body    kept by reference; mm
  /// cavity  what is in its cavities
  MovableSkin(const geometry::ClosedMesh& body, Cavity cavity);

  [[nodiscard]] bool hollow() const { return cavity_mm3_ > 0; }

  [[nodiscard]] double cavity_mm3() const { return cavity_mm3_; }

  /// The body with its skin moved out by `out_mm` (in, where that is negative).
  [[nodiscard]] geometry::TriangleMesh moved(double out_mm) const;

  /// What the body then displaces wholly under water: all within its outer skin, less a flooded
  /// cavity.
  [[nodiscard]] double displaced_mm3(double out_mm) const;

  /// By how much the skin must go out so that the body displaces that; nothing where it isn't
  /// between `least_mm` and `most_mm`.
  [[nodiscard]] std::optional<double> offset_to_displace(double mm3, double least_mm,
                                                         double most_mm) const;

  [[nodiscard]] double outer_area_mm2() const;

  /// The outer skin alone, its cavities filled.
  [[nodiscard]] geometry::TriangleMesh outer() const;

 private:
  const geometry::ClosedMesh& body_;
  std::vector<std::uint8_t> outer_;  ///< of each vertex
  Eigen::Matrix3Xd normals_;         ///< nought at a cavity's walls
  double cavity_mm3_ = 0;
  double flooded_mm3_ = 0;
};

/// The noise of a skin from vertex to vertex, along its normal: one standard deviation. Noise that
/// holds together over many facets is seen only in part, and facets of unlike size on a bend count
/// a little.
///
/// How far each vertex stands off the mean of its neighbours is what the bend makes and what the
/// noise makes; what it stands off more than its neighbours do on average is noise. The middle of
/// those, so that edges and flaws don't count.
/// cost  some passes over the facets
[[nodiscard]] double vertex_noise_mm(const geometry::ClosedMesh& body,
                                     const std::vector<std::uint8_t>& facet_measured);

}  // namespace trueblank::body
