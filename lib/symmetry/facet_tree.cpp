// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/facet_tree.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cassert>
#include <cstdint>
#include <cstring>
#include <limits>
#include <span>
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

// Of functions that are always made part of others.
#pragma GCC diagnostic ignored "-Wpsabi"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

constexpr int run_length = 512;  // leaves at a time
constexpr std::size_t ways = 8;  // of a node and a leaf: FacetTree::lanes
// Of a facet's longest side, how wide it must be: rounding then moves its corners off its plane by
// a hundred-millionth of that side, far less than planes are doubted by.
constexpr double thinnest = 1e-7;
constexpr float nowhere = std::numeric_limits<float>::infinity();

// A facet by the middle of its box.
struct Place {
  std::array<float, 3> at;
  int facet;
};

int longest_axis(std::span<const Place> places) {
  Eigen::Array3f low = Eigen::Array3f::Constant(nowhere);
  Eigen::Array3f high = -low;
  for (const Place& place : places) {
    const Eigen::Array3f at(place.at[0], place.at[1], place.at[2]);
    low = low.min(at);
    high = high.max(at);
  }
  int axis = 0;
  (high - low).maxCoeff(&axis);
  return axis;
}

// Parts the places so that the first `count` lie before the others along the longest axis.
void part(std::span<Place> places, std::size_t count) {
  const std::size_t axis = static_cast<std::size_t>(longest_axis(places));
  std::nth_element(places.begin(), places.begin() + static_cast<std::ptrdiff_t>(count),
                   places.end(),
                   [axis](const Place& a, const Place& b) { return a.at[axis] < b.at[axis]; });
}

// Halves a stretch that has room for `room` places, of which the last ones may be missing, and each
// half, until there are `least` to a part.
void put_in_order(std::span<Place> places, std::size_t room, std::size_t least) {
  if (room <= least || places.empty()) return;
  const std::size_t half = std::min(room / 2, places.size());
  if (half < places.size()) part(places, half);
  put_in_order(places.first(half), room / 2, least);
  put_in_order(places.subspan(half), room / 2, least);
}

// Twice what rounding to single precision may move a number by.
float below(double value) {
  const float rounded = static_cast<float>(value);
  return rounded - std::abs(rounded) * 2.4e-7F - std::numeric_limits<float>::min();
}

float above(double value) { return -below(-value); }

// The lanes whose bits are set, the others after them.
struct LanesOf {
  std::array<std::array<std::uint8_t, ways>, 256> lanes{};
  std::array<std::uint8_t, 256> count{};
};

constexpr LanesOf lanes_of_bits() {
  LanesOf table;
  for (unsigned bits = 0; bits < 256; ++bits) {
    std::size_t found = 0;
    for (unsigned lane = 0; lane < ways; ++lane) {
      if ((bits >> lane & 1U) == 0) continue;
      table.lanes[bits][found++] = static_cast<std::uint8_t>(lane);
    }
    table.count[bits] = static_cast<std::uint8_t>(found);
  }
  return table;
}

constexpr LanesOf lanes_of = lanes_of_bits();

// Of single precision, so that what lies at the limit is within.
float squared(double off) { return static_cast<float>(std::min(off * off * (1 + 2e-6), 3e38)); }

}  // namespace

// Single precision moves a point by up to 2⁻²⁴ of its length, and a square by some parts in 10⁷; a
// height over a plane is a sum of products of which each may be as large as the point and the facet
// are far from the middle.
FacetTree::Search::Search(const FacetTree& tree, const Vec3& p, double within2)
    : at{static_cast<float>(p.x()), static_cast<float>(p.y()), static_cast<float>(p.z())},
      boxes_doubt(1e-7 * p.norm()),
      planes_doubt(1e-6 * (p.norm() + tree.furthest_)) {
  draw_in(within2);
  waiting[0] = static_cast<int>(tree.leaves_.size() + tree.nodes_.size()) - 1;
}

void FacetTree::Search::draw_in(double within2) {
  const double off = std::sqrt(within2);
  boxes_within2 = squared(off + boxes_doubt);
  planes_within2 = squared(off + planes_doubt);
}

[[gnu::always_inline]] inline FacetTree::Lanes FacetTree::off2(const Node& node,
                                                               const std::array<float, 3>& at) {
  Lanes sum{};
  for (std::size_t k = 0; k < 3; ++k) {
    const Lanes under = node.low[k] - at[k];
    const Lanes over = at[k] - node.high[k];
    const Lanes off = under > over ? under : over;
    const Lanes outside = off > 0 ? off : Lanes{};
    sum += outside * outside;
  }
  return sum;
}

// A facet is at least as far off as its plane and, along that, as the line through each edge.
[[gnu::always_inline]] inline FacetTree::Lanes FacetTree::off2(const Leaf& leaf,
                                                               const std::array<float, 3>& at) {
  const auto height = [&](const PlaneLanes& plane) __attribute__((always_inline)) {
    return plane[0] * at[0] + plane[1] * at[1] + plane[2] * at[2] - plane[3];
  };
  const Lanes over = height(leaf.facet);
  Lanes beside{};
  for (const PlaneLanes& edge : leaf.edges) {
    const Lanes off = height(edge);
    beside = off > beside ? off : beside;
  }
  return over * over + beside * beside;
}

[[gnu::always_inline]] inline bool FacetTree::go_on(const FacetTree& tree, Search& search) {
  const auto bits_within = [](const Lanes& off, float within) __attribute__((always_inline)) {
    const auto is_within = off <= within;
#if defined(__SSE2__)
    struct {
      __m128 low;
      __m128 high;
    } halves;

    static_assert(sizeof halves == sizeof is_within);
    std::memcpy(&halves, &is_within, sizeof halves);
    return static_cast<unsigned>(_mm_movemask_ps(halves.low) | _mm_movemask_ps(halves.high) << 4);
#else
    unsigned bits = 0;
    for (unsigned lane = 0; lane < ways; ++lane) bits |= (is_within[lane] & 1U) << lane;
    return bits;
#endif
  };
  const int leaves = static_cast<int>(tree.leaves_.size());
  while (search.count > 0) {
    const int next = search.waiting[--search.count];
    if (next < leaves) {
      search.leaf = next;
      search.facets = bits_within(off2(tree.leaves_[static_cast<std::size_t>(next)], search.at),
                                  search.planes_within2);
      if (search.facets != 0) return true;
      continue;
    }
    const Node& node = tree.nodes_[static_cast<std::size_t>(next - leaves)];
    const unsigned bits = bits_within(off2(node, search.at), search.boxes_within2);
    // All eight are written, and the count tells what stays: which do can't be foreseen.
    const std::array<std::uint8_t, ways>& found = lanes_of.lanes[bits];
    const int first = node.first;
    for (std::size_t i = 0; i < ways; ++i) search.waiting[search.count + i] = first + found[i];
    search.count += lanes_of.count[bits];
  }
  return false;
}

bool FacetTree::to_next_leaf(const FacetTree& tree, Search& search) { return go_on(tree, search); }

#if defined(__x86_64__)
[[gnu::target("avx2")]] bool FacetTree::to_next_leaf_by_eight(const FacetTree& tree,
                                                              Search& search) {
  return go_on(tree, search);
}
#endif

FacetTree::FacetTree(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                     const geometry::ParallelFor& loop) {
  const std::size_t count = static_cast<std::size_t>(facets.cols());
  assert(count > 0 && "a tree needs facets");
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx2") != 0) next_ = to_next_leaf_by_eight;
#endif
  furthest_ = std::sqrt(positions.colwise().squaredNorm().maxCoeff());
  std::vector<Place> places(count);
  for (std::size_t i = 0; i < count; ++i) {
    const auto corners = facets.col(static_cast<Eigen::Index>(i));
    const Vec3 a = positions.col(corners[0]);
    const Vec3 b = positions.col(corners[1]);
    const Vec3 c = positions.col(corners[2]);
    const Eigen::Array3f middle =
        (0.5 * (a.cwiseMin(b).cwiseMin(c) + a.cwiseMax(b).cwiseMax(c))).cast<float>();
    places[i] = {{middle[0], middle[1], middle[2]}, static_cast<int>(i)};
  }
  std::size_t room = ways;
  while (room < count) room *= ways;
  const std::size_t share = room / ways;  // of a child of the root
  put_in_order(places, room, share);
  loop(static_cast<int>(ways), [&](int i) {
    const std::size_t from = std::min(share * static_cast<std::size_t>(i), count);
    put_in_order(std::span(places).subspan(from, std::min(share, count - from)), share, ways);
  });
  facets_.resize(count);
  for (std::size_t i = 0; i < count; ++i) facets_[i] = places[i].facet;
  std::vector<Box> boxes;
  make_leaves(positions, facets, boxes, loop);
  for (int first = 0; boxes.size() > 1;) {
    const int level = static_cast<int>(boxes.size());
    add_level(first, boxes);
    first += level;
  }
}

void FacetTree::make_leaves(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                            std::vector<Box>& boxes, const geometry::ParallelFor& loop) {
  const int count = static_cast<int>(facets_.size());
  const int leaves = (count + lanes - 1) / lanes;
  leaves_.resize(static_cast<std::size_t>(leaves));
  boxes.resize(leaves_.size(), {{nowhere, nowhere, nowhere}, {-nowhere, -nowhere, -nowhere}});
  const auto add_facet = [&](int facet, int lane, Leaf& leaf, Box& box) {
    std::array<Vec3, 3> at;
    for (int k = 0; k < 3; ++k) at[static_cast<std::size_t>(k)] = positions.col(facets(k, facet));
    for (int k = 0; k < 3; ++k) {
      const std::size_t axis = static_cast<std::size_t>(k);
      const auto [least, greatest] = std::minmax({at[0][k], at[1][k], at[2][k]});
      box.low[axis] = std::min(box.low[axis], below(least));
      box.high[axis] = std::max(box.high[axis], above(greatest));
    }
    const auto put = [lane](PlaneLanes& plane, const Vec3& normal, const Vec3& through) {
      for (int k = 0; k < 3; ++k) {
        plane[static_cast<std::size_t>(k)][lane] = static_cast<float>(normal[k]);
      }
      plane[3][lane] = static_cast<float>(normal.dot(through));
    };
    // What rounding turns the normal of a sliver by lifts its far corner off the plane: told by no
    // plane, it is near whatever is near its leaf.
    const Vec3 area = (at[1] - at[0]).cross(at[2] - at[0]);
    const double longest2 = std::max({(at[1] - at[0]).squaredNorm(), (at[2] - at[1]).squaredNorm(),
                                      (at[0] - at[2]).squaredNorm()});
    if (!(area.norm() > thinnest * longest2)) return;
    const Vec3 normal = area.normalized();
    put(leaf.facet, normal, at[0]);
    for (std::size_t k = 0; k < 3; ++k) {
      put(leaf.edges[k], (at[(k + 1) % 3] - at[k]).cross(normal).normalized(), at[k]);
    }
  };
  loop((leaves + run_length - 1) / run_length, [&](int run) {
    for (int i = run * run_length; i < std::min(leaves, (run + 1) * run_length); ++i) {
      Leaf& leaf = leaves_[static_cast<std::size_t>(i)];
      leaf = {};
      for (int lane = 0; lane < lanes; ++lane) {
        const int slot = lanes * i + lane;
        if (slot < count) {
          add_facet(facets_[static_cast<std::size_t>(slot)], lane, leaf,
                    boxes[static_cast<std::size_t>(i)]);
        } else {
          leaf.facet[3][lane] = nowhere;
        }
      }
    }
  });
}

// The nodes over what has these boxes and is numbered from `first`; theirs come instead.
void FacetTree::add_level(int first, std::vector<Box>& boxes) {
  std::vector<Box> above_them;
  for (std::size_t from = 0; from < boxes.size(); from += ways) {
    Node& node = nodes_.emplace_back();
    node.first = first + static_cast<int>(from);
    Box& whole = above_them.emplace_back(boxes[from]);
    for (std::size_t lane = 0; lane < ways; ++lane) {
      const bool there = from + lane < boxes.size();
      for (std::size_t axis = 0; axis < 3; ++axis) {
        node.low[axis][lane] = there ? boxes[from + lane].low[axis] : nowhere;
        node.high[axis][lane] = there ? boxes[from + lane].high[axis] : -nowhere;
        if (!there) continue;
        whole.low[axis] = std::min(whole.low[axis], boxes[from + lane].low[axis]);
        whole.high[axis] = std::max(whole.high[axis], boxes[from + lane].high[axis]);
      }
    }
  }
  boxes = std::move(above_them);
}

int FacetTree::facet_near(const Vec3& p) const {
  const std::array<float, 3> at = {static_cast<float>(p.x()), static_cast<float>(p.y()),
                                   static_cast<float>(p.z())};
  const auto nearest = [](const Lanes& off) {
    int least = 0;
    for (int lane = 1; lane < lanes; ++lane) {
      if (off[lane] < off[least]) least = lane;
    }
    return least;
  };
  const int leaves = static_cast<int>(leaves_.size());
  int next = leaves + static_cast<int>(nodes_.size()) - 1;
  while (next >= leaves) {
    const Node& node = nodes_[static_cast<std::size_t>(next - leaves)];
    next = node.first + nearest(off2(node, at));
  }
  const int lane = nearest(off2(leaves_[static_cast<std::size_t>(next)], at));
  return facets_[static_cast<std::size_t>(lanes * next + lane)];
}

}  // namespace trueblank::symmetry
