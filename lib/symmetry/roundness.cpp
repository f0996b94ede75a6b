// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/roundness.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace trueblank::symmetry {
namespace {

using Point2 = Eigen::Vector2d;
using geometry::Vec3;

struct Segment {
  Point2 from;
  Point2 to;
};

double cross(const Point2& a, const Point2& b) { return a.x() * b.y() - a.y() * b.x(); }

// Where a facet's edge from fore of the plane to aft of it meets the plane; reckoned from the fore
// end, so that both facets of an edge agree.
Point2 met(const Vec3& fore, const Vec3& aft, double x_mm) {
  const double share = (x_mm - fore.x()) / (aft.x() - fore.x());
  return (fore + share * (aft - fore)).tail<2>();
}

// Adds where a facet crosses the plane; all run the same way round. A vertex in the plane counts as
// fore of it.
void add_crossing(const std::array<Vec3, 3>& corners, double x_mm, std::vector<Segment>& section) {
  for (std::size_t k = 0; k < 3; ++k) {
    // The corner that is alone on its side.
    const Vec3& alone = corners[k];
    const Vec3& next = corners[(k + 1) % 3];
    const Vec3& last = corners[(k + 2) % 3];
    const bool fore = alone.x() <= x_mm;
    if ((next.x() <= x_mm) == fore || (last.x() <= x_mm) == fore) continue;
    if (fore) {
      section.push_back({met(alone, next, x_mm), met(alone, last, x_mm)});
    } else {
      section.push_back({met(last, alone, x_mm), met(next, alone, x_mm)});
    }
  }
}

Point2 centroid(const std::vector<Segment>& section) {
  Point2 low = section.front().from;
  for (const Segment& one : section) low = low.cwiseMin(one.from);
  double area = 0;
  Point2 moment = Point2::Zero();
  for (const Segment& one : section) {
    const Point2 a = one.from - low;
    const Point2 b = one.to - low;
    const double twice = cross(a, b);
    area += twice / 2;
    moment += twice / 6 * (a + b);
  }
  return area != 0 ? Point2(low + moment / area) : low;
}

// ∫ r dφ along a straight piece at the distance h: h·(asinh(t₂/h) − asinh(t₁/h)), t along it.
double turned_radius(const Point2& a, const Point2& b) {
  const double length = (b - a).norm();
  if (!(length > 0)) return 0;
  const Point2 along = (b - a) / length;
  const double h = cross(a, along);
  if (std::abs(h) < 1e-12 * length) return 0;
  const double size = std::abs(h);
  return h * (std::asinh(along.dot(b) / size) - std::asinh(along.dot(a) / size));
}

double nearest(const Point2& a, const Point2& b) {
  const double square = (b - a).squaredNorm();
  const double share = square > 0 ? std::clamp(-a.dot(b - a) / square, 0.0, 1.0) : 0.0;
  return (a + share * (b - a)).norm();
}

Roundness of_section(double x_mm, const std::vector<Segment>& section) {
  const Point2 centre = centroid(section);
  double turned = 0;
  double greatest = 0;
  double least = 1e300;
  for (const Segment& one : section) {
    const Point2 a = one.from - centre;
    const Point2 b = one.to - centre;
    turned += turned_radius(a, b);
    greatest = std::max({greatest, a.norm(), b.norm()});
    least = std::min(least, nearest(a, b));
  }
  return {x_mm, std::abs(turned) / (2 * std::numbers::pi), (greatest - least) / 2};
}

}  // namespace

std::vector<Roundness> roundness(const geometry::ClosedMesh& in_body_frame,
                                 std::span<const double> x_mm) {
  std::vector<std::vector<Segment>> sections(x_mm.size());
  std::vector<std::size_t> rising(x_mm.size());
  for (std::size_t i = 0; i < rising.size(); ++i) rising[i] = i;
  std::sort(rising.begin(), rising.end(),
            [&](std::size_t a, std::size_t b) { return x_mm[a] < x_mm[b]; });
  for (int f = 0; f < in_body_frame.facet_count(); ++f) {
    const std::array<Vec3, 3> corners = {in_body_frame.corner(f, 0), in_body_frame.corner(f, 1),
                                         in_body_frame.corner(f, 2)};
    const auto [low, high] = std::minmax({corners[0].x(), corners[1].x(), corners[2].x()});
    auto at = std::lower_bound(rising.begin(), rising.end(), low,
                               [&](std::size_t i, double x) { return x_mm[i] < x; });
    for (; at != rising.end() && x_mm[*at] < high; ++at) {
      add_crossing(corners, x_mm[*at], sections[*at]);
    }
  }
  std::vector<Roundness> result;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    if (!sections[i].empty()) result.push_back(of_section(x_mm[i], sections[i]));
  }
  return result;
}

}  // namespace trueblank::symmetry
