// SPDX-License-Identifier: GPL-3.0-or-later
// The ball's and the disc's parts beyond a plane are closed forms, each by one integral over the
// sections: of the ball V = πh²(3R − h)/3 and ∫ y dV = π(R² − c²)²/4; of the disc, with u = c/r,
// A/πr² = 1/2 + (u√(1 − u²) + asin u)/π and ∫ y dA = (2/3)r³(1 − u²)^(3/2).
#include "rig/wood_taken.h"

#include <cmath>
#include <numbers>

namespace trueblank::rig {

using std::numbers::pi;

Heap WoodDensity::in_ball(const Vec3& centre_mm, double volume_mm3) const {
  Heap taken;
  const double y = centre_mm.y();
  const double radius = std::cbrt(3 * volume_mm3 / (4 * pi));
  if (even() || std::abs(y) >= radius) {
    taken.add((y < 0 ? left_g_mm3 : right_g_mm3) * volume_mm3, centre_mm);
    return taken;
  }
  const double height = radius + y;
  const double right_mm3 = pi * height * height * (3 * radius - height) / 3;
  taken.add(left_g_mm3 * (volume_mm3 - right_mm3) + right_g_mm3 * right_mm3, centre_mm);
  const double squared = radius * radius - y * y;
  taken.moment_g_mm.y() += (right_g_mm3 - left_g_mm3) * pi / 4 * squared * squared;
  return taken;
}

Heap WoodDensity::in_rod(const Vec3& a_mm, const Vec3& b_mm, double diameter_mm) const {
  const bool crosses = (a_mm.y() < 0 && b_mm.y() > 0) || (a_mm.y() > 0 && b_mm.y() < 0);
  if (even() || !crosses) return in_piece(a_mm, b_mm, diameter_mm);
  Vec3 middle = a_mm + a_mm.y() / (a_mm.y() - b_mm.y()) * (b_mm - a_mm);
  middle.y() = 0;
  Heap taken = in_piece(a_mm, middle, diameter_mm);
  taken.add(in_piece(middle, b_mm, diameter_mm));
  return taken;
}

Heap WoodDensity::in_piece(const Vec3& a_mm, const Vec3& b_mm, double diameter_mm) const {
  Heap taken;
  const double length = (b_mm - a_mm).norm();
  if (length == 0) return taken;
  const double radius = diameter_mm / 2;
  const double volume = pi * radius * radius * length;
  const Vec3 middle = (a_mm + b_mm) / 2;
  const Vec3 axis = (b_mm - a_mm) / length;
  const Vec3 across = Vec3::UnitY() - axis.y() * axis;  // in the section, to the right
  const double reach = radius * across.norm();          // of the section to either side
  if (even() || std::abs(middle.y()) >= reach) {
    taken.add((middle.y() < 0 ? left_g_mm3 : right_g_mm3) * volume, middle);
    return taken;
  }
  const double u = middle.y() / reach;
  const double right = 0.5 + (u * std::sqrt(1 - u * u) + std::asin(u)) / pi;
  taken.add((left_g_mm3 * (1 - right) + right_g_mm3 * right) * volume, middle);
  const double lever_mm4 = 2. / 3 * std::pow(radius, 3) * std::pow(1 - u * u, 1.5) * length;
  taken.moment_g_mm += (right_g_mm3 - left_g_mm3) * lever_mm4 * across.normalized();
  return taken;
}

}  // namespace trueblank::rig
