// SPDX-License-Identifier: GPL-3.0-or-later
//
// The tree is CGAL's. It only tells which facet is nearest: the nearest point itself, the feature
// that holds it and the sign are worked out here, on coordinates about the body's own middle, so
// that a body far from the origin keeps its digits.
//
// source  J. A. Bærentzen, H. Aanæs, "Signed distance computation using the angle weighted
//         pseudonormal", IEEE TVCG 11(3), 243-253, 2005
//         C. Ericson, "Real-Time Collision Detection", 2005, 5.1.5 (nearest point of a triangle)
#include "symmetry/nearest_surface.h"

#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Simple_cartesian.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

namespace trueblank::symmetry {
namespace {

using Kernel = CGAL::Simple_cartesian<double>;
using Point = Kernel::Point_3;

struct Skin {
  Eigen::Matrix3Xd positions;  // about `middle`
  Eigen::Matrix3Xi facets;
  Vec3 middle = Vec3::Zero();

  [[nodiscard]] Point point(int vertex) const {
    return {positions(0, vertex), positions(1, vertex), positions(2, vertex)};
  }
};

// A facet as CGAL's tree wants it: the triangle is made when asked for.
struct FacetPrimitive {
  using Id = int;
  using Point = Kernel::Point_3;
  using Datum = Kernel::Triangle_3;
  using Point_reference = Point;
  using Datum_reference = Datum;

  FacetPrimitive(const Skin* skin, int facet) : skin_(skin), facet_(facet) {}

  explicit FacetPrimitive(std::vector<FacetPrimitive>::const_iterator from)
      : FacetPrimitive(*from) {}

  [[nodiscard]] Datum datum() const {
    const auto corners = skin_->facets.col(facet_);
    return {skin_->point(corners[0]), skin_->point(corners[1]), skin_->point(corners[2])};
  }

  [[nodiscard]] Point reference_point() const { return skin_->point(skin_->facets(0, facet_)); }

  [[nodiscard]] Id id() const { return facet_; }

 private:
  const Skin* skin_;
  int facet_;
};

using Traits = CGAL::AABB_traits<Kernel, FacetPrimitive>;
using Tree = CGAL::AABB_tree<Traits>;

// Where on a triangle the nearest point lies.
enum class Feature { corner_0, corner_1, corner_2, edge_01, edge_12, edge_20, face };

struct OnTriangle {
  Vec3 point = Vec3::Zero();
  Feature feature = Feature::face;
};

OnTriangle nearest_on_triangle(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = b - a;
  const Vec3 ac = c - a;
  const Vec3 ap = p - a;
  const double d1 = ab.dot(ap);
  const double d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return {a, Feature::corner_0};
  const Vec3 bp = p - b;
  const double d3 = ab.dot(bp);
  const double d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return {b, Feature::corner_1};
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return {a + ab * (d1 / (d1 - d3)), Feature::edge_01};
  const Vec3 cp = p - c;
  const double d5 = ab.dot(cp);
  const double d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return {c, Feature::corner_2};
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return {a + ac * (d2 / (d2 - d6)), Feature::edge_20};
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    return {b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6))), Feature::edge_12};
  }
  const double whole = va + vb + vc;
  if (!(whole > 0)) return {a, Feature::corner_0};  // a facet without area
  return {a + ab * (vb / whole) + ac * (vc / whole), Feature::face};
}

}  // namespace

struct NearestSurface::Inside {
  explicit Inside(const geometry::TriangleMesh& mesh);

  [[nodiscard]] Vec3 corner(int facet, int which) const {
    return skin.positions.col(skin.facets(which, facet));
  }

  [[nodiscard]] Vec3 facet_area_vector(int facet) const {
    const Vec3 a = corner(facet, 0);
    return (corner(facet, 1) - a).cross(corner(facet, 2) - a);
  }

  [[nodiscard]] OnTriangle on_facet(const Vec3& p, int facet) const {
    return nearest_on_triangle(p, corner(facet, 0), corner(facet, 1), corner(facet, 2));
  }

  [[nodiscard]] Vec3 pseudonormal(int facet, Feature feature) const;
  void sum_vertex_normals();
  void pair_edges();

  Skin skin;
  Tree tree;
  Eigen::Matrix3Xd vertex_normals;  // angle-weighted, of any length
  Eigen::Matrix3Xi across;          // the facet over edge k (corner k to k+1); -1: none
};

NearestSurface::Inside::Inside(const geometry::TriangleMesh& mesh) {
  assert(mesh.facet_count() > 0 && "a surface needs facets");
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  const Vec3 high = mesh.positions_mm.rowwise().maxCoeff();
  skin.middle = 0.5 * (low + high);
  skin.positions = mesh.positions_mm.colwise() - skin.middle;
  skin.facets = mesh.facets;
  sum_vertex_normals();
  pair_edges();
  {
    std::vector<FacetPrimitive> primitives;
    primitives.reserve(static_cast<std::size_t>(mesh.facet_count()));
    for (int f = 0; f < mesh.facet_count(); ++f) primitives.emplace_back(&skin, f);
    tree.rebuild(primitives.cbegin(), primitives.cend());
  }
  tree.build();
  // A first guess for questions without a hint: one point in eight is near enough.
  std::vector<Tree::Point_and_primitive_id> guesses;
  for (int f = 0; f < mesh.facet_count(); f += 8) {
    guesses.emplace_back(skin.point(skin.facets(0, f)), f);
  }
  tree.accelerate_distance_queries(guesses.cbegin(), guesses.cend());
}

void NearestSurface::Inside::sum_vertex_normals() {
  vertex_normals.setZero(3, skin.positions.cols());
  for (Eigen::Index f = 0; f < skin.facets.cols(); ++f) {
    const Vec3 area_vector = facet_area_vector(static_cast<int>(f));
    const double length = area_vector.norm();
    if (!(length > 0)) continue;
    for (int k = 0; k < 3; ++k) {
      const Vec3 at = corner(static_cast<int>(f), k);
      const Vec3 one = corner(static_cast<int>(f), (k + 1) % 3) - at;
      const Vec3 other = corner(static_cast<int>(f), (k + 2) % 3) - at;
      const double angle = std::atan2(length, one.dot(other));
      vertex_normals.col(skin.facets(k, f)) += (angle / length) * area_vector;
    }
  }
}

// Sorted half edges: equal unordered pairs of vertices lie side by side. Where more than two facets
// meet in an edge they are paired as they come, which only touches the sign right on that edge.
void NearestSurface::Inside::pair_edges() {
  struct HalfEdge {
    std::uint64_t ends;
    int slot;  // 3·facet + edge
  };

  std::vector<HalfEdge> edges;
  edges.reserve(static_cast<std::size_t>(3 * skin.facets.cols()));
  for (int f = 0; f < static_cast<int>(skin.facets.cols()); ++f) {
    for (int k = 0; k < 3; ++k) {
      const auto [low, high] = std::minmax(skin.facets(k, f), skin.facets((k + 1) % 3, f));
      edges.push_back(
          {(static_cast<std::uint64_t>(low) << 32) | static_cast<std::uint64_t>(high), 3 * f + k});
    }
  }
  std::sort(edges.begin(), edges.end(), [](const HalfEdge& a, const HalfEdge& b) {
    return std::pair(a.ends, a.slot) < std::pair(b.ends, b.slot);
  });
  across.setConstant(3, skin.facets.cols(), -1);
  for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
    if (edges[i].ends != edges[i + 1].ends) continue;
    const int one = edges[i].slot;
    const int other = edges[i + 1].slot;
    across(one % 3, one / 3) = other / 3;
    across(other % 3, other / 3) = one / 3;
    ++i;
  }
}

Vec3 NearestSurface::Inside::pseudonormal(int facet, Feature feature) const {
  const auto edge = [&](int k) -> Vec3 {
    const Vec3 own = facet_area_vector(facet).stableNormalized();
    if (across(k, facet) < 0) return own;
    return own + facet_area_vector(across(k, facet)).stableNormalized();
  };
  switch (feature) {
    case Feature::corner_0:
      return vertex_normals.col(skin.facets(0, facet));
    case Feature::corner_1:
      return vertex_normals.col(skin.facets(1, facet));
    case Feature::corner_2:
      return vertex_normals.col(skin.facets(2, facet));
    case Feature::edge_01:
      return edge(0);
    case Feature::edge_12:
      return edge(1);
    case Feature::edge_20:
      return edge(2);
    case Feature::face:
      break;
  }
  return facet_area_vector(facet);
}

NearestSurface::NearestSurface(const geometry::TriangleMesh& mesh)
    : inside_(std::make_unique<Inside>(mesh)) {}

NearestSurface::~NearestSurface() = default;
NearestSurface::NearestSurface(NearestSurface&&) noexcept = default;
NearestSurface& NearestSurface::operator=(NearestSurface&&) noexcept = default;

NearestSurface::Hit NearestSurface::nearest(const Vec3& point_mm, int likely_facet) const {
  const Vec3 p = point_mm - inside_->skin.middle;
  const Point query(p.x(), p.y(), p.z());
  int facet = -1;
  if (likely_facet >= 0) {
    const Vec3 start = inside_->on_facet(p, likely_facet).point;
    const Tree::Point_and_primitive_id hint(Point(start.x(), start.y(), start.z()), likely_facet);
    facet = inside_->tree.closest_point_and_primitive(query, hint).second;
  } else {
    facet = inside_->tree.closest_point_and_primitive(query).second;
  }
  const OnTriangle hit = inside_->on_facet(p, facet);
  const Vec3 away = p - hit.point;
  const double distance = away.norm();
  const bool outside = inside_->pseudonormal(facet, hit.feature).dot(away) >= 0;
  return {outside ? distance : -distance, hit.point + inside_->skin.middle, facet};
}

int NearestSurface::across(int facet, int edge) const { return inside_->across(edge, facet); }

}  // namespace trueblank::symmetry
