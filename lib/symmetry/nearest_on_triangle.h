// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

// Inside the room.
namespace trueblank::symmetry {

/// Where on a triangle the nearest point lies.
enum class Feature { corner_0, corner_1, corner_2, edge_01, edge_12, edge_20, face };

struct OnTriangle {
  geometry::Vec3 point = geometry::Vec3::Zero();
  Feature feature = Feature::face;
};

/// Sides may be of no length.
///
/// source  C. Ericson, "Real-Time Collision Detection", 2005, 5.1.5
inline OnTriangle nearest_on_triangle(const geometry::Vec3& p, const geometry::Vec3& a,
                                      const geometry::Vec3& b, const geometry::Vec3& c) {
  const geometry::Vec3 ab = b - a;
  const geometry::Vec3 ac = c - a;
  const geometry::Vec3 ap = p - a;
  const double d1 = ab.dot(ap);
  const double d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return {a, Feature::corner_0};
  const geometry::Vec3 bp = p - b;
  const double d3 = ab.dot(bp);
  const double d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return {b, Feature::corner_1};
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0 && d1 > d3) {
    return {a + ab * (d1 / (d1 - d3)), Feature::edge_01};
  }
  const geometry::Vec3 cp = p - c;
  const double d5 = ab.dot(cp);
  const double d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return {c, Feature::corner_2};
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return {a + ac * (d2 / (d2 - d6)), Feature::edge_20};
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    return {b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6))), Feature::edge_12};
  }
  const double whole = va + vb + vc;
  if (!(whole > 0)) return {a, Feature::corner_0};  // a facet without area
  return {a + ab * (vb / whole) + ac * (vc / whole), Feature::face};
}

}  // namespace trueblank::symmetry
