// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::water {

using geometry::Mat3;
using geometry::Vec3;

/// An even net of directions: an icosahedron whose faces are halved `levels` times, the nodes on
/// the unit sphere. It is its own mirror image in all three coordinate planes.
///
/// Nodes are numbered level by level, so that the first node_count_at(k) are those of k levels;
/// the four faces that face f of a level is cut into are 4f … 4f+3 of the next.
class SphereGrid {
 public:
  explicit SphereGrid(int levels);

  [[nodiscard]] int levels() const { return levels_; }

  [[nodiscard]] int node_count() const { return static_cast<int>(nodes_.size()); }

  [[nodiscard]] int face_count() const { return static_cast<int>(faces_.size()); }

  /// Between two neighbours, about: the icosahedron's edge over 2^levels.
  [[nodiscard]] double spacing_rad() const;

  [[nodiscard]] static int node_count_at(int level) { return 10 * (1 << (2 * level)) + 2; }

  [[nodiscard]] static int face_count_at(int level) { return 20 * (1 << (2 * level)); }

  [[nodiscard]] const Vec3& node(int i) const { return nodes_[at(i)]; }

  /// The two nodes of the level before that node i lies between; {-1, -1} for the first twelve.
  [[nodiscard]] const std::array<int, 2>& parents(int i) const { return parents_[at(i)]; }

  /// The nodes of a face, counter-clockwise seen from outside.
  [[nodiscard]] const std::array<int, 3>& face(int f) const { return faces_[at(f)]; }

  /// The faces across the edges that do not touch corner 0, 1, 2.
  [[nodiscard]] const std::array<int, 3>& across(int f) const { return across_[at(f)]; }

  /// The neighbours of a node, by rising number.
  [[nodiscard]] const std::vector<int>& around(int i) const { return around_[at(i)]; }

  /// Where a direction falls: its face, and its point on the flat triangle as weights that sum to 1
  /// (`shrink` is that point's distance from the middle of the sphere). Walks from `face`.
  struct Spot {
    int face = 0;
    Vec3 weights = Vec3::Zero();
    double shrink = 1;
  };

  [[nodiscard]] Spot locate(const Vec3& direction, int face = 0) const;

 private:
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }

  void halve();
  void link();

  int levels_ = 0;
  std::vector<Vec3> nodes_;
  std::vector<std::array<int, 2>> parents_;
  std::vector<std::array<int, 3>> faces_;
  std::vector<std::array<int, 3>> across_;
  std::vector<std::vector<int>> around_;
  std::vector<Mat3> to_weights_;  // of each face: direction -> weights, before they sum to 1
};

/// The solid angle of the spherical triangle a, b, c (unit vectors).
/// source  Eriksson, Mathematics Magazine 63(3), 184-187, 1990
[[nodiscard]] double solid_angle(const Vec3& a, const Vec3& b, const Vec3& c);

/// The angle between two unit vectors, 0 to π; keeps its digits where it is small.
[[nodiscard]] double angle_between_rad(const Vec3& a, const Vec3& b);

/// Two unit vectors square to `up` and to each other, (first, second, up) right-handed.
struct TangentPair {
  Vec3 first;
  Vec3 second;
};

[[nodiscard]] TangentPair tangents(const Vec3& up);

/// `up` turned by the length of `step` (radians) towards it; step is square to up.
[[nodiscard]] Vec3 turned(const Vec3& up, const Vec3& step);

}  // namespace trueblank::water
