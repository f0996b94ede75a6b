// SPDX-License-Identifier: GPL-3.0-or-later
// The shadow of the facets that face the viewer covers a point of the plane as often as the
// boundary of that set of facets winds around it (the facets are a chain, and its boundary is the
// edges that don't cancel). So only the contour edges are needed, some √F of F on a smooth body.
#include "geometry/silhouette.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "geometry/compensated_sum.h"
#include "geometry/facet_cut.h"

namespace trueblank::geometry {
namespace {

// A facet that shows less than this of its area is seen edge-on: rounding decides its side.
constexpr double edge_on = 1e-9;

/// A contour edge over [from, to] of the sweep's coordinate v, seen as a height u above it.
struct Side {
  double from = 0;
  double to = 0;
  double u_from = 0;
  double u_to = 0;
  int winding = 0;  ///< what it adds to the winding number above it

  [[nodiscard]] double u_at(double v) const {
    if (v <= from) return u_from;
    if (v >= to) return u_to;
    return u_from + (v - from) / (to - from) * (u_to - u_from);
  }
};

/// A side within one strip.
struct Stretch {
  double u_left = 0;
  double u_right = 0;
  int winding = 0;
};

/// Area and first moments of the shadow, strip by strip.
struct Shadow {
  CompensatedSum area;
  CompensatedSum moment_u;
  CompensatedSum moment_v;

  /// Between two lines over the strip [left, right].
  void add(double left, double right, const Stretch& low, const Stretch& high) {
    const double width = right - left;
    const double h_left = high.u_left - low.u_left;
    const double h_right = high.u_right - low.u_right;
    const double strip = width * (h_left + h_right) / 2;
    area.add(strip);
    moment_v.add(left * strip + width * width * (h_left / 6 + h_right / 3));
    moment_u.add(width * (squares(high) - squares(low)) / 6);
  }

 private:
  static double squares(const Stretch& s) {
    return s.u_left * s.u_left + s.u_left * s.u_right + s.u_right * s.u_right;
  }
};

/// The edges that bound the facets facing the viewer, in the axes (u, v) from the centre.
std::vector<Side> contour(const ClosedMesh& body, const PlaneAxes& axes) {
  struct Directed {
    std::uint64_t edge;  // the lesser vertex in the upper half
    int forward;         // 1 from the lesser vertex to the greater
  };

  std::vector<Directed> edges;
  const Eigen::Matrix3Xi& facets = body.facets();
  for (Eigen::Index f = 0; f < facets.cols(); ++f) {
    const int facet = static_cast<int>(f);
    const Vec3 a = body.corner(facet, 0);
    const Vec3 p = body.corner(facet, 1) - a;
    const Vec3 q = body.corner(facet, 2) - a;
    const Vec3 doubled(p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2],
                       p[0] * q[1] - p[1] * q[0]);
    if (!(doubled.dot(axes.n) > edge_on * doubled.norm())) continue;
    for (int k = 0; k < 3; ++k) {
      const auto i = static_cast<std::uint32_t>(facets(k, f));
      const auto j = static_cast<std::uint32_t>(facets((k + 1) % 3, f));
      edges.push_back({(std::uint64_t{std::min(i, j)} << 32) | std::max(i, j), i < j ? 1 : -1});
    }
  }
  std::sort(edges.begin(), edges.end(),
            [](const Directed& a, const Directed& b) { return a.edge < b.edge; });

  std::vector<Side> sides;
  for (std::size_t at = 0; at < edges.size();) {
    const std::uint64_t edge = edges[at].edge;
    int forward = 0;
    for (; at < edges.size() && edges[at].edge == edge; ++at) forward += edges[at].forward;
    if (forward == 0) continue;
    const Vec3 a = body.positions_mm().col(static_cast<Eigen::Index>(edge >> 32)) - axes.centre_mm;
    const Vec3 b =
        body.positions_mm().col(static_cast<Eigen::Index>(edge & 0xffffffffU)) - axes.centre_mm;
    const double va = a.dot(axes.v);
    const double vb = b.dot(axes.v);
    // Counter-clockwise with u to the right and v up: the shadow is to the right of what runs down.
    if (va < vb) sides.push_back({va, vb, a.dot(axes.u), b.dot(axes.u), -forward});
    if (vb < va) sides.push_back({vb, va, b.dot(axes.u), a.dot(axes.u), forward});
  }
  std::sort(sides.begin(), sides.end(),
            [](const Side& a, const Side& b) { return a.from < b.from; });
  return sides;
}

/// Adds what of a strip is covered, its stretches ordered by where they are at its middle.
void add_covered(double left, double right, std::vector<Stretch>& stretches, Shadow& shadow) {
  std::sort(stretches.begin(), stretches.end(), [](const Stretch& a, const Stretch& b) {
    return a.u_left + a.u_right < b.u_left + b.u_right;
  });
  int winding = 0;
  const Stretch* low = nullptr;
  for (const Stretch& stretch : stretches) {
    if (winding == 0) low = &stretch;
    winding += stretch.winding;
    if (winding == 0) shadow.add(left, right, *low, stretch);
  }
}

/// Where within a strip two of its stretches cross: parts of its width in (0, 1), rising.
std::vector<double> crossings_within(std::vector<Stretch>& stretches) {
  std::sort(stretches.begin(), stretches.end(), [](const Stretch& a, const Stretch& b) {
    return a.u_left != b.u_left ? a.u_left < b.u_left : a.u_right < b.u_right;
  });
  std::vector<double> parts;
  // Insertion into the order at the right end meets every pair that changes places, once.
  std::vector<Stretch> sorted;
  sorted.reserve(stretches.size());
  for (const Stretch& next : stretches) {
    std::size_t at = sorted.size();
    for (; at > 0 && sorted[at - 1].u_right > next.u_right; --at) {
      const double before = next.u_left - sorted[at - 1].u_left;
      const double after = sorted[at - 1].u_right - next.u_right;
      const double part = before / (before + after);
      if (part > 0 && part < 1) parts.push_back(part);
    }
    sorted.insert(sorted.begin() + static_cast<std::ptrdiff_t>(at), next);
  }
  std::sort(parts.begin(), parts.end());
  return parts;
}

/// A strip that no side begins or ends in.
void add_strip(double left, double right, std::vector<Stretch>& stretches, Shadow& shadow) {
  std::vector<double> parts = crossings_within(stretches);
  if (parts.empty()) {
    add_covered(left, right, stretches, shadow);
    return;
  }
  parts.push_back(1);
  std::vector<Stretch> within(stretches.size());
  double from = 0;
  for (const double to : parts) {
    if (!(to > from)) continue;
    for (std::size_t i = 0; i < stretches.size(); ++i) {
      const Stretch& whole = stretches[i];
      const double rise = whole.u_right - whole.u_left;
      within[i] = {whole.u_left + from * rise, to < 1 ? whole.u_left + to * rise : whole.u_right,
                   whole.winding};
    }
    add_covered(left + from * (right - left), left + to * (right - left), within, shadow);
    from = to;
  }
}

/// The sides that reach over a place of the sweep.
class Sweep {
 public:
  explicit Sweep(const std::vector<Side>& sides) : sides_(&sides) {}

  /// v rises from call to call.
  const std::vector<const Side*>& over(double v) {
    for (; next_ < sides_->size() && (*sides_)[next_].from <= v; ++next_) {
      active_.push_back(&(*sides_)[next_]);
    }
    std::erase_if(active_, [v](const Side* side) { return side->to <= v; });
    return active_;
  }

 private:
  const std::vector<Side>* sides_;
  std::size_t next_ = 0;
  std::vector<const Side*> active_;
};

Shadow integrated(const std::vector<Side>& sides) {
  std::vector<double> ends;
  ends.reserve(2 * sides.size());
  for (const Side& side : sides) {
    ends.push_back(side.from);
    ends.push_back(side.to);
  }
  std::sort(ends.begin(), ends.end());
  ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
  Shadow shadow;
  Sweep sweep(sides);
  std::vector<Stretch> stretches;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    stretches.clear();
    for (const Side* side : sweep.over(ends[i])) {
      stretches.push_back({side->u_at(ends[i]), side->u_at(ends[i + 1]), side->winding});
    }
    add_strip(ends[i], ends[i + 1], stretches, shadow);
  }
  return shadow;
}

/// Even strips, each as high as at its middle.
Shadow sampled(const std::vector<Side>& sides, int strips) {
  Shadow shadow;
  if (sides.empty()) return shadow;
  const double least = sides.front().from;
  double greatest = least;
  for (const Side& side : sides) greatest = std::max(greatest, side.to);
  Sweep sweep(sides);
  std::vector<Stretch> stretches;
  for (int i = 0; i < strips; ++i) {
    const double left = least + (greatest - least) * i / strips;
    const double right = least + (greatest - least) * (i + 1) / strips;
    const double middle = left + (right - left) / 2;
    stretches.clear();
    for (const Side* side : sweep.over(middle)) {
      stretches.push_back({side->u_at(middle), side->u_at(middle), side->winding});
    }
    add_covered(left, right, stretches, shadow);
  }
  return shadow;
}

PlaneAxes axes_of(const ClosedMesh& body, const Vec3& direction) {
  return {{.normal = direction, .offset_mm = 0}, near_middle_mm(body)};
}

Silhouette result(const Shadow& shadow, const PlaneAxes& axes) {
  Silhouette silhouette;
  silhouette.area_mm2 = shadow.area.value();
  if (!(silhouette.area_mm2 > 0)) return silhouette;
  const Vec3 centroid = axes.centre_mm + shadow.moment_u.value() / silhouette.area_mm2 * axes.u +
                        shadow.moment_v.value() / silhouette.area_mm2 * axes.v;
  silhouette.centroid_mm = centroid - centroid.dot(axes.n) * axes.n;
  return silhouette;
}

}  // namespace

Silhouette silhouette(const ClosedMesh& body, const Vec3& direction) {
  const PlaneAxes axes = axes_of(body, direction);
  const std::vector<Side> sides = contour(body, axes);
  if (sides.size() > static_cast<std::size_t>(exact_contour_edges)) {
    return result(sampled(sides, sampled_strips), axes);
  }
  return result(integrated(sides), axes);
}

Silhouette sampled_silhouette(const ClosedMesh& body, const Vec3& direction, int strips) {
  const PlaneAxes axes = axes_of(body, direction);
  return result(sampled(contour(body, axes), strips), axes);
}

}  // namespace trueblank::geometry
