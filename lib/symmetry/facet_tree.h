// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"

// Inside the room: boxes about the facets of a mesh, for looking near a point.
namespace trueblank::symmetry {

/// A tree of boxes, four to a node, in single precision and never too small. Which child lies where
/// follows from its number, so that nothing but boxes is kept: 36 bytes a facet.
///
/// cost    building: some twenty partial sorts of the facets
/// source  median split: J. L. Bentley, Comm. ACM 18(9), 509-517, 1975; nearest child first:
///         N. Roussopoulos, S. Kelley, F. Vincent, "Nearest neighbor queries", SIGMOD 1995
class FacetTree {
 public:
  FacetTree() = default;

  /// positions  3×V
  /// threads    the same tree whatever `loop` does
  FacetTree(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
            const geometry::ParallelFor& loop);

  /// Calls visit(facet, within2) for the facets whose boxes are not further from p than the square
  /// root of within2, which visit may lower as it finds nearer ones; near boxes first.
  ///
  /// p  of less than 1e15 mm
  template <class Visit>
  void look_near(const geometry::Vec3& p, double within2, const Visit& visit) const;

 private:
  static constexpr int children = 4;
  static constexpr int most_levels = 16;  // 4¹⁶ facets are more than an int counts
  using Lanes = Eigen::Array4f;

  struct Node {
    std::array<Lanes, 3> low;
    std::array<Lanes, 3> high;
  };

  struct Waiting {
    float off2;
    int level;
    int node;
  };

  /// Boxes further off than the square root of the result can't hold anything within the distance.
  /// Single precision moves p by up to 2⁻²⁴ of its length, and the square by some parts in 10⁷.
  static float limit(const geometry::Vec3& p, double within2) {
    const double off = std::sqrt(within2) + 1e-7 * p.norm();
    return static_cast<float>(std::min(off * off * (1 + 2e-6), 3e38));
  }

  static Lanes off2(const Node& node, const Eigen::Array3f& p) {
    Lanes sum = Lanes::Zero();
    for (std::size_t k = 0; k < 3; ++k) {
      const float at = p[static_cast<Eigen::Index>(k)];
      const Lanes off = (node.low[k] - at).max(at - node.high[k]).max(0.0F);
      sum += off * off;
    }
    return sum;
  }

  /// The lanes that lie within the limit, the nearest first.
  static int nearest_first(const Lanes& off2, float most, std::array<int, children>& lanes) {
    int count = 0;
    for (int lane = 0; lane < children; ++lane) {
      if (!(off2[lane] <= most)) continue;
      int at = count++;
      for (; at > 0 && off2[lanes[static_cast<std::size_t>(at) - 1]] > off2[lane]; --at) {
        lanes[static_cast<std::size_t>(at)] = lanes[static_cast<std::size_t>(at) - 1];
      }
      lanes[static_cast<std::size_t>(at)] = lane;
    }
    return count;
  }

  void make_leaves(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                   const geometry::ParallelFor& loop);
  void make_levels();

  std::vector<int> facets_;                // as they lie in the leaves
  std::vector<std::vector<Node>> levels_;  // the lowest first
};

template <class Visit>
void FacetTree::look_near(const geometry::Vec3& p, double within2, const Visit& visit) const {
  const Eigen::Array3f at = p.cast<float>().array();
  float most = limit(p, within2);
  std::array<Waiting, (children - 1) * most_levels + 1> waiting;
  std::size_t count = 0;
  waiting[count++] = {0, static_cast<int>(levels_.size()) - 1, 0};
  std::array<int, children> lanes{};
  while (count > 0) {
    const Waiting next = waiting[--count];
    if (next.off2 > most) continue;
    const Node& node =
        levels_[static_cast<std::size_t>(next.level)][static_cast<std::size_t>(next.node)];
    const Lanes off = off2(node, at);
    const int near = nearest_first(off, most, lanes);
    if (next.level > 0) {
      for (int i = near - 1; i >= 0; --i) {
        const int lane = lanes[static_cast<std::size_t>(i)];
        waiting[count++] = {off[lane], next.level - 1, children * next.node + lane};
      }
      continue;
    }
    for (int i = 0; i < near; ++i) {
      const int lane = lanes[static_cast<std::size_t>(i)];
      if (off[lane] > most) break;
      const double before = within2;
      visit(facets_[static_cast<std::size_t>(children * next.node + lane)], within2);
      if (within2 < before) most = limit(p, within2);
    }
  }
}

}  // namespace trueblank::symmetry
