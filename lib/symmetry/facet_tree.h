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

/// A tree of boxes, eight to a node, over leaves of eight facets, each between its own planes; in
/// single precision and never too small: 71 bytes a facet.
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

  /// Calls visit(facet, within2) for the facets that are not further from p than the square root of
  /// within2, and for some that are; visit may lower it as it finds nearer ones. The order is no
  /// matter of nearness: for a within2 that is near its least already.
  ///
  /// p  of less than 1e15 mm
  template <class Visit>
  void look_near(const geometry::Vec3& p, double within2, const Visit& visit) const;

  /// As on a machine that can't take eight boxes at a step: the same visits, only slower.
  void take_four_at_a_step() { next_ = to_next_leaf; }

 private:
  static constexpr int lanes = 8;
  static constexpr int most_levels = 11;  // 8¹¹ facets are more than an int counts
  using Lanes __attribute__((vector_size(32))) = float;

  /// The boxes of a node's children. Where the compiler may not take eight numbers at a step it
  /// asks half the alignment for them that it counts on where it may.
  struct alignas(sizeof(Lanes)) Node {
    std::array<Lanes, 3> low;
    std::array<Lanes, 3> high;
    int first = 0;  // child
  };

  struct Box {
    std::array<float, 3> low;
    std::array<float, 3> high;
  };

  /// x, y, z of a unit normal, and how far along it a plane lies.
  using PlaneLanes = std::array<Lanes, 4>;

  /// Each facet's own plane, and those through its edges that stand on it, normals outward. Of a
  /// facet of next to no width all is nil.
  struct alignas(sizeof(Lanes)) Leaf {
    PlaneLanes facet;
    std::array<PlaneLanes, 3> edges;
  };

  /// A point, how far off things may be, and what waits to be looked into: leaves by their number,
  /// nodes by theirs after the leaves.
  struct Search {
    Search(const FacetTree& tree, const geometry::Vec3& p, double within2);
    void draw_in(double within2);

    std::array<float, 3> at;
    double boxes_doubt;
    double planes_doubt;
    float boxes_within2;
    float planes_within2;
    std::size_t count = 1;
    std::array<int, (lanes - 1) * most_levels + 2 * lanes> waiting;
    int leaf = 0;
    unsigned facets = 0;  // of that leaf, a bit each
  };

  /// Goes on to the next leaf that has facets that may be near enough; false: no more.
  static bool to_next_leaf(const FacetTree& tree, Search& search);
  static bool to_next_leaf_by_eight(const FacetTree& tree, Search& search);
  static Lanes off2(const Node& node, const std::array<float, 3>& at);
  static Lanes off2(const Leaf& leaf, const std::array<float, 3>& at);
  static bool go_on(const FacetTree& tree, Search& search);

  void make_leaves(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                   std::vector<Box>& boxes, const geometry::ParallelFor& loop);
  void add_level(int first, std::vector<Box>& boxes);

  std::vector<int> facets_;  // as they lie in the leaves
  std::vector<Leaf> leaves_;
  std::vector<Node> nodes_;  // the root last
  double furthest_ = 0;      // corner from the middle
  bool (*next_)(const FacetTree&, Search&) = to_next_leaf;
};

template <class Visit>
void FacetTree::look_near(const geometry::Vec3& p, double within2, const Visit& visit) const {
  Search search(*this, p, within2);
  while (next_(*this, search)) {
    const double until_now = within2;
    for (unsigned left = search.facets; left != 0; left &= left - 1) {
      const int slot = lanes * search.leaf + __builtin_ctz(left);
      visit(facets_[static_cast<std::size_t>(slot)], within2);
    }
    if (within2 < until_now) search.draw_in(within2);
  }
}

}  // namespace trueblank::symmetry
