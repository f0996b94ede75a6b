// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "geometry/cut.h"

// What the plain loop and the tree have in common when a plane cuts a body. Not installed.
//
// Everything is measured in the plane's own axes (u, v, h) from a point of the plane. With that
// point as the apex of the signed tetrahedra, the cap that would close the part below lies in
// planes through the apex and adds nothing. The cut face's own moments are those of the polygon
// whose sides are the segments in which the plane meets the facets (Green's theorem).
namespace trueblank::geometry {

/// u, v, n right-handed, square to each other; the origin is the foot of `centre_mm` on the plane.
struct PlaneAxes {
  Vec3 u;
  Vec3 v;
  Vec3 n;
  Vec3 centre_mm;
  double rise_mm = 0;  ///< from the centre up to the plane, along n

  PlaneAxes(const Plane& plane, const Vec3& centre)
      : n(plane.normal), centre_mm(centre), rise_mm(plane.offset_mm - plane.normal.dot(centre)) {
    // The axis least along n, made square to it.
    Eigen::Index least = 0;
    n.cwiseAbs().minCoeff(&least);
    const Eigen::Index next = (least + 1) % 3;
    const Eigen::Index last = (least + 2) % 3;
    // u = e_least × n, normalised; v = n × u
    u[least] = 0;
    u[next] = -n[last];
    u[last] = n[next];
    u /= std::sqrt(n[next] * n[next] + n[last] * n[last]);
    v = Vec3(n[1] * u[2] - n[2] * u[1], n[2] * u[0] - n[0] * u[2], n[0] * u[1] - n[1] * u[0]);
  }

  /// Of a point from the centre. In the order that the tree has for two points at a step: a vertex
  /// close to the plane lies on the same side for both, on every machine.
  [[nodiscard]] double height_mm(const Vec3& q) const {
    return n[0] * q[0] + n[1] * q[1] + n[2] * q[2] - rise_mm;
  }

  [[nodiscard]] Vec3 origin_mm() const { return centre_mm + rise_mm * n; }
};

/// A vertex in a plane's axes.
struct CutVertex {
  double u;
  double v;
  double h;  ///< below the plane where < 0; a vertex on the plane counts as above
};

/// Sums over the facets' parts below a plane.
struct CutSums {
  double det = 0;  ///< 6 × volume
  double det_u = 0;
  double det_v = 0;
  double det_h = 0;  ///< 24 × first moments from the origin of the axes

  // Of the cut face, from the reference point (u0, v0), which is the first point of it that was
  // met: so a small cut face far from the origin keeps its digits.
  bool met = false;
  double u0 = 0;
  double v0 = 0;
  double area2 = 0;
  double area6_u = 0;
  double area6_v = 0;
  double area24_uu = 0;
  double area24_uv = 0;
  double area24_vv = 0;

  /// Which corners lie below: bits 0, 1, 2.
  static int below_bits(const CutVertex& a, const CutVertex& b, const CutVertex& c) {
    return (a.h < 0 ? 1 : 0) | (b.h < 0 ? 2 : 0) | (c.h < 0 ? 4 : 0);
  }

  static double determinant(const CutVertex& a, const CutVertex& b, const CutVertex& c) {
    const double bu = b.u - a.u;
    const double bv = b.v - a.v;
    const double bh = b.h - a.h;
    const double cu = c.u - a.u;
    const double cv = c.v - a.v;
    const double ch = c.h - a.h;
    return (bv * ch - bh * cv) * a.u + (bh * cu - bu * ch) * a.v + (bu * cv - bv * cu) * a.h;
  }

  /// A facet wholly below.
  void add_whole(const CutVertex& a, const CutVertex& b, const CutVertex& c) {
    const double d = determinant(a, b, c);
    det += d;
    det_u += d * (a.u + b.u + c.u);
    det_v += d * (a.v + b.v + c.v);
    det_h += d * (a.h + b.h + c.h);
  }

  /// A facet that the plane cuts; `a` is the corner that lies on its own side. Without a branch:
  /// which side that is can't be foreseen.
  void add_cut(const CutVertex& a, const CutVertex& b, const CutVertex& c) {
    // Where the plane meets ab and ac; the tip a, p, q has s·t of the facet's tetrahedron.
    const double s = a.h / (a.h - b.h);
    const double t = a.h / (a.h - c.h);
    const double pu = a.u + s * (b.u - a.u);
    const double pv = a.v + s * (b.v - a.v);
    const double qu = a.u + t * (c.u - a.u);
    const double qv = a.v + t * (c.v - a.v);
    // Below is the tip, or the whole without it.
    const double sign = a.h < 0 ? 1 : -1;
    const double d = determinant(a, b, c);
    const double tip = sign * d * (s * t);
    const double whole = a.h < 0 ? 0 : d;
    det += whole + tip;
    det_u += whole * (a.u + b.u + c.u) + tip * (a.u + pu + qu);
    det_v += whole * (a.v + b.v + c.v) + tip * (a.v + pv + qv);
    det_h += whole * (a.h + b.h + c.h) + tip * a.h;
    add_side(-sign, pu, pv, qu, qv);
  }

  /// The corner that lies on its own side, of a facet of which `bits` (neither 0 nor 7) lie below.
  static std::size_t lone_corner(int bits) {
    constexpr std::array<std::uint8_t, 8> lone = {0, 0, 1, 2, 2, 1, 0, 0};
    return lone[static_cast<std::size_t>(bits)];
  }

  /// A facet of which `bits` (neither 0 nor 7) of the corners lie below.
  void add_cut(int bits, const CutVertex& a, const CutVertex& b, const CutVertex& c) {
    const std::array<const CutVertex*, 5> corners = {&a, &b, &c, &a, &b};
    const std::size_t first = lone_corner(bits);
    add_cut(*corners[first], *corners[first + 1], *corners[first + 2]);
  }

  /// A side of the cut face from p to q, or where `way` is −1 from q to p. As seen from above the
  /// face lies to the left of it.
  void add_side(double way, double pu, double pv, double qu, double qv) {
    if (!met) {
      met = true;
      u0 = pu;
      v0 = pv;
    }
    pu -= u0;
    pv -= v0;
    qu -= u0;
    qv -= v0;
    const double k = way * (pu * qv - pv * qu);
    area2 += k;
    area6_u += k * (pu + qu);
    area6_v += k * (pv + qv);
    area24_uu += k * (2 * (pu * pu + pu * qu + qu * qu));
    area24_vv += k * (2 * (pv * pv + pv * qv + qv * qv));
    area24_uv += k * (2 * (pu * pv + qu * qv) + pu * qv + pv * qu);
  }

  /// The answer in the axes of the body's vertices.
  [[nodiscard]] BelowPlane result(const PlaneAxes& axes) const {
    BelowPlane below;
    const Vec3 origin = axes.origin_mm();
    below.volume_mm3 = det / 6;
    below.first_moment_mm4 = (det_u / 24) * axes.u + (det_v / 24) * axes.v + (det_h / 24) * axes.n +
                             below.volume_mm3 * origin;
    if (!(area2 > 0)) return below;
    below.waterplane_mm2 = area2 / 2;
    const double mean_u = area6_u / (3 * area2);
    const double mean_v = area6_v / (3 * area2);
    below.waterplane_centroid_mm = origin + (u0 + mean_u) * axes.u + (v0 + mean_v) * axes.v;
    const double uu = area24_uu / 24 - below.waterplane_mm2 * mean_u * mean_u;
    const double uv = area24_uv / 24 - below.waterplane_mm2 * mean_u * mean_v;
    const double vv = area24_vv / 24 - below.waterplane_mm2 * mean_v * mean_v;
    const Mat3 crossed = axes.u * axes.v.transpose();
    below.waterplane_second_mm4 = uu * (axes.u * axes.u.transpose()) +
                                  uv * (crossed + crossed.transpose()) +
                                  vv * (axes.v * axes.v.transpose());
    return below;
  }
};

/// A point near the middle of a body, found from a few of its corners alone. Heights above a plane
/// are measured from it, so that a body far from the origin keeps its digits.
[[nodiscard]] inline Vec3 near_middle_mm(const ClosedMesh& body) {
  constexpr Eigen::Index samples = 64;
  const Eigen::Index facets = body.facets().cols();
  Vec3 low = body.corner(0, 0);
  Vec3 high = low;
  for (Eigen::Index i = 0; i < samples; ++i) {
    const Vec3 p = body.corner(static_cast<int>(i * facets / samples), 0);
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  return low + (high - low) / 2;
}

}  // namespace trueblank::geometry
