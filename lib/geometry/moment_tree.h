// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <new>
#include <utility>
#include <vector>

#include "geometry/cut.h"

namespace trueblank::geometry {

/// A tree over a body's facets that answers moments_below for any plane in time that grows about
/// as the square root of the number of facets: a node keeps its facets' summed moments as
/// polynomials of the apex, so that a branch wholly below the plane is answered in one step and a
/// branch wholly above it is skipped; only facets that the plane meets are cut.
///
/// Keeps its own copy of what it needs; may be asked from several threads at once.
///
/// cost  building O(F log F); a cut about O(√F) and no allocation; about 50 bytes a facet
class MomentTree {
 public:
  explicit MomentTree(const ClosedMesh& body);

  /// The same, with a second tree of a rough body beside it where the body has so many facets that
  /// a search gains by taking its first steps there.
  [[nodiscard]] static MomentTree with_rough(const ClosedMesh& body);

  /// Of the same volume, as rough_body makes it; null where there is none.
  [[nodiscard]] const MomentTree* rough() const { return rough_.get(); }

  /// As moments_below(body, plane), to 1e-11 of the whole body's value. Which facets it cuts, and
  /// so what it says of a plane that holds a facet, is the same to the last bit.
  [[nodiscard]] BelowPlane below(const Plane& plane) const;

  /// The whole body's volume and ∫ p dV.
  [[nodiscard]] double volume_mm3() const { return volume_mm3_; }

  [[nodiscard]] const Vec3& first_moment_mm4() const { return first_moment_mm4_; }

  /// The least and greatest direction·p over the body's facets' corners; where a plane square to
  /// `direction` first and last meets the body.
  ///
  /// direction  any length but zero
  /// cost       a few dozen nodes
  [[nodiscard]] std::pair<double, double> extent_mm(const Vec3& direction) const;

 private:
  static constexpr int ways = 8;          ///< children of a node
  static constexpr int leaf_facets = 8;   ///< facets of a leaf, all but the last
  static constexpr int line_doubles = 8;  ///< doubles of a cache line

  /// Sums over facets a, b, c (corners from the centre) with N = (b−a)×(c−a), s = a+b+c:
  /// det = N·a; N; det·s; and s Nᵀ by rows. An apex o turns det into det − o·N and s into s − 3o,
  /// so that these give volume and first moment for every apex.
  using Sums = std::array<double, 16>;

  /// The boxes of a node's children, in units of reach_mm_ from the centre, wide enough for
  /// rounding; a child that does not exist has a box that is above every plane.
  struct alignas(64) Node {
    std::array<std::array<float, ways>, 3> middle;
    std::array<std::array<float, ways>, 3> half;
    std::array<std::uint32_t, ways> child;    ///< a node, or the cache line where a leaf begins
    std::array<std::uint8_t, ways> vertices;  ///< of a leaf; 0 of a node
    std::array<std::uint8_t, ways> facets;
  };

  /// Where in leaf_data_ a leaf's x, y, z (each `vertices` long, from the centre) and its packed
  /// corners begin.
  struct Leaf {
    std::size_t at = 0;
    std::uint8_t vertices = 0;
    std::uint8_t facets = 0;
  };

  [[nodiscard]] static Leaf leaf_of(const Node& node, std::size_t child) {
    return {std::size_t{line_doubles} * node.child[child], node.vertices[child],
            node.facets[child]};
  }

  /// Memory that begins with a cache line.
  template <class T>
  struct CacheLines {
    using value_type = T;
    static constexpr std::align_val_t line{64};

    CacheLines() = default;

    template <class Other>
    explicit CacheLines(const CacheLines<Other>& /*other*/) {}

    [[nodiscard]] T* allocate(std::size_t count) {
      return static_cast<T*>(::operator new(count * sizeof(T), line));
    }

    void deallocate(T* memory, std::size_t /*count*/) { ::operator delete(memory, line); }

    friend bool operator==(const CacheLines& /*a*/, const CacheLines& /*b*/) { return true; }
  };

  struct Builder;
  struct Gathered;
  void cut_leaf(const Leaf& leaf, Gathered& gathered) const;
  void cut_node(std::uint32_t node, std::size_t depth, Gathered& gathered) const;
  [[nodiscard]] double farthest_mm(const Vec3& direction) const;

  Vec3 centre_mm_ = Vec3::Zero();
  double reach_mm_ = 1;  ///< the greatest |coordinate| from the centre
  double volume_mm3_ = 0;
  Vec3 first_moment_mm4_ = Vec3::Zero();
  std::vector<Node> nodes_;                   ///< the first is the root
  std::vector<Sums, CacheLines<Sums>> sums_;  ///< `ways` a node, in the order of its children
  std::vector<double, CacheLines<double>> leaf_data_;  ///< a leaf begins with a cache line
  std::unique_ptr<const MomentTree> rough_;
};

}  // namespace trueblank::geometry
