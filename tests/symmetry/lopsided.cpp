// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/lopsided.h"

#include <algorithm>
#include <cmath>

namespace trueblank::test_bodies {
namespace {

constexpr double a_mm = 82.5;
constexpr double b_mm = 11;
constexpr double c_mm = 14;

double half_width(double x, double z) {
  const double left = 1 - (x / a_mm - 1) * (x / a_mm - 1) - z * z / (c_mm * c_mm);
  return left > 0 ? b_mm * std::sqrt(left) : 0;
}

double sphere_y(double x, double z, const Vec3& centre, double radius) {
  const double left =
      radius * radius - (x - centre.x()) * (x - centre.x()) - (z - centre.z()) * (z - centre.z());
  return left > 0 ? centre.y() + std::sqrt(left) : 0;
}

}  // namespace

TriangleMesh two_halves(double left_mm, double right_mm, int rings, int around) {
  return two_halves(a_mm, left_mm, right_mm, c_mm, rings, around);
}

Capped capped_ellipsoid(const Vec3& centre_mm, double radius_mm, int rings, int around) {
  Capped capped{moved(ellipsoid(a_mm, b_mm, c_mm, rings, around), Mat3::Identity(), {a_mm, 0, 0}),
                0, 0};
  for (int v = 0; v < capped.mesh.vertex_count(); ++v) {
    const Vec3 p = capped.mesh.positions_mm.col(v);
    if (p.y() <= 0) continue;
    capped.mesh.positions_mm(1, v) = std::max(p.y(), sphere_y(p.x(), p.z(), centre_mm, radius_mm));
  }
  // The middle rule on a grid over the sphere's shadow; the integrand has a kink at the rim, so it
  // is right to some 1e-5.
  constexpr int steps = 1000;
  const double step = 2 * radius_mm / steps;
  for (int i = 0; i < steps; ++i) {
    for (int k = 0; k < steps; ++k) {
      const double x = centre_mm.x() - radius_mm + (i + 0.5) * step;
      const double z = centre_mm.z() - radius_mm + (k + 0.5) * step;
      const double excess = sphere_y(x, z, centre_mm, radius_mm) - half_width(x, z);
      if (!(excess > 0)) continue;
      capped.volume_mm3 += excess * step * step;
      capped.greatest_mm = std::max(capped.greatest_mm, excess);
    }
  }
  return capped;
}

}  // namespace trueblank::test_bodies
