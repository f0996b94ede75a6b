// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/section.h"

#include <algorithm>
#include <limits>

#include "geometry/compensated_sum.h"

namespace trueblank::geometry {
namespace {

struct Point {
  double y;
  double z;
};

/// ∫ max(y, 0) dz along p→q.
double right_of_middle(const Point& p, const Point& q) {
  const double rise = q.z - p.z;
  if (p.y >= 0 && q.y >= 0) return (p.y + q.y) / 2 * rise;
  if (p.y <= 0 && q.y <= 0) return 0;
  const double share = p.y > 0 ? p.y / (p.y - q.y) : q.y / (q.y - p.y);
  return std::max(p.y, q.y) / 2 * share * rise;
}

/// Gathers the segments in which the plane meets the facets. Each runs with the section to its
/// left as seen from aft, so that areas follow by Green's theorem, ∮ y dz, without joining loops.
struct Outline {
  CompensatedSum left;
  CompensatedSum right;
  double least_y = std::numeric_limits<double>::infinity();
  double greatest_y = -std::numeric_limits<double>::infinity();
  double lowest_z = std::numeric_limits<double>::infinity();
  double highest_z = -std::numeric_limits<double>::infinity();

  void add(const Point& p, const Point& q) {
    right.add(right_of_middle(p, q));
    left.add(-right_of_middle({-p.y, p.z}, {-q.y, q.z}));
    least_y = std::min({least_y, p.y, q.y});
    greatest_y = std::max({greatest_y, p.y, q.y});
    lowest_z = std::min({lowest_z, p.z, q.z});
    highest_z = std::max({highest_z, p.z, q.z});
  }
};

/// Where the edge meets the plane; reckoned from its fore end, so that both its facets agree.
Point crossing(const Vec3& fore, const Vec3& aft, double x_mm) {
  const double t = (x_mm - fore.x()) / (aft.x() - fore.x());
  return {fore.y() + t * (aft.y() - fore.y()), fore.z() + t * (aft.z() - fore.z())};
}

}  // namespace

Section section_at(const ClosedMesh& body, double x_mm) {
  Outline outline;
  const Eigen::Matrix3Xd& positions = body.positions_mm();
  const Eigen::Matrix3Xi& facets = body.facets();
  for (Eigen::Index f = 0; f < facets.cols(); ++f) {
    // A vertex in the plane counts as fore of it: the section just aft is the one that is given.
    bool fore[3];
    for (int k = 0; k < 3; ++k) fore[k] = positions(0, facets(k, f)) <= x_mm;
    if (fore[0] == fore[1] && fore[1] == fore[2]) continue;
    const int odd = fore[1] == fore[2] ? 0 : fore[0] == fore[2] ? 1 : 2;
    const Vec3 a = body.corner(static_cast<int>(f), odd);
    const Vec3 b = body.corner(static_cast<int>(f), (odd + 1) % 3);
    const Vec3 c = body.corner(static_cast<int>(f), (odd + 2) % 3);
    if (fore[odd]) {
      outline.add(crossing(a, c, x_mm), crossing(a, b, x_mm));
    } else {
      outline.add(crossing(b, a, x_mm), crossing(c, a, x_mm));
    }
  }
  Section section;
  section.x_mm = x_mm;
  if (outline.least_y > outline.greatest_y) return section;
  section.left_half_width_mm = std::max(0.0, -outline.least_y);
  section.right_half_width_mm = std::max(0.0, outline.greatest_y);
  section.lowest_z_mm = outline.lowest_z;
  section.highest_z_mm = outline.highest_z;
  section.left_area_mm2 = outline.left.value();
  section.right_area_mm2 = outline.right.value();
  return section;
}

}  // namespace trueblank::geometry
