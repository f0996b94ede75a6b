// SPDX-License-Identifier: GPL-3.0-or-later
// The shear that turns a line into an axis, and edge functions that two facets at a shared edge
// reckon alike, are those of S. Woop, C. Benthin, I. Wald, "Watertight ray/triangle intersection",
// J. Computer Graphics Techniques 2(1), 65-82, 2013. Each directed edge then adds to a facet's
// winding number about the line, and its opposite takes exactly as much away, so that a line
// through an edge or a vertex meets the skin as often as one just beside it.
#include "geometry/inside.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>

namespace trueblank::geometry {
namespace {

/// A corner as seen along the line: the line is x = y = 0, and z its parameter.
struct Seen {
  double x;
  double y;
  double z;
};

/// The line through `from` along `direction` (not zero), its parameter 0 at `from` and 1 at
/// from + direction.
class Line {
 public:
  Line(const Vec3& from, const Vec3& direction) : from_(from) {
    direction.cwiseAbs().maxCoeff(&z_);
    x_ = (z_ + 1) % 3;
    y_ = (z_ + 2) % 3;
    if (direction[z_] < 0) std::swap(x_, y_);  // seen from ahead, counter-clockwise stays so
    shear_x_ = direction[x_] / direction[z_];
    shear_y_ = direction[y_] / direction[z_];
    scale_z_ = 1 / direction[z_];
  }

  [[nodiscard]] Seen seen(const Vec3& p) const {
    const Vec3 q = p - from_;
    return {q[x_] - shear_x_ * q[z_], q[y_] - shear_y_ * q[z_], scale_z_ * q[z_]};
  }

 private:
  Vec3 from_;
  Eigen::Index x_ = 0;
  Eigen::Index y_ = 1;
  Eigen::Index z_ = 2;
  double shear_x_ = 0;
  double shear_y_ = 0;
  double scale_z_ = 0;
};

/// How often the directed edge p→q crosses the half line x > 0, y = 0 upwards: −1, 0 or 1. For
/// q→p it is exactly minus that.
int passes(const Seen& p, const Seen& q) {
  const bool p_low = p.y < 0;
  const bool q_low = q.y < 0;
  if (p_low == q_low) return 0;
  const Seen& low = p_low ? p : q;
  const Seen& high = p_low ? q : p;
  if (!(low.x * high.y - low.y * high.x > 0)) return 0;
  return p_low ? 1 : -1;
}

struct Hit {
  double t = 0;
  int out = 0;  ///< 1 where the line leaves the body, −1 where it enters
};

/// Where along the line a facet that it pierces is met.
double parameter(const Seen& a, const Seen& b, const Seen& c) {
  const double at_a = b.x * c.y - b.y * c.x;
  const double at_b = c.x * a.y - c.y * a.x;
  const double at_c = a.x * b.y - a.y * b.x;
  const double sum = at_a + at_b + at_c;
  const auto [least, greatest] = std::minmax({a.z, b.z, c.z});
  if (sum == 0) return least + (greatest - least) / 2;  // seen edge-on
  return std::clamp((at_a * a.z + at_b * b.z + at_c * c.z) / sum, least, greatest);
}

/// Calls visit(hit, a, b, c) for each facet that the line pierces.
template <class Visit>
void each_hit(const ClosedMesh& body, const Line& line, const Visit& visit) {
  for (int f = 0; f < body.facet_count(); ++f) {
    const Seen a = line.seen(body.corner(f, 0));
    const Seen b = line.seen(body.corner(f, 1));
    const Seen c = line.seen(body.corner(f, 2));
    const int out = passes(a, b) + passes(b, c) + passes(c, a);
    if (out != 0) visit(Hit{parameter(a, b, c), out});
  }
}

struct Hits {
  std::vector<Hit> hits;  ///< by rising parameter
  double rounding = 0;    ///< parameters nearer than this can't be told apart
};

Hits hits_along(const ClosedMesh& body, const Vec3& from, const Vec3& direction) {
  Hits result;
  each_hit(body, Line(from, direction), [&](const Hit& hit) { result.hits.push_back(hit); });
  std::sort(result.hits.begin(), result.hits.end(),
            [](const Hit& p, const Hit& q) { return p.t != q.t ? p.t < q.t : p.out < q.out; });
  // A few dozen roundings of the numbers that a parameter is made from.
  double largest = from.cwiseAbs().maxCoeff() / direction.norm();
  for (const Hit& hit : result.hits) largest = std::max(largest, std::abs(hit.t));
  result.rounding = 64 * std::numeric_limits<double>::epsilon() * std::max(1.0, largest);
  return result;
}

/// The point of the triangle abc nearest to p.
/// Source: C. Ericson, Real-Time Collision Detection, 2005, section 5.1.5.
Vec3 nearest_on_facet(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = b - a;
  const Vec3 ac = c - a;
  const Vec3 ap = p - a;
  const double d1 = ab.dot(ap);
  const double d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return a;
  const Vec3 bp = p - b;
  const double d3 = ab.dot(bp);
  const double d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return b;
  const double on_ab = d1 * d4 - d3 * d2;
  if (on_ab <= 0 && d1 >= 0 && d3 <= 0) return a + d1 / (d1 - d3) * ab;
  const Vec3 cp = p - c;
  const double d5 = ab.dot(cp);
  const double d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return c;
  const double on_ac = d5 * d2 - d1 * d6;
  if (on_ac <= 0 && d2 >= 0 && d6 <= 0) return a + d2 / (d2 - d6) * ac;
  const double on_bc = d3 * d6 - d5 * d4;
  if (on_bc <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    return b + (d4 - d3) / ((d4 - d3) + (d5 - d6)) * (c - b);
  }
  const double sum = on_ab + on_ac + on_bc;
  return a + on_ac / sum * ab + on_ab / sum * ac;
}

}  // namespace

bool contains(const ClosedMesh& body, const Vec3& point_mm) {
  int winding = 0;
  each_hit(body, Line(point_mm, Vec3::UnitZ()), [&](const Hit& hit) {
    if (hit.t > 0) winding += hit.out;
  });
  return winding > 0;
}

SkinPoint nearest_on_skin(const ClosedMesh& body, const Vec3& point_mm) {
  SkinPoint best;
  double least_squared = std::numeric_limits<double>::infinity();
  for (int f = 0; f < body.facet_count(); ++f) {
    const Vec3 q =
        nearest_on_facet(point_mm, body.corner(f, 0), body.corner(f, 1), body.corner(f, 2));
    const double squared = (q - point_mm).squaredNorm();
    if (squared < least_squared) {
      least_squared = squared;
      best.nearest_mm = q;
    }
  }
  best.distance_mm = (best.nearest_mm - point_mm).norm();
  return best;
}

std::vector<double> crossings(const ClosedMesh& body, const Vec3& a_mm, const Vec3& b_mm) {
  std::vector<double> result;
  const Vec3 along = b_mm - a_mm;
  if (along.isZero(0)) return result;
  const Hits all = hits_along(body, a_mm, along);
  for (std::size_t i = 0; i < all.hits.size();) {
    const double t = all.hits[i].t;
    int out = 0;
    for (; i < all.hits.size() && all.hits[i].t - t <= all.rounding; ++i) out += all.hits[i].out;
    if (out != 0 && t >= 0 && t <= 1) result.push_back(t);
  }
  return result;
}

std::vector<std::pair<double, double>> inside_parts(const ClosedMesh& body, const Vec3& a_mm,
                                                    const Vec3& b_mm) {
  std::vector<std::pair<double, double>> parts;
  const Vec3 along = b_mm - a_mm;
  if (along.isZero(0)) {
    if (contains(body, a_mm)) parts.emplace_back(0.0, 1.0);
    return parts;
  }
  const Hits all = hits_along(body, a_mm, along);
  int winding = 0;
  double entered = 0;
  for (const Hit& hit : all.hits) {
    const bool was_inside = winding > 0;
    winding -= hit.out;
    if (!was_inside && winding > 0) entered = hit.t;
    if (!was_inside || winding > 0) continue;
    const double from = std::max(entered, 0.0);
    const double to = std::min(hit.t, 1.0);
    if (to - from <= all.rounding) continue;
    if (!parts.empty() && from - parts.back().second <= all.rounding) {
      parts.back().second = to;
    } else {
      parts.emplace_back(from, to);
    }
  }
  return parts;
}

std::optional<std::pair<double, double>> skin_heights_mm(const ClosedMesh& body, double x_mm,
                                                         double y_mm) {
  double lowest = std::numeric_limits<double>::infinity();
  double highest = -lowest;
  for (int f = 0; f < body.facet_count(); ++f) {
    Seen corners[3];
    for (int k = 0; k < 3; ++k) {
      const Vec3 p = body.corner(f, k);
      corners[k] = {p.x() - x_mm, p.y() - y_mm, p.z()};
    }
    const auto [a, b, c] = corners;
    const double at_a = b.x * c.y - b.y * c.x;
    const double at_b = c.x * a.y - c.y * a.x;
    const double at_c = a.x * b.y - a.y * b.x;
    // The rim belongs to the facet here. One seen edge-on has neighbours that are not.
    const bool pierced = (at_a >= 0 && at_b >= 0 && at_c >= 0 && at_a + at_b + at_c > 0) ||
                         (at_a <= 0 && at_b <= 0 && at_c <= 0 && at_a + at_b + at_c < 0);
    if (!pierced) continue;
    const double z = parameter(a, b, c);
    lowest = std::min(lowest, z);
    highest = std::max(highest, z);
  }
  if (lowest > highest) return std::nullopt;
  return std::pair(lowest, highest);
}

}  // namespace trueblank::geometry
