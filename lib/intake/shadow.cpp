// SPDX-License-Identifier: GPL-3.0-or-later
// H. Edelsbrunner, E. Mücke, "Simulation of simplicity", ACM Trans. Graphics 9(1), 1990, for the
// ray that meets an edge.
#include "intake/shadow.h"

#include <algorithm>

namespace trueblank::intake {
namespace {

using geometry::Vec3;

constexpr int along_x = 0;

/// Where a ray starts.
struct Start {
  int point = 0;
  Vec3 about = Vec3::Zero();
  int number = 0;
};

/// The shells' vertices, as given and exact.
struct Vertices {
  const Eigen::Matrix3Xd& positions;
  ExactPoints& points;
};

/// The side of the edge p, q on which the point lies once it is moved by the hairs; 0 for an edge
/// seen on end.
int side(int p, int q, int point, const Vertices& vertices) {
  const int exact = vertices.points.turn_seen(along_x, {p, q, point});
  if (exact != 0) return exact;
  // The derivatives of (q - p) × (point - p) by the point's y, then by its z. Compared, not
  // subtracted: a difference may round to nothing.
  const Vec3 from = vertices.positions.col(p);
  const Vec3 to = vertices.positions.col(q);
  if (from.z() != to.z()) return from.z() > to.z() ? 1 : -1;
  if (from.y() != to.y()) return to.y() > from.y() ? 1 : -1;
  return 0;
}

/// +1 or -1 where the ray goes out of or into the facet beyond its start; else 0.
int crossed(const ExactPoints::Three& facet, int start, const Vertices& vertices) {
  vertices.points.expect(facet);
  const int first = side(facet[0], facet[1], start, vertices);
  if (first == 0 || side(facet[1], facet[2], start, vertices) != first ||
      side(facet[2], facet[0], start, vertices) != first) {
    return 0;
  }
  // A facet that is counter-clockwise seen against the ray has the start behind it if it is beyond.
  // 0 is the wall's own plane.
  return vertices.points.side(facet, start) == -first ? first : 0;
}

std::vector<Start> starts(const std::vector<Wall>& walls, ExactPoints& points) {
  std::vector<Start> out;
  out.reserve(walls.size());
  for (const Wall& wall : walls) {
    points.expect(wall.corners);
    const int middle = points.middle(wall.corners);
    out.push_back({middle, points.about(middle), static_cast<int>(out.size())});
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Start& a, const Start& b) { return a.about.y() < b.about.y(); });
  return out;
}

}  // namespace

int facing_along_x(const Wall& wall, ExactPoints& points) {
  points.expect(wall.corners);
  return points.turn_seen(along_x, wall.corners);
}

std::vector<int> windings_beyond(const std::vector<Wall>& walls, const Corners& facets,
                                 const Eigen::Matrix3Xd& positions, ExactPoints& points) {
  std::vector<int> out(walls.size(), 0);
  if (walls.empty()) return out;
  const std::vector<Start> by_y = starts(walls, points);
  const Vertices vertices = {positions, points};
  // Wider than an estimate of the kernel can be off; a facet too many costs its judgement only.
  const double slack = 1e-4 * positions.cwiseAbs().maxCoeff();
  for (std::size_t f = 0; f < facets.size(); f += 3) {
    const ExactPoints::Three facet = {facets[f], facets[f + 1], facets[f + 2]};
    const Vec3 a = positions.col(facet[0]);
    const Vec3 b = positions.col(facet[1]);
    const Vec3 c = positions.col(facet[2]);
    const Vec3 low = a.cwiseMin(b).cwiseMin(c) - Vec3::Constant(slack);
    const Vec3 high = a.cwiseMax(b).cwiseMax(c) + Vec3::Constant(slack);
    auto it = std::lower_bound(by_y.begin(), by_y.end(), low.y(),
                               [](const Start& s, double y) { return s.about.y() < y; });
    for (; it != by_y.end() && it->about.y() <= high.y(); ++it) {
      const Vec3& p = it->about;
      if (p.z() < low.z() || p.z() > high.z() || p.x() > high.x()) continue;
      out[static_cast<std::size_t>(it->number)] += crossed(facet, it->point, vertices);
    }
  }
  return out;
}

}  // namespace trueblank::intake
