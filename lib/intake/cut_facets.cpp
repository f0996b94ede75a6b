// SPDX-License-Identifier: GPL-3.0-or-later
// A constrained Delaunay triangulation in each plane, seen along the axis that is most square to
// it. What lies in one plane is triangulated together, so that all agree on their common part.
#include "intake/cut_facets.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <utility>

namespace trueblank::intake {
namespace {

using geometry::Vec3;
using Three = ExactPoints::Three;

/// Facets in one plane, and the segments along which others cross them.
struct Flat {
  std::vector<int> facets;
  std::vector<const Crossing*> segments;
};

/// A facet seen in its plane, counter-clockwise.
struct SeenFacet {
  Three corners = {0, 0, 0};
  Eigen::AlignedBox3d box;
  int number = 0;
  int facing = 1;  ///< 1 where it is counter-clockwise as given, else -1
};

class FlatCutter {
 public:
  FlatCutter(const Corners& facets, ExactPoints& points) : facets_(facets), points_(points) {}

  void cut(const Flat& flat, std::vector<Wall>& walls) {
    look_along_axis(flat.facets.front());
    const std::vector<FlatTriangle> triangles = triangulated(flat);
    std::vector<SeenFacet> seen;
    for (const int f : flat.facets) seen.push_back(seen_facet(f));
    std::vector<char> done(triangles.size(), 0);
    for (std::size_t t = 0; t < triangles.size(); ++t) {
      if (done[t] == 0) put_region(triangles, static_cast<int>(t), seen, done, walls);
    }
  }

 private:
  [[nodiscard]] Three corners(int facet) const {
    const auto at = 3 * static_cast<std::size_t>(facet);
    return {facets_[at], facets_[at + 1], facets_[at + 2]};
  }

  /// Chooses the axis most square to the facet. Which is so up to rounding; that the facet shows
  /// area along it, exactly.
  void look_along_axis(int facet) {
    const Three at = corners(facet);
    const Vec3 a = points_.about(at[0]);
    const Vec3 normal = (points_.about(at[1]) - a).cross(points_.about(at[2]) - a).cwiseAbs();
    std::array<int, 3> axes = {0, 1, 2};
    std::stable_sort(axes.begin(), axes.end(),
                     [&normal](int i, int j) { return normal(i) > normal(j); });
    for (const int axis : axes) {
      axis_ = axis;
      if (points_.turn_seen(axis, at) != 0) return;
    }
  }

  [[nodiscard]] std::vector<FlatTriangle> triangulated(const Flat& flat) {
    std::vector<std::pair<int, int>> segments;
    std::vector<int> loose;
    for (const int f : flat.facets) {
      const Three at = corners(f);
      for (std::size_t k = 0; k < 3; ++k) segments.emplace_back(at[k], at[(k + 1) % 3]);
    }
    for (const Crossing* segment : flat.segments) {
      const std::vector<int>& along = segment->along;
      if (along.size() == 1) loose.push_back(along.front());
      for (std::size_t i = 1; i < along.size(); ++i) segments.emplace_back(along[i - 1], along[i]);
    }
    return points_.triangulated(corners(flat.facets.front()), axis_, segments, loose);
  }

  [[nodiscard]] SeenFacet seen_facet(int facet) const {
    SeenFacet out;
    out.corners = corners(facet);
    for (const int corner : out.corners) out.box.extend(points_.about(corner));
    // Wider than an estimate can be off.
    const double slack = 1e-4 * std::max(-out.box.min().minCoeff(), out.box.max().maxCoeff());
    out.box.extend(Vec3(out.box.min() - Vec3::Constant(slack)));
    out.box.extend(Vec3(out.box.max() + Vec3::Constant(slack)));
    out.number = facet;
    out.facing = points_.turn_seen(axis_, out.corners);
    if (out.facing < 0) std::swap(out.corners[1], out.corners[2]);
    return out;
  }

  /// The triangles about `start` up to the next segments: all lie in the same facets.
  void put_region(const std::vector<FlatTriangle>& triangles, int start,
                  const std::vector<SeenFacet>& seen, std::vector<char>& done,
                  std::vector<Wall>& walls) {
    const Wall kind = covering(triangles[static_cast<std::size_t>(start)], seen);
    std::vector<int> waiting = {start};
    done[static_cast<std::size_t>(start)] = 1;
    while (!waiting.empty()) {
      const FlatTriangle& triangle = triangles[static_cast<std::size_t>(waiting.back())];
      waiting.pop_back();
      if (kind.times != 0) walls.push_back(wall(triangle, kind));
      for (const int next : triangle.neighbours) {
        if (next < 0 || done[static_cast<std::size_t>(next)] != 0) continue;
        done[static_cast<std::size_t>(next)] = 1;
        waiting.push_back(next);
      }
    }
  }

  [[nodiscard]] static Wall wall(const FlatTriangle& triangle, const Wall& kind) {
    Wall out = kind;
    out.corners = triangle.corners;
    if (kind.times < 0) {
      out.times = -kind.times;
      std::swap(out.corners[1], out.corners[2]);
    }
    return out;
  }

  /// How many facets lie over the triangle, less those that face away, and the first that faces as
  /// most.
  [[nodiscard]] Wall covering(const FlatTriangle& triangle, const std::vector<SeenFacet>& seen) {
    Wall out;
    out.times = seen.front().facing;
    out.from_facet = seen.front().number;
    out.plane = seen.front().number;
    if (seen.size() == 1) return out;
    const int middle = points_.middle(triangle.corners);
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

  /// The point lies on no facet's edge.
  [[nodiscard]] bool covers(const SeenFacet& facet, int point) const {
    if (!facet.box.contains(points_.about(point))) return false;
    for (std::size_t k = 0; k < 3; ++k) {
      const Three turn = {facet.corners[k], facet.corners[(k + 1) % 3], point};
      if (points_.turn_seen(axis_, turn) <= 0) return false;
    }
    return true;
  }

  const Corners& facets_;
  ExactPoints& points_;
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
