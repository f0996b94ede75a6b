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
/// single precision and never too small: 76 bytes a facet. A node also knows a box where nothing is
/// but what it holds: who looks near a facet begins low in the tree, mostly over some 64 facets.
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
  /// p     of less than 1e15 mm
  /// near  a facet that is likely within: saves time, and those that are not further stay the same;
  ///       -1: none
  template <class Visit>
  void look_near(const geometry::Vec3& p, double within2, int near, const Visit& visit) const;

  /// As on a machine that can't take eight boxes at a step: the same visits, only slower.
  void take_four_at_a_step() { look_on_ = look_on; }

 private:
  static constexpr int lanes = 8;
  static constexpr int most_levels = 11;  // 8¹¹ facets are more than an int counts
  static constexpr std::size_t some_slots = 16;
  using Lanes __attribute__((vector_size(32))) = float;

  struct Box {
    std::array<float, 3> low;
    std::array<float, 3> high;
  };

  /// The boxes of a node's children. Where the compiler may not take eight numbers at a step it
  /// asks half the alignment for them that it counts on where it may.
  struct alignas(sizeof(Lanes)) Node {
    std::array<Lanes, 3> low;
    std::array<Lanes, 3> high;
    int first = 0;   // child
    int above = -1;  // its own node
    Box alone;       // where no other facets are than the node's
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
    Search(const FacetTree& tree, const geometry::Vec3& p, double within2, int near);
    void draw_in(double within2);

    std::array<float, 3> at;
    double boxes_doubt;
    double planes_doubt;
    float boxes_within2;
    float planes_within2;
    std::size_t count = 1;
    std::array<int, (lanes - 1) * most_levels + 2 * lanes> waiting;
    std::size_t slot_count = 0;
    std::array<int, some_slots + lanes> slots;  // that hold facets to visit
  };

  /// Goes on until nothing is left to look into, or some more facets may be near enough.
  static void look_on(const FacetTree& tree, Search& search);
  static void look_on_by_eight(const FacetTree& tree, Search& search);
  static Lanes off2(const Node& node, const std::array<float, 3>& at);
  static Lanes off2(const Leaf& leaf, const std::array<float, 3>& at);
  static void go_on(const FacetTree& tree, Search& search);

  void make_leaves(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                   std::vector<Box>& boxes, const geometry::ParallelFor& loop);
  void add_level(int first, std::vector<Box>& boxes);
  static Box box_of(const Node& node, int first, int count);
  void set_apart();
  static void keep_apart(const Box& own, const Box& others, Box& alone);
  [[nodiscard]] int lowest_alone(const geometry::Vec3& p, double off, int near) const;

  std::vector<int> facets_;  // as they lie in the leaves
  std::vector<int> leaf_;    // of each facet
  std::vector<Leaf> leaves_;
  std::vector<Node> nodes_;  // the root last
  double furthest_ = 0;      // corner from the middle
  void (*look_on_)(const FacetTree&, Search&) = look_on;
};

template <class Visit>
void FacetTree::look_near(const geometry::Vec3& p, double within2, int near,
                          const Visit& visit) const {
  Search search(*this, p, within2, near);
  while (search.count > 0) {
    look_on_(*this, search);
    const double until_now = within2;
    for (std::size_t i = 0; i < search.slot_count; ++i) {
      visit(facets_[static_cast<std::size_t>(search.slots[i])], within2);
    }
    if (within2 < until_now) search.draw_in(within2);
  }
}

}  // namespace trueblank::symmetry
