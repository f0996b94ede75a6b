// SPDX-License-Identifier: GPL-3.0-or-later
// The signed tetrahedra over a body's facets, joined to one apex, give the body's volume and first
// moment (S. Lien, J. Kajiya, "A symbolic method for calculating the integral properties of
// arbitrary nonconvex polyhedra", IEEE Computer Graphics and Applications 4(10), 35-42, 1984).
// With the apex on a cutting plane, the cap of the part below adds nothing. A set of facets' sums
// are polynomials of the apex, whose coefficients a node keeps: our own derivation, in Sums.
#include "geometry/moment_tree.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <utility>

#include "geometry/facet_cut.h"
#include "geometry/facet_lanes.h"
#include "geometry/moments.h"
#include "geometry/parted.h"
#include "geometry/rough_body.h"

namespace trueblank::geometry {
namespace {

/// What single precision may get wrong of a height of at most a few reaches above a plane.
constexpr float height_rounding = 2e-6F;

/// The half side of a box that is above every plane; not infinite, since it meets zeros.
constexpr float no_child = -1e30F;

struct Box {
  Vec3 low = Vec3::Constant(std::numeric_limits<double>::infinity());
  Vec3 high = Vec3::Constant(-std::numeric_limits<double>::infinity());

  void add(const Vec3& p) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }

  void add(const Box& box) {
    low = low.cwiseMin(box.low);
    high = high.cwiseMax(box.high);
  }
};

/// Asks for memory ahead of its use; changes nothing else.
void fetch(const void* from, std::size_t bytes) {
#if defined(__GNUC__)
  constexpr std::size_t cache_line = 64;
  const char* at = static_cast<const char*>(from);
  for (std::size_t i = 0; i < bytes; i += cache_line) __builtin_prefetch(at + i);
#else
  static_cast<void>(from);
  static_cast<void>(bytes);
#endif
}

void put_two(const TwoFacets& two, double* to) { std::memcpy(to, &two, sizeof two); }

/// Keeps back the last few that came, in their order, until what they need has been fetched.
template <class Each, std::uint32_t few>
struct Waiting {
  std::array<Each, few> kept{};
  std::uint32_t come = 0;

  /// Takes one more, and hands the first one on where there would be too many.
  template <class Use>
  void add(const Each& each, const Use& use) {
    Each& place = kept[come++ % few];
    const Each first = std::exchange(place, each);
    if (come > few) use(first);
  }

  template <class Use>
  void use_up(const Use& use) {
    for (std::uint32_t i = come > few ? come - few : 0; i < come; ++i) use(kept[i % few]);
  }
};

}  // namespace

/// Sorts the facets into leaves and writes nodes and leaves from the bottom up.
struct MomentTree::Builder {
  MomentTree& tree;
  const ClosedMesh& body;
  std::vector<PlacedFacet> keys;
  std::vector<std::uint32_t> stamp;  ///< of a vertex: where the last leaf that has it keeps it
  std::uint32_t leaf_count = 0;      ///< so far

  struct Branch {
    Box box;
    Sums sums{};
    Leaf child;  ///< of a node `at` is its number
  };

  Builder(MomentTree& filled, const ClosedMesh& whole)
      : tree(filled),
        body(whole),
        keys(static_cast<std::size_t>(whole.facet_count())),
        stamp(static_cast<std::size_t>(whole.vertex_count()), 0) {
    double reach = 0;
    for (int f = 0; f < whole.facet_count(); ++f) {
      PlacedFacet& key = keys[static_cast<std::size_t>(f)];
      key.facet = f;
      Vec3 sum = Vec3::Zero();
      for (int k = 0; k < 3; ++k) {
        const Vec3 p = from_centre(f, k);
        reach = std::max(reach, p.cwiseAbs().maxCoeff());
        sum += p;
      }
      for (std::size_t k = 0; k < 3; ++k) {
        key.at[k] = static_cast<float>(sum[static_cast<Eigen::Index>(k)]);
      }
    }
    tree.reach_mm_ = reach;
  }

  [[nodiscard]] Vec3 from_centre(int facet, int which) const {
    return body.corner(facet, which) - tree.centre_mm_;
  }

  void build() {
    const int facets = body.facet_count();
    const int leaves = (facets + leaf_facets - 1) / leaf_facets;
    int unit = 1;  // leaves below each child of the root
    int nodes = 1;
    while (unit < (leaves + ways - 1) / ways) {
      unit *= ways;
      nodes += (leaves + unit - 1) / unit;
    }
    tree.nodes_.reserve(static_cast<std::size_t>(nodes));
    tree.sums_.reserve(static_cast<std::size_t>(nodes) * ways);
    tree.leaf_data_.reserve(static_cast<std::size_t>(leaves) * 40);
    node(0, facets, unit);
  }

  /// A node over keys [begin, end) whose children hold `unit` full leaves each, all but the last.
  Branch node(int begin, int end, int unit) {
    const int index = static_cast<int>(tree.nodes_.size());
    tree.nodes_.emplace_back();
    tree.sums_.resize(tree.sums_.size() + ways);
    const int child_facets = unit * leaf_facets;
    const int children = (end - begin + child_facets - 1) / child_facets;
    if (children > 1) {
      PlacedFacet* first = keys.data() + begin;
      split(first, first + (end - begin), children, child_facets,
            extent_of(first, first + (end - begin)));
    }
    Branch whole;
    whole.child.at = static_cast<std::size_t>(index);
    for (int i = 0; i < ways; ++i) {
      if (i >= children) {
        put(index, i, nullptr);
        continue;
      }
      const int first = begin + i * child_facets;
      const int last = std::min(first + child_facets, end);
      const Branch branch = unit == 1 ? leaf(first, last) : node(first, last, unit / ways);
      whole.box.add(branch.box);
      for (std::size_t k = 0; k < whole.sums.size(); ++k) whole.sums[k] += branch.sums[k];
      put(index, i, &branch);
    }
    return whole;
  }

  /// Parts [begin, end) into `parts` of `size` each, near each other in space, by medians across
  /// the longest side.
  static void split(PlacedFacet* begin, PlacedFacet* end, int parts, int size,
                    const Extent& extent) {
    if (parts < 2) return;
    const std::size_t axis = extent.longest();
    const int left = parts / 2;
    PlacedFacet* middle = begin + std::ptrdiff_t{left} * size;
    part(begin, middle, end, axis);
    Extent below = extent;
    Extent above = extent;
    below.high[axis] = above.low[axis] = middle->at[axis];
    split(begin, middle, left, size, below);
    split(middle, end, parts - left, size, above);
  }

  Branch leaf(int begin, int end) {
    Branch branch;
    const std::uint32_t mine = ++leaf_count * std::uint32_t{3 * leaf_facets};
    std::array<Vec3, 3 * leaf_facets> vertices;
    std::array<std::uint8_t, 3 * leaf_facets> corners{};
    int count = 0;
    for (int i = begin; i < end; ++i) {
      const int facet = keys[static_cast<std::size_t>(i)].facet;
      for (int k = 0; k < 3; ++k) {
        const auto vertex = static_cast<std::size_t>(body.facets()(k, facet));
        if (stamp[vertex] < mine) {
          stamp[vertex] = mine + static_cast<std::uint32_t>(count);
          vertices[static_cast<std::size_t>(count++)] = from_centre(facet, k);
        }
        corners[static_cast<std::size_t>(3 * (i - begin) + k)] =
            static_cast<std::uint8_t>(stamp[vertex] - mine);
      }
    }
    // A cut takes two vertices at a step; a facet that is a point may be all that a leaf has.
    if (count == 1) vertices[static_cast<std::size_t>(count++)] = vertices[0];
    constexpr std::size_t line = line_doubles;
    const std::size_t at = tree.leaf_data_.size();
    const std::size_t needed = 3 * static_cast<std::size_t>(count) + 3;
    tree.leaf_data_.resize(at + (needed + line - 1) / line * line);
    double* to = tree.leaf_data_.data() + at;
    for (int k = 0; k < 3; ++k) {
      for (int i = 0; i < count; ++i) *to++ = vertices[static_cast<std::size_t>(i)][k];
    }
    static_assert(sizeof corners == 3 * sizeof(double));
    std::memcpy(to, corners.data(), sizeof corners);
    Leaf& leaf = branch.child;
    leaf.at = at;
    leaf.vertices = static_cast<std::uint8_t>(count);
    leaf.facets = static_cast<std::uint8_t>(end - begin);
    for (int i = 0; i < count; ++i) branch.box.add(vertices[static_cast<std::size_t>(i)]);
    for (int f = 0; f < leaf.facets; ++f) {
      const auto corner = [&](int k) -> const Vec3& {
        return vertices[corners[static_cast<std::size_t>(3 * f + k)]];
      };
      add_facet(corner(0), corner(1), corner(2), branch.sums);
    }
    return branch;
  }

  static void add_facet(const Vec3& a, const Vec3& b, const Vec3& c, Sums& sums) {
    const Vec3 normal = (b - a).cross(c - a);
    const double det = normal.dot(a);
    const Vec3 s = a + b + c;
    sums[0] += det;
    for (int i = 0; i < 3; ++i) {
      sums[static_cast<std::size_t>(1 + i)] += normal[i];
      sums[static_cast<std::size_t>(4 + i)] += det * s[i];
      for (int j = 0; j < 3; ++j) {
        sums[static_cast<std::size_t>(7 + 3 * i + j)] += s[i] * normal[j];
      }
    }
  }

  /// Writes a node's i-th child, or that there is none.
  void put(int index, int i, const Branch* branch) {
    Node& node = tree.nodes_[static_cast<std::size_t>(index)];
    const auto slot = static_cast<std::size_t>(i);
    const Leaf child = branch == nullptr ? Leaf() : branch->child;
    node.child[slot] =
        static_cast<std::uint32_t>(child.vertices == 0 ? child.at : child.at / line_doubles);
    node.vertices[slot] = child.vertices;
    node.facets[slot] = child.facets;
    for (std::size_t k = 0; k < 3; ++k) {
      if (branch == nullptr) {
        node.middle[k][slot] = 0;
        node.half[k][slot] = no_child;
        continue;
      }
      const auto axis = static_cast<Eigen::Index>(k);
      const double low = branch->box.low[axis] / tree.reach_mm_;
      const double high = branch->box.high[axis] / tree.reach_mm_;
      const auto middle = static_cast<float>((low + high) / 2);
      const auto half = static_cast<float>(std::max(high - middle, middle - low));
      node.middle[k][slot] = middle;
      node.half[k][slot] = half * (1 + std::numeric_limits<float>::epsilon());
    }
    if (branch != nullptr) tree.sums_[static_cast<std::size_t>(index * ways + i)] = branch->sums;
  }
};

/// What a cut gathers on its way down.
struct MomentTree::Gathered {
  static constexpr std::size_t most_depth = 12;  // eightfold each time: more facets than there are

  Waiting<Leaf, 8> waiting_leaves;
  Waiting<const Sums*, 8> waiting_sums;
  std::array<Waiting<std::uint32_t, 4>, most_depth> waiting_nodes;  ///< by depth
  const PlaneAxes& axes;
  CutSums cut;
  Sums whole{};  ///< of the branches wholly below
  float normal[3];
  float steep[3];  ///< |normal|
  float rise;

  Gathered(const PlaneAxes& plane, double reach_mm)
      : axes(plane), rise(static_cast<float>(plane.rise_mm / reach_mm)) {
    for (int k = 0; k < 3; ++k) {
      normal[k] = static_cast<float>(plane.n[k]);
      steep[k] = std::abs(normal[k]);
    }
  }

  void add_whole(const Sums& branch) {
    for (std::size_t k = 0; k < branch.size(); k += 2) {
      double* to = whole.data() + k;
      put_two(two_of(to) + two_of(branch.data() + k), to);
    }
  }

  /// The sums of the branches, with the apex on the plane, join those of the facets that were cut.
  [[nodiscard]] CutSums total() const {
    const Vec3& n = axes.n;
    const double t = axes.rise_mm;
    const double n_n = whole[1] * n[0] + whole[2] * n[1] + whole[3] * n[2];
    Vec3 first;  // 24 × the first moment from the apex
    for (std::size_t i = 0; i < 3; ++i) {
      const double* row = &whole[7 + 3 * i];
      const double s_n = row[0] * n[0] + row[1] * n[1] + row[2] * n[2];
      const auto axis = static_cast<Eigen::Index>(i);
      first[axis] = whole[4 + i] - t * s_n - 3 * t * n[axis] * (whole[0] - t * n_n);
    }
    CutSums sums = cut;
    sums.det += whole[0] - t * n_n;
    sums.det_u += axes.u.dot(first);
    sums.det_v += axes.v.dot(first);
    sums.det_h += axes.n.dot(first);
    return sums;
  }
};

MomentTree::MomentTree(const ClosedMesh& body) : centre_mm_(near_middle_mm(body)) {
  const Moments whole = moments(body);
  volume_mm3_ = whole.volume_mm3;
  first_moment_mm4_ = whole.volume_mm3 * whole.centroid_mm;
  Builder(*this, body).build();
}

MomentTree MomentTree::with_rough(const ClosedMesh& body) {
  constexpr int many_facets = 200'000;
  constexpr int few_facets = 20'000;
  MomentTree tree(body);
  if (body.facet_count() < many_facets) return tree;
  const std::optional<ClosedMesh> rough = rough_body(body, few_facets);
  if (rough) tree.rough_ = std::make_unique<const MomentTree>(*rough);
  return tree;
}

void MomentTree::cut_leaf(const Leaf& leaf, Gathered& gathered) const {
  const PlaneAxes& axes = gathered.axes;
  const std::size_t vertices = leaf.vertices;
  const double* x = leaf_data_.data() + leaf.at;
  const double* y = x + vertices;
  const double* z = y + vertices;
  std::array<double, 3 * leaf_facets> u;
  std::array<double, 3 * leaf_facets> v;
  std::array<double, 3 * leaf_facets> h;
  const auto see = [&](std::size_t i) {
    const TwoFacets px = two_of(x + i);
    const TwoFacets py = two_of(y + i);
    const TwoFacets pz = two_of(z + i);
    put_two(axes.u[0] * px + axes.u[1] * py + axes.u[2] * pz, u.data() + i);
    put_two(axes.v[0] * px + axes.v[1] * py + axes.v[2] * pz, v.data() + i);
    // As PlaneAxes::height_mm.
    put_two(axes.n[0] * px + axes.n[1] * py + axes.n[2] * pz - axes.rise_mm, h.data() + i);
  };
  for (std::size_t i = 2; i < vertices; i += 2) see(i - 2);
  see(vertices - 2);
  std::array<std::uint8_t, 3 * leaf_facets> below;
  for (std::size_t i = 0; i < vertices; ++i) below[i] = h[i] < 0 ? 1 : 0;
  std::array<std::uint8_t, 3 * leaf_facets> corners;
  std::memcpy(corners.data(), z + vertices, sizeof corners);
  // Sorted first and added up then, so that what comes next can be foreseen.
  std::array<std::uint8_t, leaf_facets> whole;
  std::array<std::uint8_t, leaf_facets> cut;
  std::array<std::uint8_t, leaf_facets> bits;
  std::size_t wholes = 0;
  std::size_t cuts = 0;
  for (std::size_t f = 0; f < leaf.facets; ++f) {
    const int which =
        below[corners[3 * f]] | below[corners[3 * f + 1]] << 1 | below[corners[3 * f + 2]] << 2;
    bits[f] = static_cast<std::uint8_t>(which);
    whole[wholes] = cut[cuts] = static_cast<std::uint8_t>(f);
    wholes += which == 7 ? 1 : 0;
    cuts += which != 0 && which != 7 ? 1 : 0;
  }
  const auto seen = [&](std::size_t corner) {
    const std::size_t i = corners[corner];
    return CutVertex{u[i], v[i], h[i]};
  };
  for (std::size_t i = 0; i < wholes; ++i) {
    const std::size_t first = std::size_t{3} * whole[i];
    gathered.cut.add_whole(seen(first), seen(first + 1), seen(first + 2));
  }
  for (std::size_t i = 0; i < cuts; ++i) {
    constexpr std::array<std::uint8_t, 5> round = {0, 1, 2, 0, 1};
    const std::size_t first = std::size_t{3} * cut[i];
    const std::size_t lone = CutSums::lone_corner(bits[cut[i]]);
    gathered.cut.add_cut(seen(first + round[lone]), seen(first + round[lone + 1]),
                         seen(first + round[lone + 2]));
  }
}

void MomentTree::cut_node(std::uint32_t index, std::size_t depth, Gathered& gathered) const {
  const Node& node = nodes_[index];
  std::array<float, ways> height;
  std::array<float, ways> half;
  for (std::size_t i = 0; i < ways; ++i) {
    height[i] = node.middle[0][i] * gathered.normal[0] + node.middle[1][i] * gathered.normal[1] +
                node.middle[2][i] * gathered.normal[2] - gathered.rise;
    half[i] = node.half[0][i] * gathered.steep[0] + node.half[1][i] * gathered.steep[1] +
              node.half[2][i] * gathered.steep[2] + height_rounding;
  }
  // What will be wanted is fetched while others are at work.
  for (std::size_t i = 0; i < ways; ++i) {
    if (!(height[i] <= half[i])) continue;  // nor where there is no child, whatever the plane
    if (height[i] < -half[i]) {
      const Sums* sums = &sums_[std::size_t{index} * ways + i];
      fetch(sums, sizeof(Sums));
      gathered.waiting_sums.add(sums, [&](const Sums* branch) { gathered.add_whole(*branch); });
    } else if (node.vertices[i] == 0) {
      fetch(&nodes_[node.child[i]], sizeof(Node));
      gathered.waiting_nodes[depth + 1].add(
          node.child[i], [&](std::uint32_t next) { cut_node(next, depth + 1, gathered); });
    } else {
      const Leaf leaf = leaf_of(node, i);
      fetch(&leaf_data_[leaf.at], sizeof(double) * (3 * std::size_t{leaf.vertices} + 3));
      gathered.waiting_leaves.add(leaf, [&](const Leaf& next) { cut_leaf(next, gathered); });
    }
  }
}

BelowPlane MomentTree::below(const Plane& plane) const {
  const PlaneAxes axes(plane, centre_mm_);
  // Farther from the centre than any corner can be: √3 reaches, and what rounding may add.
  if (!(std::abs(axes.rise_mm) <= 1.75 * reach_mm_)) {
    BelowPlane below;
    if (axes.rise_mm > 0) {
      below.volume_mm3 = volume_mm3_;
      below.first_moment_mm4 = first_moment_mm4_;
    }
    return below;
  }
  Gathered gathered(axes, reach_mm_);
  cut_node(0, 0, gathered);
  for (std::size_t depth = 1; depth < Gathered::most_depth; ++depth) {
    gathered.waiting_nodes[depth].use_up(
        [&](std::uint32_t next) { cut_node(next, depth, gathered); });
  }
  gathered.waiting_leaves.use_up([&](const Leaf& leaf) { cut_leaf(leaf, gathered); });
  gathered.waiting_sums.use_up([&](const Sums* branch) { gathered.add_whole(*branch); });
  return gathered.total().result(axes);
}

double MomentTree::farthest_mm(const Vec3& direction) const {
  const Vec3 steep = direction.cwiseAbs();
  const double rounding = 1e-12 * steep.sum();
  double best = -std::numeric_limits<double>::infinity();
  const auto visit_leaf = [&](const Leaf& leaf) {
    const double* x = leaf_data_.data() + leaf.at;
    for (std::size_t i = 0; i < leaf.vertices; ++i) {
      const Vec3 q(x[i], x[i + leaf.vertices], x[i + std::size_t{2} * leaf.vertices]);
      best = std::max(best, direction.dot(q));
    }
  };
  // Depth first, the most promising child first, all that can't beat the best so far left out.
  const auto visit = [&](const auto& self, int index) -> void {
    const Node& node = nodes_[static_cast<std::size_t>(index)];
    std::array<double, ways> bound;
    for (std::size_t i = 0; i < ways; ++i) {
      double sum = rounding;
      for (std::size_t k = 0; k < 3; ++k) {
        const auto axis = static_cast<Eigen::Index>(k);
        sum += direction[axis] * double{node.middle[k][i]} + steep[axis] * double{node.half[k][i]};
      }
      bound[i] =
          node.half[0][i] == no_child ? -std::numeric_limits<double>::infinity() : sum * reach_mm_;
    }
    for (int rank = 0; rank < ways; ++rank) {
      const auto next = static_cast<std::size_t>(
          std::distance(bound.begin(), std::max_element(bound.begin(), bound.end())));
      if (!(bound[next] > best)) return;
      bound[next] = -std::numeric_limits<double>::infinity();
      if (node.vertices[next] == 0) {
        self(self, static_cast<int>(node.child[next]));
      } else {
        visit_leaf(leaf_of(node, next));
      }
    }
  };
  visit(visit, 0);
  return best;
}

std::pair<double, double> MomentTree::extent_mm(const Vec3& direction) const {
  const double middle = direction.dot(centre_mm_);
  return {middle - farthest_mm(-direction), middle + farthest_mm(direction)};
}

}  // namespace trueblank::geometry
