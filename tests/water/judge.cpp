// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/judge.h"

#include <array>
#include <cmath>
#include <numbers>

namespace trueblank::water::judge {
namespace {

constexpr Real radian = std::numbers::pi_v<Real> / 180;

Point operator+(const Point& a, const Point& b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }

Point operator*(Real s, const Point& a) { return {s * a.x, s * a.y, s * a.z}; }

Real dot(const Point& a, const Point& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

Point minus(const Point& a, const Point& b) { return a + Real(-1) * b; }

Real triple(const Point& a, const Point& b, const Point& c) {
  return a.x * (b.y * c.z - b.z * c.y) - a.y * (b.x * c.z - b.z * c.x) +
         a.z * (b.x * c.y - b.y * c.x);
}

struct Below {
  Real volume = 0;
  Point first;  // ∫ p dV
};

// Each facet's part below the plane, joined to a point of the plane.
Below below(const geometry::ClosedMesh& mesh, const Point& up, Real offset) {
  const Point apex = offset * up;
  Below sum;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    std::array<Point, 4> clipped;
    int count = 0;
    for (int k = 0; k < 3; ++k) {
      const geometry::Vec3 from = mesh.corner(f, k);
      const geometry::Vec3 to = mesh.corner(f, (k + 1) % 3);
      const Point a{from.x(), from.y(), from.z()};
      const Point b{to.x(), to.y(), to.z()};
      const Real over_a = dot(up, a) - offset;
      const Real over_b = dot(up, b) - offset;
      if (over_a < 0) clipped[static_cast<std::size_t>(count++)] = a;
      if ((over_a < 0) != (over_b < 0)) {
        const Real part = over_a / (over_a - over_b);
        clipped[static_cast<std::size_t>(count++)] = (1 - part) * a + part * b;
      }
    }
    for (int k = 1; k + 1 < count; ++k) {
      const Point& a = clipped[0];
      const Point& b = clipped[static_cast<std::size_t>(k)];
      const Point& c = clipped[static_cast<std::size_t>(k) + 1];
      const Real volume = triple(minus(a, apex), minus(b, apex), minus(c, apex)) / 6;
      sum.volume += volume;
      sum.first = sum.first + volume / 4 * (a + b + c + apex);
    }
  }
  return sum;
}

}  // namespace

Moments moments_at(const Body& body, Real tail_down_deg, Real list_deg) {
  const Real tail = tail_down_deg * radian;
  const Real list = list_deg * radian;
  const Point up{-std::sin(tail), -std::cos(tail) * std::sin(list),
                 std::cos(tail) * std::cos(list)};
  Real low = -1000;
  Real high = 1000;
  Below wet;
  for (int i = 0; i < 80; ++i) {
    const Real middle = (low + high) / 2;
    wet = below(*body.mesh, up, middle);
    (wet.volume / 1000 < body.mass_g ? low : high) = middle;
  }
  // Weight and buoyancy as a couple: mass × (G − B).
  const Point lever = minus(body.mass_g * body.G, Real(1) / 1000 * wet.first);
  const Point towards_x{std::cos(tail), -std::sin(tail) * std::sin(list),
                        std::sin(tail) * std::cos(list)};
  const Point towards_list{0, -std::cos(list), -std::sin(list)};
  return {dot(lever, towards_x), dot(lever, towards_list), (low + high) / 2};
}

Real level_tail_down_deg(const Body& body, Real list_deg, Real low_deg, Real high_deg) {
  for (int i = 0; i < 50; ++i) {
    const Real middle = (low_deg + high_deg) / 2;
    // Where the energy rises towards x, the body turns back: tail further down.
    (moments_at(body, middle, list_deg).tail_up > 0 ? low_deg : high_deg) = middle;
  }
  return (low_deg + high_deg) / 2;
}

Real level_list_deg(const Body& body, Real low_deg, Real high_deg, Real tail_low_deg,
                    Real tail_high_deg) {
  for (int i = 0; i < 40; ++i) {
    const Real middle = (low_deg + high_deg) / 2;
    const Real tail = level_tail_down_deg(body, middle, tail_low_deg, tail_high_deg);
    (moments_at(body, tail, middle).list < 0 ? low_deg : high_deg) = middle;
  }
  return (low_deg + high_deg) / 2;
}

}  // namespace trueblank::water::judge
