// SPDX-License-Identifier: GPL-3.0-or-later
// H. Edelsbrunner, E. Mücke, "Simulation of simplicity", ACM Trans. Graphics 9(1), 1990, for the
// ray that meets an edge.
#include "intake/shadow.h"

#include <algorithm>

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// Where a ray starts.
struct Start {
  Exact::Point_3 point;
  Vec3 about = Vec3::Zero();  ///< the point, up to the kernel's estimate
  int number = 0;
};

Exact::Point_2 along_x(const Exact::Point_3& p) { return {p.y(), p.z()}; }

/// The side of the edge p, q on which the point lies once it is moved by the hairs; 0 for an edge
/// seen on end.
int side(const Vec3& p, const Vec3& q, const Exact::Point_2& point) {
  const Exact::Point_2 a(p.y(), p.z());
  const Exact::Point_2 b(q.y(), q.z());
  const CGAL::Orientation exact = CGAL::orientation(a, b, point);
  if (exact != CGAL::COLLINEAR) return exact == CGAL::LEFT_TURN ? 1 : -1;
  // The derivatives of (q - p) × (point - p) by the point's y, then by its z.
  if (p.z() != q.z()) return p.z() > q.z() ? 1 : -1;
  if (p.y() != q.y()) return q.y() > p.y() ? 1 : -1;
  return 0;
}

/// +1 or -1 where the ray goes out of or into the facet beyond its start; else 0.
int crossed(const std::array<Vec3, 3>& facet, const Exact::Point_3& start) {
  const Exact::Point_2 seen = along_x(start);
  const int first = side(facet[0], facet[1], seen);
  if (first == 0 || side(facet[1], facet[2], seen) != first ||
      side(facet[2], facet[0], seen) != first) {
    return 0;
  }
  const auto exact = [](const Vec3& p) { return Exact::Point_3(p.x(), p.y(), p.z()); };
  const CGAL::Orientation height =
      CGAL::orientation(exact(facet[0]), exact(facet[1]), exact(facet[2]), start);
  // A facet that is counter-clockwise seen against the ray has the start behind it if it is beyond.
  // Zero is the wall's own plane.
  return height == (first > 0 ? CGAL::NEGATIVE : CGAL::POSITIVE) ? first : 0;
}

std::vector<Start> starts(const std::vector<Wall>& walls, ExactPoints& points) {
  std::vector<Start> out;
  for (const Wall& wall : walls) {
    for (const int corner : wall.corners) points.expect(corner);
    Start start;
    start.point =
        CGAL::centroid(points[wall.corners[0]], points[wall.corners[1]], points[wall.corners[2]]);
    start.about = {CGAL::to_double(start.point.x()), CGAL::to_double(start.point.y()),
                   CGAL::to_double(start.point.z())};
    start.number = static_cast<int>(out.size());
    out.push_back(start);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Start& a, const Start& b) { return a.about.y() < b.about.y(); });
  return out;
}

}  // namespace

int facing_along_x(const Wall& wall, ExactPoints& points) {
  for (const int corner : wall.corners) points.expect(corner);
  return CGAL::orientation(along_x(points[wall.corners[0]]), along_x(points[wall.corners[1]]),
                           along_x(points[wall.corners[2]]));
}

std::vector<int> windings_beyond(const std::vector<Wall>& walls, const Corners& facets,
                                 const Eigen::Matrix3Xd& positions, ExactPoints& points) {
  std::vector<int> out(walls.size(), 0);
  if (walls.empty()) return out;
  const std::vector<Start> by_y = starts(walls, points);
  // Wider than an estimate of the kernel can be off; a facet too many costs its judgement only.
  const double slack = 1e-4 * positions.cwiseAbs().maxCoeff();
  for (std::size_t f = 0; f < facets.size(); f += 3) {
    const std::array<Vec3, 3> corners = {positions.col(facets[f]), positions.col(facets[f + 1]),
                                         positions.col(facets[f + 2])};
    const Vec3 low = corners[0].cwiseMin(corners[1]).cwiseMin(corners[2]) - Vec3::Constant(slack);
    const Vec3 high = corners[0].cwiseMax(corners[1]).cwiseMax(corners[2]) + Vec3::Constant(slack);
    auto it = std::lower_bound(by_y.begin(), by_y.end(), low.y(),
                               [](const Start& s, double y) { return s.about.y() < y; });
    for (; it != by_y.end() && it->about.y() <= high.y(); ++it) {
      const Vec3& p = it->about;
      if (p.z() < low.z() || p.z() > high.z() || p.x() > high.x()) continue;
      out[static_cast<std::size_t>(it->number)] += crossed(corners, it->point);
    }
  }
  return out;
}

}  // namespace trueblank::intake
