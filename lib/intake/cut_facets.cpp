// SPDX-License-Identifier: GPL-3.0-or-later
// A constrained Delaunay triangulation in each plane, seen along the axis that is most square to
// it. What lies in one plane is triangulated together, so that all agree on their common part.
#include "intake/cut_facets.h"

#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Constrained_triangulation_plus_2.h>
#include <CGAL/Triangulation_face_base_with_info_2.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <numeric>
#include <utility>

namespace trueblank::intake {
namespace {

/// A number that is -1 until it is set.
struct Number {
  int value = -1;
};

using Vertices = CGAL::Triangulation_vertex_base_with_info_2<Number, Exact>;
using Faces =
    CGAL::Triangulation_face_base_with_info_2<Number, Exact,
                                              CGAL::Constrained_triangulation_face_base_2<Exact>>;
using Delaunay = CGAL::Constrained_Delaunay_triangulation_2<
    Exact, CGAL::Triangulation_data_structure_2<Vertices, Faces>, CGAL::Exact_intersections_tag>;
using Plane = CGAL::Constrained_triangulation_plus_2<Delaunay>;

/// Facets in one plane, and the segments along which others cross them.
struct Flat {
  std::vector<int> facets;
  std::vector<const Crossing*> segments;
};

/// A facet seen in its plane, counter-clockwise.
struct SeenFacet {
  std::array<Exact::Point_2, 3> corners;
  CGAL::Bbox_2 box;
  int number = 0;
  int facing = 1;  ///< 1 where it is counter-clockwise as given, else -1
};

class FlatCutter {
 public:
  FlatCutter(const Corners& facets, ExactPoints& points) : facets_(facets), points_(points) {}

  void cut(const Flat& flat, std::vector<Wall>& walls) {
    look_along_axis(flat.facets.front());
    Plane plane;
    handles_.clear();
    std::vector<SeenFacet> seen;
    for (const int f : flat.facets) {
      seen.push_back(seen_facet(f));
      for (int k = 0; k < 3; ++k) put(plane, corner(f, k), corner(f, (k + 1) % 3));
    }
    for (const Crossing* segment : flat.segments) put(plane, segment->along);
    number_crossings(plane, flat.facets.front());
    for (auto face = plane.finite_faces_begin(); face != plane.finite_faces_end(); ++face) {
      if (face->info().value < 0) put_region(plane, face, seen, walls);
    }
  }

 private:
  [[nodiscard]] int corner(int facet, int which) const {
    return facets_[3 * static_cast<std::size_t>(facet) + static_cast<std::size_t>(which)];
  }

  [[nodiscard]] Exact::Point_2 seen(const Exact::Point_3& p) const {
    return {p[(axis_ + 1) % 3], p[(axis_ + 2) % 3]};
  }

  [[nodiscard]] CGAL::Orientation facing(int facet) const {
    return CGAL::orientation(seen(points_[corner(facet, 0)]), seen(points_[corner(facet, 1)]),
                             seen(points_[corner(facet, 2)]));
  }

  /// Chooses the axis most square to the facet. Which is so up to rounding; that the facet shows
  /// area along it, exactly.
  void look_along_axis(int facet) {
    const geometry::Vec3 a = approximate(corner(facet, 0));
    const geometry::Vec3 normal =
        (approximate(corner(facet, 1)) - a).cross(approximate(corner(facet, 2)) - a).cwiseAbs();
    std::array<int, 3> axes = {0, 1, 2};
    std::stable_sort(axes.begin(), axes.end(),
                     [&normal](int i, int j) { return normal(i) > normal(j); });
    for (const int axis : axes) {
      axis_ = axis;
      if (facing(facet) != CGAL::COLLINEAR) return;
    }
  }

  [[nodiscard]] geometry::Vec3 approximate(int number) const {
    const Exact::Point_3& p = points_[number];
    return {CGAL::to_double(p.x()), CGAL::to_double(p.y()), CGAL::to_double(p.z())};
  }

  [[nodiscard]] SeenFacet seen_facet(int facet) const {
    SeenFacet out;
    for (int k = 0; k < 3; ++k) {
      out.corners[static_cast<std::size_t>(k)] = seen(points_[corner(facet, k)]);
      out.box += out.corners[static_cast<std::size_t>(k)].bbox();
    }
    out.number = facet;
    if (facing(facet) == CGAL::CLOCKWISE) {
      out.facing = -1;
      std::swap(out.corners[1], out.corners[2]);
    }
    return out;
  }

  Plane::Vertex_handle handle(Plane& plane, int number) {
    const auto known = handles_.find(number);
    if (known != handles_.end()) return known->second;
    const Plane::Vertex_handle vertex = plane.insert(seen(points_[number]));
    vertex->info().value = number;
    handles_.emplace(number, vertex);
    return vertex;
  }

  void put(Plane& plane, int from, int to) {
    const Plane::Vertex_handle first = handle(plane, from);
    const Plane::Vertex_handle second = handle(plane, to);
    if (first != second) plane.insert_constraint(first, second);
  }

  void put(Plane& plane, const std::vector<int>& along) {
    if (along.size() == 1) handle(plane, along.front());
    for (std::size_t i = 1; i < along.size(); ++i) put(plane, along[i - 1], along[i]);
  }

  /// Gives the vertices that the triangulation made where segments cross their place in space.
  void number_crossings(const Plane& plane, int facet) {
    for (auto v = plane.finite_vertices_begin(); v != plane.finite_vertices_end(); ++v) {
      if (v->info().value >= 0) continue;
      v->info().value = points_.add(Exact::Construct_plane_line_intersection_point_3()(
          points_[corner(facet, 0)], points_[corner(facet, 1)], points_[corner(facet, 2)],
          lifted(v->point(), 0), lifted(v->point(), 1)));
    }
  }

  [[nodiscard]] Exact::Point_3 lifted(const Exact::Point_2& p, int height) const {
    std::array<Exact::FT, 3> at;
    at[static_cast<std::size_t>((axis_ + 1) % 3)] = p.x();
    at[static_cast<std::size_t>((axis_ + 2) % 3)] = p.y();
    at[static_cast<std::size_t>(axis_)] = height;
    return {at[0], at[1], at[2]};
  }

  /// The faces about `start` up to the next segments: all lie in the same facets.
  void put_region(const Plane& plane, Plane::Face_handle start, const std::vector<SeenFacet>& seen,
                  std::vector<Wall>& walls) const {
    const Wall kind = covering(start, seen);
    std::vector<Plane::Face_handle> waiting = {start};
    start->info().value = 1;
    while (!waiting.empty()) {
      const Plane::Face_handle face = waiting.back();
      waiting.pop_back();
      if (kind.times != 0) walls.push_back(wall(face, kind));
      for (int k = 0; k < 3; ++k) {
        const Plane::Face_handle next = face->neighbor(k);
        if (plane.is_constrained({face, k}) || plane.is_infinite(next)) continue;
        if (next->info().value >= 0) continue;
        next->info().value = 1;
        waiting.push_back(next);
      }
    }
  }

  [[nodiscard]] static Wall wall(Plane::Face_handle face, const Wall& kind) {
    Wall out = kind;
    for (int k = 0; k < 3; ++k) {
      out.corners[static_cast<std::size_t>(k)] = face->vertex(k)->info().value;
    }
    if (kind.times < 0) {
      out.times = -kind.times;
      std::swap(out.corners[1], out.corners[2]);
    }
    return out;
  }

  /// How many facets lie over the face, less those that face away, and the first that faces as
  /// most.
  [[nodiscard]] static Wall covering(Plane::Face_handle face, const std::vector<SeenFacet>& seen) {
    Wall out;
    out.times = seen.front().facing;
    out.from_facet = seen.front().number;
    out.plane = seen.front().number;
    if (seen.size() == 1) return out;
    const Exact::Point_2 middle = CGAL::centroid(face->vertex(0)->point(), face->vertex(1)->point(),
                                                 face->vertex(2)->point());
    out.times = 0;
    std::array<int, 2> first = {-1, -1};  // facing away, facing us
    for (const SeenFacet& facet : seen) {
      if (!covers(facet, middle)) continue;
      out.times += facet.facing;
      int& number = first[facet.facing > 0 ? 1 : 0];
      if (number < 0) number = facet.number;
    }
    out.from_facet = first[out.times > 0 ? 1 : 0];
    return out;
  }

  /// `point` lies on no facet's edge.
  [[nodiscard]] static bool covers(const SeenFacet& facet, const Exact::Point_2& point) {
    if (!CGAL::do_overlap(facet.box, point.bbox())) return false;
    for (std::size_t k = 0; k < 3; ++k) {
      if (CGAL::orientation(facet.corners[k], facet.corners[(k + 1) % 3], point) !=
          CGAL::COUNTERCLOCKWISE) {
        return false;
      }
    }
    return true;
  }

  const Corners& facets_;
  ExactPoints& points_;
  std::map<int, Plane::Vertex_handle> handles_;
  int axis_ = 0;
};

/// The facets that cross others, gathered by plane, in the order of their first facets.
std::vector<Flat> flats(int facet_count, const std::vector<Crossing>& crossings,
                        std::vector<char>& crossed) {
  Unions together(facet_count);
  for (const Crossing& c : crossings) {
    if (!c.coplanar && c.along.empty()) continue;
    crossed[static_cast<std::size_t>(c.facet_a)] = 1;
    crossed[static_cast<std::size_t>(c.facet_b)] = 1;
    if (c.coplanar) together.join(c.facet_a, c.facet_b);
  }
  std::vector<Flat> out;
  std::vector<int> place(static_cast<std::size_t>(facet_count), -1);
  for (int f = 0; f < facet_count; ++f) {
    if (crossed[static_cast<std::size_t>(f)] == 0) continue;
    const int first = together.find(f);
    int& at = place[static_cast<std::size_t>(first)];
    if (at < 0) {
      at = static_cast<int>(out.size());
      out.emplace_back();
    }
    out[static_cast<std::size_t>(at)].facets.push_back(f);
  }
  for (const Crossing& c : crossings) {
    if (c.coplanar || c.along.empty()) continue;
    for (const int f : {c.facet_a, c.facet_b}) {
      const int at = place[static_cast<std::size_t>(together.find(f))];
      out[static_cast<std::size_t>(at)].segments.push_back(&c);
    }
  }
  return out;
}

}  // namespace

std::vector<Wall> cut_facets(const Corners& facets, const std::vector<Crossing>& crossings,
                             ExactPoints& points) {
  const int facet_count = static_cast<int>(facets.size() / 3);
  std::vector<char> crossed(static_cast<std::size_t>(facet_count), 0);
  std::vector<Wall> walls;
  FlatCutter cutter(facets, points);
  for (const Flat& flat : flats(facet_count, crossings, crossed)) cutter.cut(flat, walls);
  for (int f = 0; f < facet_count; ++f) {
    if (crossed[static_cast<std::size_t>(f)] != 0) continue;
    const auto at = 3 * static_cast<std::size_t>(f);
    walls.push_back({{facets[at], facets[at + 1], facets[at + 2]}, 1, f, f});
  }
  std::stable_sort(walls.begin(), walls.end(),
                   [](const Wall& a, const Wall& b) { return a.from_facet < b.from_facet; });
  return walls;
}

}  // namespace trueblank::intake
