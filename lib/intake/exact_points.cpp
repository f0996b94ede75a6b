// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/exact_points.h"

#include <CGAL/Constrained_Delaunay_triangulation_2.h>
#include <CGAL/Constrained_triangulation_plus_2.h>
#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/Triangulation_face_base_with_info_2.h>
#include <CGAL/Triangulation_vertex_base_with_info_2.h>

#include <map>

namespace trueblank::intake {
namespace {

using Exact = CGAL::Exact_predicates_exact_constructions_kernel;

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
using Flat = CGAL::Constrained_triangulation_plus_2<Delaunay>;

Exact::Point_2 seen_against(int axis, const Exact::Point_3& p) {
  return {p[(axis + 1) % 3], p[(axis + 2) % 3]};
}

/// The point that is seen there, at some height along the axis.
Exact::Point_3 at_height(int axis, const Exact::Point_2& p, int height) {
  std::array<Exact::FT, 3> at;
  at[static_cast<std::size_t>((axis + 1) % 3)] = p.x();
  at[static_cast<std::size_t>((axis + 2) % 3)] = p.y();
  at[static_cast<std::size_t>(axis)] = height;
  return {at[0], at[1], at[2]};
}

}  // namespace

struct ExactPoints::Store {
  std::vector<Exact::Point_3> points;
  std::vector<char> expected;
  std::map<Exact::Point_3, int> numbers;

  [[nodiscard]] const Exact::Point_3& operator[](int number) const {
    return points[static_cast<std::size_t>(number)];
  }

  /// The number of this point, be it expected, made before, or new.
  int add(const Exact::Point_3& point) {
    const auto [place, is_new] = numbers.try_emplace(point, static_cast<int>(points.size()));
    if (is_new) points.push_back(point);
    return place->second;
  }

  [[nodiscard]] Exact::Point_3 meeting(const Three& plane, const Exact::Point_3& p,
                                       const Exact::Point_3& q) const {
    return Exact::Construct_plane_line_intersection_point_3()((*this)[plane[0]], (*this)[plane[1]],
                                                              (*this)[plane[2]], p, q);
  }
};

namespace {

/// Fills a triangulation by numbers of points.
template <class Points>
class Filling {
 public:
  Filling(Flat& flat, const Points& points, int axis) : flat_(flat), points_(points), axis_(axis) {}

  Flat::Vertex_handle put(int number) {
    const auto known = handles_.find(number);
    if (known != handles_.end()) return known->second;
    const Flat::Vertex_handle vertex = flat_.insert(seen_against(axis_, points_[number]));
    vertex->info().value = number;
    handles_.emplace(number, vertex);
    return vertex;
  }

  void put(int from, int to) {
    const Flat::Vertex_handle first = put(from);
    const Flat::Vertex_handle second = put(to);
    if (first != second) flat_.insert_constraint(first, second);
  }

 private:
  Flat& flat_;
  const Points& points_;
  int axis_;
  std::map<int, Flat::Vertex_handle> handles_;
};

std::vector<FlatTriangle> triangles_of(const Flat& flat) {
  int count = 0;
  for (auto f = flat.finite_faces_begin(); f != flat.finite_faces_end(); ++f) {
    f->info().value = count++;
  }
  std::vector<FlatTriangle> out;
  out.reserve(static_cast<std::size_t>(count));
  for (auto f = flat.finite_faces_begin(); f != flat.finite_faces_end(); ++f) {
    FlatTriangle triangle;
    for (int k = 0; k < 3; ++k) {
      const auto at = static_cast<std::size_t>(k);
      triangle.corners[at] = f->vertex(k)->info().value;
      if (!flat.is_constrained({f, k})) triangle.neighbours[at] = f->neighbor(k)->info().value;
    }
    out.push_back(triangle);
  }
  return out;
}

}  // namespace

ExactPoints::ExactPoints(const Eigen::Matrix3Xd& positions)
    : positions_(positions), store_(std::make_unique<Store>()) {
  store_->points.resize(static_cast<std::size_t>(positions.cols()));
  store_->expected.resize(store_->points.size(), 0);
}

ExactPoints::~ExactPoints() = default;

void ExactPoints::expect(int vertex) {
  if (is_made(vertex) || store_->expected[static_cast<std::size_t>(vertex)] != 0) return;
  store_->expected[static_cast<std::size_t>(vertex)] = 1;
  const geometry::Vec3 p = positions_.col(vertex);
  const Exact::Point_3 point(p.x(), p.y(), p.z());
  store_->points[static_cast<std::size_t>(vertex)] = point;
  store_->numbers.try_emplace(point, vertex);
}

void ExactPoints::expect(const Three& vertices) {
  for (const int v : vertices) expect(v);
}

int ExactPoints::meeting(const Three& plane, int p, int q) {
  return store_->add(store_->meeting(plane, (*store_)[p], (*store_)[q]));
}

int ExactPoints::middle(const Three& corners) {
  const Store& points = *store_;
  store_->points.push_back(
      CGAL::centroid(points[corners[0]], points[corners[1]], points[corners[2]]));
  return count() - 1;
}

bool ExactPoints::before(int p, int q) const {
  return p != q && CGAL::compare_xyz((*store_)[p], (*store_)[q]) == CGAL::SMALLER;
}

int ExactPoints::side(const Three& plane, int point) const {
  const Store& points = *store_;
  return CGAL::orientation(points[plane[0]], points[plane[1]], points[plane[2]], points[point]);
}

int ExactPoints::turn_seen(int axis, const Three& corners) const {
  const Store& points = *store_;
  return CGAL::orientation(seen_against(axis, points[corners[0]]),
                           seen_against(axis, points[corners[1]]),
                           seen_against(axis, points[corners[2]]));
}

std::vector<FlatTriangle> ExactPoints::triangulated(
    const Three& plane, int axis, const std::vector<std::pair<int, int>>& segments,
    const std::vector<int>& loose) {
  Flat flat;
  Filling<Store> filling(flat, *store_, axis);
  for (const auto& [from, to] : segments) filling.put(from, to);
  for (const int point : loose) filling.put(point);
  for (auto v = flat.finite_vertices_begin(); v != flat.finite_vertices_end(); ++v) {
    if (v->info().value >= 0) continue;  // else made where segments cross
    v->info().value = store_->add(
        store_->meeting(plane, at_height(axis, v->point(), 0), at_height(axis, v->point(), 1)));
  }
  return triangles_of(flat);
}

geometry::Vec3 ExactPoints::about(int point) const {
  const Exact::Point_3& p = (*store_)[point];
  return {CGAL::to_double(p.x()), CGAL::to_double(p.y()), CGAL::to_double(p.z())};
}

geometry::Vec3 ExactPoints::rounded(int point) const {
  if (!is_made(point)) return positions_.col(point);
  // By the exact value: what the kernel has as its estimate depends on what was asked before.
  const Exact::Point_3& p = (*store_)[point];
  return {CGAL::to_double(p.x().exact()), CGAL::to_double(p.y().exact()),
          CGAL::to_double(p.z().exact())};
}

int ExactPoints::count() const { return static_cast<int>(store_->points.size()); }

}  // namespace trueblank::intake
