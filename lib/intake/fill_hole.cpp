// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/fill_hole.h"

#define CGAL_EIGEN3_ENABLED 1  // fairing solves its equations with Eigen
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/triangulate_hole.h>
#include <CGAL/Surface_mesh.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <exception>
#include <map>
#include <optional>

#include "intake/polygons.h"

namespace trueblank::intake {
namespace {

namespace processing = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using SurfaceMesh = CGAL::Surface_mesh<Point>;
using geometry::Vec3;

/// A rim of more edges than this is thinned out to about so many: the filling's vertices grow with
/// its square, the time with more than that.
constexpr std::size_t most_rim_edges = 96;

/// The skin counts as running on into the hole where, on average, it points less than 60° out of
/// the filling's plane.
constexpr double least_running_on = 0.5;

Point to_point(const Vec3& p) { return {p.x(), p.y(), p.z()}; }

Vec3 to_vector(const Point& p) { return {p.x(), p.y(), p.z()}; }

Vec3 mean(const std::vector<Vec3>& points) {
  Vec3 sum = Vec3::Zero();
  for (const Vec3& p : points) sum += p;
  return sum / static_cast<double>(points.size());
}

/// The length-weighted mean cosine between the way that the skin goes on at the rim and the way
/// that a flat filling would go.
double running_on(const Hole& hole) {
  const std::size_t n = hole.rim.size();
  const Vec3 middle = mean(hole.rim);
  Vec3 normal = Vec3::Zero();
  for (std::size_t i = 0; i < n; ++i) {
    normal += (hole.rim[i] - middle).cross(hole.rim[(i + 1) % n] - middle);
  }
  normal.normalize();
  double sum = 0;
  double length = 0;
  for (const auto& facet : hole.skin) {
    for (std::size_t k = 0; k < 3; ++k) {
      const auto a = static_cast<std::size_t>(facet[k]);
      const auto b = static_cast<std::size_t>(facet[(k + 1) % 3]);
      if (b >= n || a != (b + 1) % n) continue;  // not a rim edge (they run against the rim)
      const auto third = static_cast<std::size_t>(facet[(k + 2) % 3]);
      const Vec3 edge = hole.rim[b] - hole.rim[a];
      const Vec3& apex = third < n ? hole.rim[third] : hole.around[third - n];
      const Vec3 along = edge.normalized();
      const Vec3 back = apex - hole.rim[a];
      const Vec3 on = -(back - along.dot(back) * along).normalized();
      const Vec3 inward = along.cross(normal).normalized();  // the rim is wound about `normal`
      const double cosine = on.dot(inward);
      if (!std::isfinite(cosine)) continue;
      sum += cosine * edge.norm();
      length += edge.norm();
    }
  }
  return length > 0 ? sum / length : 0;
}

Filling fan(const std::vector<Vec3>& rim) {
  Filling out;
  const int n = static_cast<int>(rim.size());
  if (n == 3) {
    out.facets.push_back({0, 1, 2});
    return out;
  }
  out.vertices.push_back(mean(rim));
  for (int i = 0; i < n; ++i) out.facets.push_back({i, (i + 1) % n, n});
  return out;
}

/// The flat filling of least area over the rim's own vertices; nothing where there is none.
std::optional<Filling> least_area(const std::vector<Vec3>& rim) {
  std::vector<Point> points;
  for (const Vec3& p : rim) points.push_back(to_point(p));
  std::vector<CGAL::Triple<int, int, int>> triples;
  try {
    processing::triangulate_hole_polyline(points, std::back_inserter(triples));
  } catch (const std::exception&) {
    return std::nullopt;
  }
  if (triples.size() + 2 != rim.size()) return std::nullopt;
  Filling out;
  for (const auto& t : triples) out.facets.push_back({t.first, t.second, t.third});
  return out;
}

/// Whether a filling closes the rim: each rim edge once in its order, each other edge both ways.
bool closes(const Filling& filling, std::size_t rim) {
  std::map<std::pair<int, int>, int> balance;
  const int n = static_cast<int>(rim);
  for (int i = 0; i < n; ++i) --balance[{i, (i + 1) % n}];
  for (const auto& facet : filling.facets) {
    for (std::size_t k = 0; k < 3; ++k) {
      const int a = facet[k];
      const int b = facet[(k + 1) % 3];
      if (a == b) return false;
      ++balance[{a, b}];
    }
  }
  return std::all_of(balance.begin(), balance.end(), [&balance](const auto& entry) {
    const auto [a, b] = entry.first;
    if (entry.second == 0) return true;
    const auto back = balance.find({b, a});
    return back != balance.end() && back->second == entry.second;
  });
}

/// New vertices must stay near: within the rim's box, grown by its own diagonal.
bool stays_near(const Filling& filling, const std::vector<Vec3>& rim) {
  Vec3 low = rim[0];
  Vec3 high = rim[0];
  for (const Vec3& p : rim) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const double reach = (high - low).norm();
  return std::all_of(filling.vertices.begin(), filling.vertices.end(), [&](const Vec3& p) {
    return p.allFinite() && ((low - p).array() <= reach).all() &&
           ((p - high).array() <= reach).all();
  });
}

/// The border half-edge of the hole: the rim's first edge, the other way than its facet has it.
SurfaceMesh::Halfedge_index border(const SurfaceMesh& mesh) {
  using Vertex = SurfaceMesh::Vertex_index;
  const SurfaceMesh::Halfedge_index h = mesh.halfedge(Vertex(0), Vertex(1));
  if (h == SurfaceMesh::null_halfedge() || !mesh.is_border(h)) return SurfaceMesh::null_halfedge();
  return h;
}

/// The filling that goes on smoothly from the skin; nothing where the skin is no proper surface or
/// the equations give nothing usable.
std::optional<Filling> smooth(const Hole& hole) {
  const std::size_t n = hole.rim.size();
  std::vector<Point> points;
  for (const Vec3& p : hole.rim) points.push_back(to_point(p));
  for (const Vec3& p : hole.around) points.push_back(to_point(p));
  std::vector<std::vector<std::size_t>> polygons;
  for (const auto& f : hole.skin) {
    polygons.push_back({static_cast<std::size_t>(f[0]), static_cast<std::size_t>(f[1]),
                        static_cast<std::size_t>(f[2])});
  }
  if (!processing::is_polygon_soup_a_polygon_mesh(polygons)) return std::nullopt;
  Filling out;
  try {
    SurfaceMesh mesh;
    processing::polygon_soup_to_polygon_mesh(points, polygons, mesh);
    const SurfaceMesh::Halfedge_index start = border(mesh);
    if (start == SurfaceMesh::null_halfedge()) return std::nullopt;
    // The border has to be this rim and no more.
    std::size_t length = 0;
    for (auto h = start; length <= n; h = mesh.next(h)) {
      if (static_cast<std::size_t>(mesh.source(h)) != length) return std::nullopt;
      ++length;
      if (mesh.next(h) == start) break;
    }
    if (length != n) return std::nullopt;
    std::vector<SurfaceMesh::Face_index> faces;
    std::vector<SurfaceMesh::Vertex_index> vertices;
    processing::triangulate_refine_and_fair_hole(mesh, start, std::back_inserter(faces),
                                                 std::back_inserter(vertices));
    std::map<std::size_t, int> number;
    for (std::size_t i = 0; i < n; ++i) number[i] = static_cast<int>(i);
    for (const SurfaceMesh::Vertex_index v : vertices) {
      number[v] = static_cast<int>(n + out.vertices.size());
      out.vertices.push_back(to_vector(mesh.point(v)));
    }
    for (const SurfaceMesh::Face_index f : faces) {
      std::array<int, 3> corners = {};
      std::size_t k = 0;
      for (const SurfaceMesh::Vertex_index v : mesh.vertices_around_face(mesh.halfedge(f))) {
        const auto found = number.find(v);
        if (found == number.end() || k == 3) return std::nullopt;
        corners[k++] = found->second;
      }
      out.facets.push_back(corners);
    }
  } catch (const std::exception&) {
    return std::nullopt;
  }
  if (!stays_near(out, hole.rim) || !closes(out, n)) return std::nullopt;
  return out;
}

/// A hole of a bearable number of edges.
Filling fill_small(const Hole& hole) {
  if (hole.rim.size() == 3) return fan(hole.rim);
  if (!hole.skin.empty() && running_on(hole) > least_running_on) {
    if (std::optional<Filling> filling = smooth(hole)) return *std::move(filling);
  }
  std::optional<Filling> flat = least_area(hole.rim);
  if (flat && closes(*flat, hole.rim.size())) return *std::move(flat);
  return fan(hole.rim);
}

/// Which rim vertices stay: about evenly spaced along the rim.
std::vector<int> thinned(const std::vector<Vec3>& rim) {
  const std::size_t n = rim.size();
  std::vector<double> way(n + 1, 0);
  for (std::size_t i = 0; i < n; ++i) way[i + 1] = way[i] + (rim[(i + 1) % n] - rim[i]).norm();
  std::vector<int> kept;
  for (std::size_t i = 0; i < n; ++i) {
    const double wanted =
        way[n] * static_cast<double>(kept.size()) / static_cast<double>(most_rim_edges);
    if (way[i] >= wanted && kept.size() < most_rim_edges) kept.push_back(static_cast<int>(i));
  }
  return kept;
}

/// Where the skin goes from a vertex of the thinned rim: the mean of the skin's vertices about
/// `distance` from it, or the nearest one where there is none so far off.
Vec3 beside(const Hole& hole, const Vec3& vertex, double distance) {
  Vec3 sum = Vec3::Zero();
  int count = 0;
  Vec3 nearest = hole.around.front();
  for (const Vec3& p : hole.around) {
    const double there = (p - vertex).norm();
    if (there < (nearest - vertex).norm()) nearest = p;
    if (there < distance / 2 || there > distance * 3 / 2) continue;
    sum += p;
    ++count;
  }
  return count > 0 ? Vec3(sum / count) : nearest;
}

double length_of(const std::vector<Vec3>& rim) {
  double length = 0;
  for (std::size_t i = 0; i < rim.size(); ++i)
    length += (rim[(i + 1) % rim.size()] - rim[i]).norm();
  return length;
}

/// The thinned rim with one ring of coarse skin around it.
Hole coarse_hole(const Hole& hole, const std::vector<int>& kept) {
  Hole coarse;
  for (const int i : kept) coarse.rim.push_back(hole.rim[static_cast<std::size_t>(i)]);
  if (hole.around.empty()) return coarse;
  const std::size_t m = coarse.rim.size();
  const double step = length_of(coarse.rim) / static_cast<double>(m);
  for (const Vec3& p : coarse.rim) coarse.around.push_back(beside(hole, p, step));
  const int count = static_cast<int>(m);
  for (int i = 0; i < count; ++i) {
    const int j = (i + 1) % count;
    coarse.skin.push_back({j, i, count + j});
    coarse.skin.push_back({i, count + i, count + j});
  }
  return coarse;
}

/// Triangles between the rim and a chord of it, from kept vertex to kept vertex.
void close_chord(const std::vector<Vec3>& rim, int from, int to, Filling& filling) {
  const int n = static_cast<int>(rim.size());
  std::vector<int> corners;
  std::vector<double> positions;
  for (int i = from; i <= to; ++i) {
    const Vec3& p = rim[static_cast<std::size_t>(i % n)];
    positions.insert(positions.end(), p.data(), p.data() + 3);
    corners.push_back(i - from);
  }
  if (corners.size() < 3) return;
  std::vector<int> triangles(3 * (corners.size() - 2));
  if (!cut_polygon(corners, positions, triangles)) {
    for (std::size_t k = 0; k + 2 < corners.size(); ++k) {  // a fan from the first
      triangles[3 * k] = 0;
      triangles[3 * k + 1] = static_cast<int>(k) + 1;
      triangles[3 * k + 2] = static_cast<int>(k) + 2;
    }
  }
  for (std::size_t t = 0; t < triangles.size(); t += 3) {
    filling.facets.push_back(
        {(triangles[t] + from) % n, (triangles[t + 1] + from) % n, (triangles[t + 2] + from) % n});
  }
}

Filling fill_big(const Hole& hole) {
  const std::vector<int> kept = thinned(hole.rim);
  const int n = static_cast<int>(hole.rim.size());
  const int m = static_cast<int>(kept.size());
  if (m < 3) return fan(hole.rim);
  const Filling inner = fill_small(coarse_hole(hole, kept));
  Filling out;
  out.vertices = inner.vertices;
  for (const auto& facet : inner.facets) {
    std::array<int, 3> corners = {};
    for (std::size_t k = 0; k < 3; ++k) {
      corners[k] = facet[k] < m ? kept[static_cast<std::size_t>(facet[k])] : facet[k] - m + n;
    }
    out.facets.push_back(corners);
  }
  for (int i = 0; i < m; ++i) {
    const int from = kept[static_cast<std::size_t>(i)];
    const int to = i + 1 < m ? kept[static_cast<std::size_t>(i) + 1] : kept[0] + n;
    close_chord(hole.rim, from, to, out);
  }
  return closes(out, hole.rim.size()) ? out : fan(hole.rim);
}

}  // namespace

Filling fill_hole(const Hole& hole) {
  return hole.rim.size() > most_rim_edges ? fill_big(hole) : fill_small(hole);
}

}  // namespace trueblank::intake
