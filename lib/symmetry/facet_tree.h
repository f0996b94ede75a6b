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

/// A tree of boxes, four to a node, in single precision and never too small: 43 bytes a facet.
///
/// cost    building: some twenty partial sorts of the facets
/// source  median split: J. L. Bentley, Comm. ACM 18(9), 509-517, 1975; boxes of several children
///         in one node: H. Dammertz, J. Hanika, A. Keller, Comput. Graph. Forum 27(4), 2008
class FacetTree {
 public:
  FacetTree() = default;

  /// positions  3×V
  /// threads    the same tree whatever `loop` does
  FacetTree(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
            const geometry::ParallelFor& loop);

  /// A facet that is likely near p.
  [[nodiscard]] int facet_near(const geometry::Vec3& p) const;

  /// Calls visit(facet, within2) for the facets whose boxes are not further from p than the square
  /// root of within2, which visit may lower as it finds nearer ones. The order is no matter of
  /// nearness: for a within2 that is near its least already.
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
    int first = 0;  // child; of a leaf the place of its first facet
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

  void make_leaves(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                   const geometry::ParallelFor& loop);
  void add_level(int from, int to);

  std::vector<int> facets_;  // as they lie in the leaves
  std::vector<Node> nodes_;  // the leaves first, the root last
  int leaves_ = 0;
};

// What waits and what does not can't be foreseen: so everything is written, and only the count
// tells what stays. Distances and nodes wait apart, since what is written in parts and read as a
// whole makes a processor wait too.
template <class Visit>
void FacetTree::look_near(const geometry::Vec3& p, double within2, const Visit& visit) const {
  const Eigen::Array3f at = p.cast<float>().array();
  float most = limit(p, within2);
  constexpr std::size_t room = (children - 1) * most_levels + children;
  std::array<float, room> off2s;
  std::array<int, room> waiting;
  off2s[0] = 0;
  waiting[0] = static_cast<int>(nodes_.size()) - 1;
  std::size_t count = 1;
  while (count > 0) {
    --count;
    if (off2s[count] > most) continue;
    const int next = waiting[count];
    const Node& node = nodes_[static_cast<std::size_t>(next)];
    const Lanes off = off2(node, at);
    const std::size_t before = count;
    for (int lane = 0; lane < children; ++lane) {
      off2s[count] = off[lane];
      waiting[count] = node.first + lane;
      count += off[lane] <= most ? 1 : 0;
    }
    if (next >= leaves_) continue;
    while (count > before) {
      const int facet = facets_[static_cast<std::size_t>(waiting[--count])];
      const double until_now = within2;
      visit(facet, within2);
      if (within2 < until_now) most = limit(p, within2);
    }
  }
}

}  // namespace trueblank::symmetry
