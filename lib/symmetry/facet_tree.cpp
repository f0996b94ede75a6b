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
  std::array<std::array<int, ways>, 256> lanes{};
  std::array<std::uint8_t, 256> count{};
};

constexpr LanesOf lanes_of_bits() {
  LanesOf table;
  for (unsigned bits = 0; bits < 256; ++bits) {
    std::size_t found = 0;
    for (unsigned lane = 0; lane < ways; ++lane) {
      if ((bits >> lane & 1U) == 0) continue;
      table.lanes[bits][found++] = static_cast<int>(lane);
    }
    table.count[bits] = static_cast<std::uint8_t>(found);
  }
  return table;
}

constexpr LanesOf lanes_of = lanes_of_bits();

using NumberLanes __attribute__((vector_size(ways * sizeof(int)))) = int;

// Of single precision, so that what lies at the limit is within.
float squared(double off) { return static_cast<float>(std::min(off * off * (1 + 2e-6), 3e38)); }

}  // namespace

// Single precision moves a point by up to 2⁻²⁴ of its length, and a square by some parts in 10⁷; a
// height over a plane is a sum of products of which each may be as large as the point and the facet
// are far from the middle.
FacetTree::Search::Search(const FacetTree& tree, const Vec3& p, double within2, int near)
    : at{static_cast<float>(p.x()), static_cast<float>(p.y()), static_cast<float>(p.z())},
      boxes_doubt(1e-7 * p.norm()),
      planes_doubt(1e-6 * (p.norm() + tree.furthest_)) {
  draw_in(within2);
  waiting[0] = tree.lowest_alone(p, std::sqrt(within2) + boxes_doubt, near);
}

void FacetTree::Search::draw_in(double within2) {
  const double off = std::sqrt(within2);
  boxes_within2 = squared(off + boxes_doubt);
  planes_within2 = squared(off + planes_doubt);
}

// The lowest over a facet that holds all that is not further than `off` from p; as in `waiting`.
int FacetTree::lowest_alone(const Vec3& p, double off, int near) const {
  const int leaves = static_cast<int>(leaves_.size());
  const int nodes = static_cast<int>(nodes_.size());
  if (near < 0 || nodes == 0) return leaves + nodes - 1;
  const auto holds_all = [&](const Box& alone) {
    bool holds = true;
    for (std::size_t k = 0; k < 3; ++k) {
      const double at = p[static_cast<Eigen::Index>(k)];
      holds &= alone.low[k] < at - off && at + off < alone.high[k];
    }
    return holds;
  };
  const Node* node = nodes_.data() + leaf_[static_cast<std::size_t>(near)] / lanes;
  while (node->above >= 0 && !holds_all(node->alone)) node = nodes_.data() + node->above;
  return leaves + static_cast<int>(node - nodes_.data());
}

[[gnu::always_inline]] inline FacetTree::Lanes FacetTree::off2(const Node& node,
                                                               const std::array<float, 3>& at) {
  const auto outside2 = [&](std::size_t k) __attribute__((always_inline)) {
    const Lanes under = node.low[k] - at[k];
    const Lanes over = at[k] - node.high[k];
    const Lanes off = under > over ? under : over;
    const Lanes outside = off > 0 ? off : Lanes{};
    return outside * outside;
  };
  return outside2(0) + outside2(1) + outside2(2);
}

// A facet is at least as far off as its plane and, along that, as the line through each edge.
[[gnu::always_inline]] inline FacetTree::Lanes FacetTree::off2(const Leaf& leaf,
                                                               const std::array<float, 3>& at) {
  const auto height = [&](const PlaneLanes& plane) __attribute__((always_inline)) {
    return plane[0] * at[0] + plane[1] * at[1] + plane[2] * at[2] - plane[3];
  };
  const auto larger = [](const Lanes& a, const Lanes& b) __attribute__((always_inline)) {
    return a > b ? a : b;
  };
  const Lanes over = height(leaf.facet);
  const Lanes beside = larger(larger(larger(Lanes{}, height(leaf.edges[0])), height(leaf.edges[1])),
                              height(leaf.edges[2]));
  return over * over + beside * beside;
}

[[gnu::always_inline]] inline void FacetTree::go_on(const FacetTree& tree, Search& search) {
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
  // All eight are written, and the count tells what stays: which do can't be foreseen.
  const auto append = [](unsigned bits, int first, int* to) __attribute__((always_inline)) {
    NumberLanes found;
    std::memcpy(&found, lanes_of.lanes[bits].data(), sizeof found);
    found += first;
    std::memcpy(to, &found, sizeof found);
    return std::size_t{lanes_of.count[bits]};
  };
  const int leaves = static_cast<int>(tree.leaves_.size());
  std::size_t count = search.count;
  std::size_t slots = 0;
  while (count > 0 && slots <= some_slots) {
    const int next = search.waiting[--count];
    if (next < leaves) {
      const Lanes off = off2(tree.leaves_.data()[next], search.at);
      slots += append(bits_within(off, search.planes_within2), lanes * next,
                      search.slots.data() + slots);
    } else {
      const Node& node = tree.nodes_.data()[next - leaves];
      count += append(bits_within(off2(node, search.at), search.boxes_within2), node.first,
                      search.waiting.data() + count);
    }
  }
  search.count = count;
  search.slot_count = slots;
}

void FacetTree::look_on(const FacetTree& tree, Search& search) { go_on(tree, search); }

#if defined(__x86_64__)
[[gnu::target("avx2")]] void FacetTree::look_on_by_eight(const FacetTree& tree, Search& search) {
  go_on(tree, search);
}
#endif

FacetTree::FacetTree(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                     const geometry::ParallelFor& loop) {
  const std::size_t count = static_cast<std::size_t>(facets.cols());
  assert(count > 0 && "a tree needs facets");
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx2") != 0) look_on_ = look_on_by_eight;
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
  leaf_.resize(count);
  for (std::size_t i = 0; i < count; ++i) {
    facets_[i] = places[i].facet;
    leaf_[static_cast<std::size_t>(places[i].facet)] = static_cast<int>(i / ways);
  }
  std::vector<Box> boxes;
  make_leaves(positions, facets, boxes, loop);
  for (int first = 0; boxes.size() > 1;) {
    const int level = static_cast<int>(boxes.size());
    add_level(first, boxes);
    first += level;
  }
  set_apart();
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
    for (std::size_t lane = 0; lane < ways; ++lane) {
      const bool there = from + lane < boxes.size();
      for (std::size_t axis = 0; axis < 3; ++axis) {
        node.low[axis][lane] = there ? boxes[from + lane].low[axis] : nowhere;
        node.high[axis][lane] = there ? boxes[from + lane].high[axis] : -nowhere;
      }
    }
    above_them.push_back(box_of(node, 0, lanes));
  }
  boxes = std::move(above_them);
}

FacetTree::Box FacetTree::box_of(const Node& node, int first, int count) {
  Box box = {{nowhere, nowhere, nowhere}, {-nowhere, -nowhere, -nowhere}};
  for (int lane = first; lane < first + count; ++lane) {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      box.low[axis] = std::min(box.low[axis], node.low[axis][lane]);
      box.high[axis] = std::max(box.high[axis], node.high[axis][lane]);
    }
  }
  return box;
}

// A child is apart from all that its node is apart from, and from the other half of the node's
// children, the other quarter of its half, and the other child of its quarter: each time on the
// side where the two overlap least.
void FacetTree::set_apart() {
  if (nodes_.empty()) return;
  nodes_.back().alone = {{-nowhere, -nowhere, -nowhere}, {nowhere, nowhere, nowhere}};
  const int leaves = static_cast<int>(leaves_.size());
  for (int i = static_cast<int>(nodes_.size()) - 1; i >= 0; --i) {
    const Node& node = nodes_[static_cast<std::size_t>(i)];
    if (node.first < leaves) break;  // none but nodes over leaves are left
    for (int lane = 0; lane < lanes; ++lane) {
      if (node.low[0][lane] > node.high[0][lane]) break;  // no child
      Node& child = nodes_[static_cast<std::size_t>(node.first - leaves + lane)];
      child.above = i;
      child.alone = node.alone;
      for (int half = lanes / 2; half > 0; half /= 2) {
        const int own = lane / half;
        keep_apart(box_of(node, half * own, half), box_of(node, half * (own ^ 1), half),
                   child.alone);
      }
    }
  }
}

void FacetTree::keep_apart(const Box& own, const Box& others, Box& alone) {
  float widest = -nowhere;
  std::size_t along = 0;
  bool over = false;  // the others
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const float to_over = others.low[axis] - own.high[axis];
    const float to_under = own.low[axis] - others.high[axis];
    if (std::max(to_over, to_under) <= widest) continue;
    widest = std::max(to_over, to_under);
    along = axis;
    over = to_over >= to_under;
  }
  if (over) {
    alone.high[along] = std::min(alone.high[along], others.low[along]);
  } else {
    alone.low[along] = std::max(alone.low[along], others.high[along]);
  }
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
