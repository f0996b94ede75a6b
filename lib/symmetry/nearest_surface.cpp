// SPDX-License-Identifier: GPL-3.0-or-later
//
// The nearest point, the feature that holds it and the sign are worked out on coordinates about the
// body's own middle, so that a body far from the origin keeps its digits. A hint is first followed
// over the skin from facet to facet while that comes nearer: what is found so is mostly the answer,
// and the tree then has little to look through.
//
// source  J. A. Bærentzen, H. Aanæs, "Signed distance computation using the angle weighted
//         pseudonormal", IEEE TVCG 11(3), 243-253, 2005
#include "symmetry/nearest_surface.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>
#include <span>
#include <utility>
#include <vector>

#include "symmetry/facet_tree.h"
#include "symmetry/nearest_on_triangle.h"

namespace trueblank::symmetry {
namespace {

constexpr int run_length = 4096;  // vertices at a time
constexpr int most_steps = 64;    // over the skin
// Of a point's distance from the body's middle: nearer than rounding can tell is at the point.
constexpr double rounding = 4 * std::numeric_limits<double>::epsilon();

// The edges of a facet that hold a feature; -1: none.
std::array<int, 2> edges_at(Feature feature) {
  switch (feature) {
    case Feature::corner_0:
      return {0, 2};
    case Feature::corner_1:
      return {0, 1};
    case Feature::corner_2:
      return {1, 2};
    case Feature::edge_01:
      return {0, -1};
    case Feature::edge_12:
      return {1, -1};
    case Feature::edge_20:
      return {2, -1};
    case Feature::face:
      break;
  }
  return {-1, -1};
}

/// The corners of facets that each vertex is, as 3·facet + corner, in the order of the facets.
class VertexCorners {
 public:
  VertexCorners(const Eigen::Matrix3Xi& facets, int vertices)
      : starts_(static_cast<std::size_t>(vertices) + 1, 0),
        slots_(static_cast<std::size_t>(facets.size())) {
    for (const int v : facets.reshaped()) ++starts_[static_cast<std::size_t>(v) + 1];
    for (std::size_t v = 1; v < starts_.size(); ++v) starts_[v] += starts_[v - 1];
    std::vector<int> next(starts_.begin(), starts_.end() - 1);
    int slot = 0;
    for (const int v : facets.reshaped()) {
      slots_[static_cast<std::size_t>(next[static_cast<std::size_t>(v)]++)] = slot++;
    }
  }

  [[nodiscard]] std::span<const int> of(int vertex) const {
    const std::size_t v = static_cast<std::size_t>(vertex);
    const std::size_t from = static_cast<std::size_t>(starts_[v]);
    return std::span(slots_).subspan(from, static_cast<std::size_t>(starts_[v + 1]) - from);
  }

 private:
  std::vector<int> starts_;
  std::vector<int> slots_;
};

}  // namespace

struct NearestSurface::Inside {
  Inside(const geometry::TriangleMesh& mesh, const geometry::ParallelFor& loop);

  [[nodiscard]] Vec3 corner(int facet, int which) const {
    return positions.col(facets(which, facet));
  }

  [[nodiscard]] Vec3 facet_area_vector(int facet) const {
    const Vec3 a = corner(facet, 0);
    return (corner(facet, 1) - a).cross(corner(facet, 2) - a);
  }

  struct Near {
    int facet = -1;
    OnTriangle on;
    double off2 = 0;
  };

  [[nodiscard]] Near near(const Vec3& p, int facet) const {
    const OnTriangle on =
        nearest_on_triangle(p, corner(facet, 0), corner(facet, 1), corner(facet, 2));
    return {facet, on, (p - on.point).squaredNorm()};
  }

  /// The last facets that were looked at, so that none of them is twice.
  struct Seen {
    std::array<int, 4> facets = {-1, -1, -1, -1};
    unsigned count = 0;

    void add(int facet) { facets[count++ % facets.size()] = facet; }

    [[nodiscard]] bool has(int facet) const {
      const auto& [a, b, c, d] = facets;  // which one can't be foreseen: no branches
      return static_cast<bool>(int{a == facet} | int{b == facet} | int{c == facet} |
                               int{d == facet});
    }
  };

  [[nodiscard]] Near nearer_over_the_skin(const Vec3& p, int facet, Seen& seen) const;
  [[nodiscard]] bool is_outside(const Vec3& off, int facet, Feature feature) const;
  [[nodiscard]] Vec3 normal_at_corner(int slot) const;
  void sum_vertex_normals(const VertexCorners& corners, const geometry::ParallelFor& loop);
  void pair_edges(const VertexCorners& corners, const geometry::ParallelFor& loop);
  void pair_edges_from(int vertex, std::span<const int> slots);

  Vec3 middle = Vec3::Zero();
  Eigen::Matrix3Xd positions;  // about `middle`
  Eigen::Matrix3Xi facets;
  FacetTree tree;
  Eigen::Matrix3Xd vertex_normals;  // angle-weighted, of any length
  Eigen::Matrix3Xi across;          // the facet over edge k (corner k to k+1); -1: none
};

NearestSurface::Inside::Inside(const geometry::TriangleMesh& mesh,
                               const geometry::ParallelFor& loop)
    : facets(mesh.facets) {
  assert(mesh.facet_count() > 0 && "a surface needs facets");
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  const Vec3 high = mesh.positions_mm.rowwise().maxCoeff();
  middle = 0.5 * (low + high);
  positions = mesh.positions_mm.colwise() - middle;
  {
    const VertexCorners corners(facets, mesh.vertex_count());
    sum_vertex_normals(corners, loop);
    pair_edges(corners, loop);
  }
  tree = FacetTree(positions, facets, loop);
}

// Angle-weighted, the facet's own normal at one of its corners.
Vec3 NearestSurface::Inside::normal_at_corner(int slot) const {
  const int f = slot / 3;
  const int k = slot % 3;
  const Vec3 area_vector = facet_area_vector(f);
  const double length = area_vector.norm();
  if (!(length > 0)) return Vec3::Zero();
  const Vec3 at = corner(f, k);
  const Vec3 one = corner(f, (k + 1) % 3) - at;
  const Vec3 other = corner(f, (k + 2) % 3) - at;
  return (std::atan2(length, one.dot(other)) / length) * area_vector;
}

void NearestSurface::Inside::sum_vertex_normals(const VertexCorners& corners,
                                                const geometry::ParallelFor& loop) {
  vertex_normals.setZero(3, positions.cols());
  const int count = static_cast<int>(positions.cols());
  loop((count + run_length - 1) / run_length, [&](int run) {
    for (int v = run * run_length; v < std::min(count, (run + 1) * run_length); ++v) {
      for (const int slot : corners.of(v)) vertex_normals.col(v) += normal_at_corner(slot);
    }
  });
}

// Each edge is paired from its lower end.
void NearestSurface::Inside::pair_edges(const VertexCorners& corners,
                                        const geometry::ParallelFor& loop) {
  across.setConstant(3, facets.cols(), -1);
  const int count = static_cast<int>(positions.cols());
  loop((count + run_length - 1) / run_length, [&](int run) {
    for (int v = run * run_length; v < std::min(count, (run + 1) * run_length); ++v) {
      pair_edges_from(v, corners.of(v));
    }
  });
}

// Sorted by their other ends, the two facets of an edge lie side by side. Where more than two meet
// in an edge they are paired as they come, which only touches the sign right on that edge.
void NearestSurface::Inside::pair_edges_from(int vertex, std::span<const int> slots) {
  std::vector<std::pair<int, int>> edges;  // other end, 3·facet + edge
  edges.reserve(2 * slots.size());
  for (const int slot : slots) {
    const int f = slot / 3;
    for (const int k : {slot % 3, (slot + 2) % 3}) {
      const int one = facets(k, f);
      const int other = facets((k + 1) % 3, f);
      const int end = one == vertex ? other : one;
      if (end > vertex) edges.emplace_back(end, 3 * f + k);
    }
  }
  std::sort(edges.begin(), edges.end());
  edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
  for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
    if (edges[i].first != edges[i + 1].first) continue;
    const int one = edges[i].second;
    const int other = edges[i + 1].second;
    across(one % 3, one / 3) = other / 3;
    across(other % 3, other / 3) = one / 3;
    ++i;
  }
}

// Over the edge that holds the nearest point, or those at the corner that does.
NearestSurface::Inside::Near NearestSurface::Inside::nearer_over_the_skin(const Vec3& p, int facet,
                                                                          Seen& seen) const {
  Near best = near(p, facet);
  seen.add(facet);
  int before = -1;
  for (int step = 0; step < most_steps; ++step) {
    const std::array<int, 2> edges = edges_at(best.on.feature);
    Near next = best;
    for (const int k : edges) {
      if (k < 0 || across(k, best.facet) < 0 || across(k, best.facet) == before) continue;
      const Near over = near(p, across(k, best.facet));
      seen.add(over.facet);
      if (over.off2 < next.off2) next = over;
    }
    if (next.facet == best.facet) break;
    before = best.facet;
    best = next;
  }
  return best;
}

// Whether what lies `off` from the nearest point is outside, by the pseudonormal there.
bool NearestSurface::Inside::is_outside(const Vec3& off, int facet, Feature feature) const {
  const auto over_edge = [&](int k) {
    const Vec3 own = facet_area_vector(facet);
    const int other_facet = across(k, facet);
    if (other_facet < 0) return own.dot(off) >= 0;
    const Vec3 other = facet_area_vector(other_facet);
    const bool outside = own.dot(off) >= 0;
    // Only where the two differ does it matter how long each is.
    if (outside == (other.dot(off) >= 0)) return outside;
    return (own.stableNormalized() + other.stableNormalized()).dot(off) >= 0;
  };
  const auto over_corner = [&](int k) {
    return vertex_normals.col(facets(k, facet)).dot(off) >= 0;
  };
  switch (feature) {
    case Feature::corner_0:
      return over_corner(0);
    case Feature::corner_1:
      return over_corner(1);
    case Feature::corner_2:
      return over_corner(2);
    case Feature::edge_01:
      return over_edge(0);
    case Feature::edge_12:
      return over_edge(1);
    case Feature::edge_20:
      return over_edge(2);
    case Feature::face:
      break;
  }
  return facet_area_vector(facet).dot(off) >= 0;
}

NearestSurface::NearestSurface(const geometry::TriangleMesh& mesh,
                               const geometry::ParallelFor& loop)
    : inside_(std::make_unique<Inside>(mesh, loop)) {}

NearestSurface::~NearestSurface() = default;
NearestSurface::NearestSurface(NearestSurface&&) noexcept = default;
NearestSurface& NearestSurface::operator=(NearestSurface&&) noexcept = default;

NearestSurface::Hit NearestSurface::nearest(const Vec3& point_mm, int likely_facet) const {
  const Inside& in = *inside_;
  const Vec3 p = point_mm - in.middle;
  Inside::Seen seen;
  Inside::Near best =
      in.nearer_over_the_skin(p, likely_facet >= 0 ? likely_facet : in.tree.facet_near(p), seen);
  const double least_mm = rounding * p.norm();
  if (best.off2 > least_mm * least_mm) {
    in.tree.look_near(p, best.off2, best.facet, [&](int facet, double& within2) {
      if (seen.has(facet)) return;
      const Inside::Near found = in.near(p, facet);
      if (!(found.off2 < within2)) return;
      best = found;
      within2 = found.off2;
    });
  }
  const double distance = std::sqrt(best.off2);
  const bool outside = in.is_outside(p - best.on.point, best.facet, best.on.feature);
  return {outside ? distance : -distance, best.on.point + in.middle, best.facet};
}

NearestSurface::Reached NearestSurface::reached_from(int facet, const Vec3& point_mm) const {
  Inside::Seen seen;
  const Inside::Near near = inside_->nearer_over_the_skin(point_mm - inside_->middle, facet, seen);
  return {std::sqrt(near.off2), near.on.point + inside_->middle, near.facet};
}

int NearestSurface::across(int facet, int edge) const { return inside_->across(edge, facet); }

}  // namespace trueblank::symmetry
