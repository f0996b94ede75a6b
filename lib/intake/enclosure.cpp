// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/enclosure.h"

#include <Eigen/Geometry>
#include <algorithm>

namespace trueblank::intake {
namespace {

using geometry::Mat3;
using geometry::Vec3;

/// Some turn that leaves no edge of a drawn body in line with the ray, which goes along x.
Mat3 odd_turn() {
  return Eigen::AngleAxisd(1.2345, Vec3(0.31, -0.77, 0.56).normalized()).toRotationMatrix();
}

/// Twice the signed area of a, b, c seen along x.
double area_seen(const Vec3& a, const Vec3& b, const Vec3& c) {
  return (b.y() - a.y()) * (c.z() - a.z()) - (b.z() - a.z()) * (c.y() - a.y());
}

/// +1 or -1 where the ray from `from` along +x goes out of or into the facet; else 0.
int crossed(const std::array<Vec3, 3>& facet, const Vec3& from) {
  const double u = area_seen(facet[1], facet[2], from);
  const double v = area_seen(facet[2], facet[0], from);
  const double w = area_seen(facet[0], facet[1], from);
  const bool left = u > 0 && v > 0 && w > 0;
  const bool right = u < 0 && v < 0 && w < 0;
  if (!left && !right) return 0;
  const double at = (u * facet[0].x() + v * facet[1].x() + w * facet[2].x()) / (u + v + w);
  if (at <= from.x()) return 0;
  return left ? 1 : -1;
}

}  // namespace

void wind_around(const std::vector<ShellFacet>& facets, int of_interest,
                 std::vector<ShellPoint>& points) {
  const Mat3 turn = odd_turn();

  struct Turned {
    Vec3 position;
    ShellPoint* point;
  };

  std::vector<Turned> turned;
  for (ShellPoint& p : points) {
    p.in_shell = 0;
    p.in_others = 0;
    turned.push_back({turn * p.position, &p});
  }
  std::stable_sort(turned.begin(), turned.end(), [](const Turned& a, const Turned& b) {
    return a.position.y() < b.position.y();
  });
  for (const ShellFacet& facet : facets) {
    const std::array<Vec3, 3> corners = {turn * facet.corners[0], turn * facet.corners[1],
                                         turn * facet.corners[2]};
    const double low = std::min({corners[0].y(), corners[1].y(), corners[2].y()});
    const double high = std::max({corners[0].y(), corners[1].y(), corners[2].y()});
    auto it = std::lower_bound(turned.begin(), turned.end(), low,
                               [](const Turned& t, double y) { return t.position.y() < y; });
    for (; it != turned.end() && it->position.y() <= high; ++it) {
      ShellPoint& point = *it->point;
      if (point.shell == facet.shell) continue;
      const int sign = crossed(corners, it->position);
      point.in_others += sign;
      if (facet.shell == of_interest) point.in_shell += sign;
    }
  }
}

}  // namespace trueblank::intake
