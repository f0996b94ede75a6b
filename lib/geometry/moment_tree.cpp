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

#include "geometry/facet_cut.h"
#include "geometry/moments.h"

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

/// A facet by the sum of its corners.
struct Key {
  float x[3];
  std::int32_t facet;
};

}  // namespace

/// Sorts the facets into leaves and writes nodes and leaves from the bottom up.
struct MomentTree::Builder {
  MomentTree& tree;
  const ClosedMesh& body;
  std::vector<Key> keys;
  std::vector<std::int64_t> stamp;  ///< of a vertex: where the leaf at work keeps it

  struct Branch {
    Box box;
    Sums sums{};
    std::int32_t child = 0;
  };

  Builder(MomentTree& filled, const ClosedMesh& whole)
      : tree(filled),
        body(whole),
        keys(static_cast<std::size_t>(whole.facet_count())),
        stamp(static_cast<std::size_t>(whole.vertex_count()), -1) {
    double reach = 0;
    for (int f = 0; f < whole.facet_count(); ++f) {
      Key& key = keys[static_cast<std::size_t>(f)];
      key.facet = f;
      Vec3 sum = Vec3::Zero();
      for (int k = 0; k < 3; ++k) {
        const Vec3 p = from_centre(f, k);
        reach = std::max(reach, p.cwiseAbs().maxCoeff());
        sum += p;
      }
      for (int k = 0; k < 3; ++k) key.x[k] = static_cast<float>(sum[k]);
    }
    tree.reach_mm_ = reach;
  }

  [[nodiscard]] Vec3 from_centre(int facet, int which) const {
    return body.corner(facet, which) - tree.centre_mm_;
  }

  void build() {
    const int facets = body.facet_count();
    const int leaves = (facets + leaf_facets - 1) / leaf_facets;
    tree.leaves_.reserve(static_cast<std::size_t>(leaves));
    tree.leaf_data_.reserve(static_cast<std::size_t>(leaves) * 32);
    int unit = 1;  // leaves below each child of the root
    while (unit < (leaves + ways - 1) / ways) unit *= ways;
    node(0, facets, unit);
  }

  /// A node over keys [begin, end) whose children hold `unit` full leaves each, all but the last.
  Branch node(int begin, int end, int unit) {
    const int index = static_cast<int>(tree.nodes_.size());
    tree.nodes_.emplace_back();
    tree.sums_.resize(tree.sums_.size() + ways);
    const int child_facets = unit * leaf_facets;
    const int children = (end - begin + child_facets - 1) / child_facets;
    split(begin, end, children, child_facets);
    Branch whole;
    whole.child = index;
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

  /// Parts keys [begin, end) into `parts` of `size` each, near each other in space, by medians
  /// across the longest side.
  void split(int begin, int end, int parts, int size) {
    if (parts < 2) return;
    float low[3];
    float high[3];
    for (int k = 0; k < 3; ++k) low[k] = high[k] = keys[static_cast<std::size_t>(begin)].x[k];
    for (int i = begin; i < end; ++i) {
      const Key& key = keys[static_cast<std::size_t>(i)];
      for (int k = 0; k < 3; ++k) {
        low[k] = std::min(low[k], key.x[k]);
        high[k] = std::max(high[k], key.x[k]);
      }
    }
    int axis = 0;
    for (int k = 1; k < 3; ++k) {
      if (high[k] - low[k] > high[axis] - low[axis]) axis = k;
    }
    const int left = parts / 2;
    const int middle = begin + left * size;
    std::nth_element(keys.begin() + begin, keys.begin() + middle, keys.begin() + end,
                     [axis](const Key& p, const Key& q) {
                       return p.x[axis] != q.x[axis] ? p.x[axis] < q.x[axis] : p.facet < q.facet;
                     });
    split(begin, middle, left, size);
    split(middle, end, parts - left, size);
  }

  Branch leaf(int begin, int end) {
    Branch branch;
    const int index = static_cast<int>(tree.leaves_.size());
    branch.child = ~index;
    std::array<Vec3, 3 * leaf_facets> vertices;
    std::array<std::uint8_t, 3 * leaf_facets> corners{};
    int count = 0;
    for (int i = begin; i < end; ++i) {
      const int facet = keys[static_cast<std::size_t>(i)].facet;
      for (int k = 0; k < 3; ++k) {
        const auto vertex = static_cast<std::size_t>(body.facets()(k, facet));
        const std::int64_t mine = std::int64_t{index} * (3 * leaf_facets);
        if (stamp[vertex] < mine) {
          stamp[vertex] = mine + count;
          vertices[static_cast<std::size_t>(count++)] = from_centre(facet, k);
        }
        corners[static_cast<std::size_t>(3 * (i - begin) + k)] =
            static_cast<std::uint8_t>(stamp[vertex] - mine);
      }
    }
    Leaf leaf;
    leaf.at = static_cast<std::uint32_t>(tree.leaf_data_.size());
    leaf.vertices = static_cast<std::uint8_t>(count);
    leaf.facets = static_cast<std::uint8_t>(end - begin);
    tree.leaves_.push_back(leaf);
    for (int k = 0; k < 3; ++k) {
      for (int i = 0; i < count; ++i) {
        tree.leaf_data_.push_back(vertices[static_cast<std::size_t>(i)][k]);
      }
    }
    std::array<double, 3> packed;
    static_assert(sizeof packed == sizeof corners);
    std::memcpy(packed.data(), corners.data(), sizeof packed);
    tree.leaf_data_.insert(tree.leaf_data_.end(), packed.begin(), packed.end());
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
    node.child[slot] = branch == nullptr ? 0 : branch->child;
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

void MomentTree::cut_leaf(const Leaf& leaf, Gathered& gathered) const {
  const PlaneAxes& axes = gathered.axes;
  const std::size_t vertices = leaf.vertices;
  const double* x = leaf_data_.data() + leaf.at;
  const double* y = x + vertices;
  const double* z = y + vertices;
  std::array<CutVertex, 3 * leaf_facets> seen;
  for (std::size_t i = 0; i < vertices; ++i) {
    const Vec3 q(x[i], y[i], z[i]);
    seen[i] = {axes.u.dot(q), axes.v.dot(q), axes.n.dot(q) - axes.rise_mm};
  }
  std::array<std::uint8_t, 3 * leaf_facets> corners;
  std::memcpy(corners.data(), z + vertices, sizeof corners);
  for (std::size_t f = 0; f < leaf.facets; ++f) {
    const CutVertex& a = seen[corners[3 * f]];
    const CutVertex& b = seen[corners[3 * f + 1]];
    const CutVertex& c = seen[corners[3 * f + 2]];
    const int bits = CutSums::below_bits(a, b, c);
    if (bits == 0) continue;
    if (bits == 7) {
      gathered.cut.add_whole(a, b, c);
    } else {
      gathered.cut.add_cut(bits, a, b, c);
    }
  }
}

void MomentTree::cut_node(int index, Gathered& gathered) const {
  const Node& node = nodes_[static_cast<std::size_t>(index)];
  std::array<float, ways> height;
  std::array<float, ways> half;
  for (std::size_t i = 0; i < ways; ++i) {
    height[i] = node.middle[0][i] * gathered.normal[0] + node.middle[1][i] * gathered.normal[1] +
                node.middle[2][i] * gathered.normal[2] - gathered.rise;
    half[i] = node.half[0][i] * gathered.steep[0] + node.half[1][i] * gathered.steep[1] +
              node.half[2][i] * gathered.steep[2] + height_rounding;
  }
  // What will be wanted is fetched while the first of it is at work.
  for (std::size_t i = 0; i < ways; ++i) {
    if (height[i] > half[i]) continue;
    if (height[i] < -half[i]) {
      fetch(&sums_[static_cast<std::size_t>(index) * ways + i], sizeof(Sums));
    } else if (node.child[i] >= 0) {
      fetch(&nodes_[static_cast<std::size_t>(node.child[i])], sizeof(Node));
    } else {
      const Leaf& leaf = leaves_[static_cast<std::size_t>(~node.child[i])];
      fetch(&leaf_data_[leaf.at], sizeof(double) * (3 * std::size_t{leaf.vertices} + 3));
    }
  }
  for (std::size_t i = 0; i < ways; ++i) {
    if (height[i] > half[i]) continue;
    if (height[i] < -half[i]) {
      const Sums& sums = sums_[static_cast<std::size_t>(index) * ways + i];
      for (std::size_t k = 0; k < sums.size(); ++k) gathered.whole[k] += sums[k];
    } else if (node.child[i] >= 0) {
      cut_node(node.child[i], gathered);
    } else {
      cut_leaf(leaves_[static_cast<std::size_t>(~node.child[i])], gathered);
    }
  }
}

BelowPlane MomentTree::below(const Plane& plane) const {
  const PlaneAxes axes(plane, centre_mm_);
  // Farther from the centre than any corner can be: √3 reaches, and what rounding may add.
  if (std::abs(axes.rise_mm) > 1.75 * reach_mm_) {
    BelowPlane below;
    if (axes.rise_mm > 0) {
      below.volume_mm3 = volume_mm3_;
      below.first_moment_mm4 = first_moment_mm4_;
    }
    return below;
  }
  Gathered gathered(axes, reach_mm_);
  cut_node(0, gathered);
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
      const std::int32_t child = node.child[next];
      if (child >= 0) {
        self(self, child);
      } else {
        visit_leaf(leaves_[static_cast<std::size_t>(~child)]);
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
