// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/facet_tree.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <limits>
#include <span>

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

constexpr int run_length = 1024;  // leaves at a time

// A facet by the middle of its box.
struct Place {
  std::array<float, 3> at;
  int facet;
};

int longest_axis(std::span<const Place> places) {
  Eigen::Array3f low = Eigen::Array3f::Constant(std::numeric_limits<float>::infinity());
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

// The four parts of a node whose children hold `share` places each, the last ones perhaps fewer or
// none.
std::array<std::span<Place>, 4> quartered(std::span<Place> places, std::size_t share) {
  const std::size_t half = std::min(2 * share, places.size());
  if (half < places.size()) part(places, half);
  std::array<std::span<Place>, 4> parts;
  for (std::size_t side = 0; side < 2; ++side) {
    const std::span<Place> both = side == 0 ? places.first(half) : places.subspan(half);
    const std::size_t first = std::min(share, both.size());
    if (first < both.size()) part(both, first);
    parts[2 * side] = both.first(first);
    parts[2 * side + 1] = both.subspan(first);
  }
  return parts;
}

void put_in_order(std::span<Place> places, std::size_t share) {
  if (places.size() <= 4 || share == 0) return;
  for (const std::span<Place> part : quartered(places, share)) put_in_order(part, share / 4);
}

// Twice what rounding to single precision may move a number by.
float below(double value) {
  const float rounded = static_cast<float>(value);
  return rounded - std::abs(rounded) * 2.4e-7F - std::numeric_limits<float>::min();
}

float above(double value) { return -below(-value); }

}  // namespace

FacetTree::FacetTree(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                     const geometry::ParallelFor& loop) {
  const std::size_t count = static_cast<std::size_t>(facets.cols());
  assert(count > 0 && "a tree needs facets");
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
  std::size_t share = 1;  // of a child of the root
  while (4 * share < count) share *= 4;
  const std::array<std::span<Place>, 4> parts = quartered(places, share);
  loop(4, [&](int i) { put_in_order(parts[static_cast<std::size_t>(i)], share / 4); });
  facets_.resize(count);
  for (std::size_t i = 0; i < count; ++i) facets_[i] = places[i].facet;
  make_leaves(positions, facets, loop);
  int from = 0;
  while (static_cast<int>(nodes_.size()) - from > 1) {
    const int to = static_cast<int>(nodes_.size());
    add_level(from, to);
    from = to;
  }
}

void FacetTree::make_leaves(const Eigen::Matrix3Xd& positions, const Eigen::Matrix3Xi& facets,
                            const geometry::ParallelFor& loop) {
  const int count = static_cast<int>(facets_.size());
  leaves_ = (count + children - 1) / children;
  nodes_.reserve(static_cast<std::size_t>(leaves_) / 3 * 4 + 2 * most_levels);
  nodes_.resize(static_cast<std::size_t>(leaves_));
  loop((leaves_ + run_length - 1) / run_length, [&](int run) {
    for (int i = run * run_length; i < std::min(leaves_, (run + 1) * run_length); ++i) {
      Node& node = nodes_[static_cast<std::size_t>(i)];
      node.first = children * i;
      for (int lane = 0; lane < children; ++lane) {
        const int slot = children * i + lane;
        for (int k = 0; k < 3; ++k) {
          const std::size_t axis = static_cast<std::size_t>(k);
          node.low[axis][lane] = std::numeric_limits<float>::infinity();
          node.high[axis][lane] = -std::numeric_limits<float>::infinity();
          if (slot >= count) continue;
          const auto corners = facets.col(facets_[static_cast<std::size_t>(slot)]);
          const auto [least, greatest] = std::minmax(
              {positions(k, corners[0]), positions(k, corners[1]), positions(k, corners[2])});
          node.low[axis][lane] = below(least);
          node.high[axis][lane] = above(greatest);
        }
      }
    }
  });
}

// The parents of the nodes [from, to).
void FacetTree::add_level(int from, int to) {
  constexpr float nowhere = std::numeric_limits<float>::infinity();
  for (int first = from; first < to; first += children) {
    Node& node = nodes_.emplace_back();
    node.first = first;
    for (int lane = 0; lane < children; ++lane) {
      const bool there = first + lane < to;
      const std::size_t child = static_cast<std::size_t>(there ? first + lane : first);
      for (std::size_t axis = 0; axis < 3; ++axis) {
        node.low[axis][lane] = there ? nodes_[child].low[axis].minCoeff() : nowhere;
        node.high[axis][lane] = there ? nodes_[child].high[axis].maxCoeff() : -nowhere;
      }
    }
  }
}

int FacetTree::facet_near(const Vec3& p) const {
  const Eigen::Array3f at = p.cast<float>().array();
  int node = static_cast<int>(nodes_.size()) - 1;
  while (true) {
    const Node& own = nodes_[static_cast<std::size_t>(node)];
    Eigen::Index lane = 0;
    off2(own, at).minCoeff(&lane);
    const int next = own.first + static_cast<int>(lane);
    if (node < leaves_) return facets_[static_cast<std::size_t>(next)];
    node = next;
  }
}

}  // namespace trueblank::symmetry
