// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/take_off.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "intake/nearest_skin.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

/// How much of the way onto the skin a vertex goes: along a ridge many vertices have the same
/// nearest point, and facets must not lose their area.
constexpr double most_of_the_way = 0.98;

/// After two rounds the mean is down to some thousandths of the chords' height.
constexpr int rounds = 3;

constexpr double most_of_an_edge = 0.1;

/// A facet of the wrap beside the body.
struct Beside {
  Vec3 area = Vec3::Zero();  ///< along its normal, as long as its area
  double outside = 0;        ///< mean signed distance
  double apart = 0;          ///< mean distance
  bool near = true;
  int nearest = -1;
};

/// The middles of the edges tell the mean of a quadratic over a triangle exactly. The sign is told
/// by the wrap's own winding: the body's may be broken.
Beside beside(const TriangleMesh& wrap, int f, const NearestSkin& skin, double near) {
  Beside out;
  const Vec3 a = wrap.corner(f, 0);
  const Vec3 b = wrap.corner(f, 1);
  const Vec3 c = wrap.corner(f, 2);
  out.area = (b - a).cross(c - a) / 2;
  out.nearest = skin.nearest((a + b + c) / 3).facet;
  for (const Vec3& sample : {Vec3((a + b) / 2), Vec3((b + c) / 2), Vec3((c + a) / 2)}) {
    const NearestSkin::Hit hit = skin.nearest(sample);
    const double side = (sample - hit.point).dot(out.area) < 0 ? -1 : 1;
    out.outside += side * hit.distance / 3;
    out.apart += hit.distance / 3;
    out.near = out.near && hit.distance <= near;
  }
  return out;
}

std::vector<Beside> all_beside(const TriangleMesh& wrap, const NearestSkin& skin, double near) {
  std::vector<Beside> out;
  out.reserve(static_cast<std::size_t>(wrap.facet_count()));
  for (int f = 0; f < wrap.facet_count(); ++f) out.push_back(beside(wrap, f, skin, near));
  return out;
}

double mean_outside(const std::vector<Beside>& facets) {
  double sum = 0;
  double area = 0;
  for (const Beside& facet : facets) {
    if (!facet.near) continue;
    sum += facet.outside * facet.area.norm();
    area += facet.area.norm();
  }
  return area > 0 ? sum / area : 0;
}

void onto_skin(TriangleMesh& wrap, const NearestSkin& skin, double near) {
  for (int v = 0; v < wrap.vertex_count(); ++v) {
    const Vec3 from = wrap.positions_mm.col(v);
    const NearestSkin::Hit hit = skin.nearest(from);
    if (hit.distance <= near) wrap.positions_mm.col(v) += most_of_the_way * (hit.point - from);
  }
}

/// Moves each vertex by the mean distance of the facets around it, which takes the volume between
/// the skins off to first order; by no more than a small part of the way to its nearest neighbour,
/// and not by less than `least`: what lies flat stays that little outside, for exactly in the
/// body's planes and ridges facets would lie folded on one another.
void even_out(TriangleMesh& wrap, const std::vector<Beside>& facets, double least) {
  const auto vertices = static_cast<std::size_t>(wrap.vertex_count());
  std::vector<double> outside(vertices, 0);
  std::vector<double> area(vertices, 0);
  std::vector<double> reach(vertices, INFINITY);
  std::vector<Vec3> normal(vertices, Vec3::Zero());
  for (int f = 0; f < wrap.facet_count(); ++f) {
    const Beside& facet = facets[static_cast<std::size_t>(f)];
    for (int k = 0; k < 3; ++k) {
      const auto v = static_cast<std::size_t>(wrap.facets(k, f));
      normal[v] += facet.area;
      area[v] += facet.area.norm();
      const double edge = (wrap.corner(f, (k + 1) % 3) - wrap.corner(f, k)).norm();
      reach[v] = std::min(reach[v], most_of_an_edge * edge);
      if (facet.near) outside[v] += facet.outside * facet.area.norm();
    }
  }
  for (std::size_t v = 0; v < vertices; ++v) {
    const double length = normal[v].norm();
    if (!(area[v] > 0) || !(length > 0)) continue;
    const double step = std::clamp(outside[v] / area[v], -reach[v], reach[v]);
    if (std::abs(step) < least) continue;
    wrap.positions_mm.col(static_cast<Eigen::Index>(v)) -= step * normal[v] / length;
  }
}

}  // namespace

TakenOff take_off(TriangleMesh& wrap, const TriangleMesh& body, double offset, double near) {
  const NearestSkin skin(body);
  TakenOff out;
  out.before = mean_outside(all_beside(wrap, skin, near + offset));
  onto_skin(wrap, skin, near + offset);
  std::vector<Beside> facets = all_beside(wrap, skin, near);
  for (int round = 0; round < rounds; ++round) {
    even_out(wrap, facets, 2 * (1 - most_of_the_way) * offset);
    facets = all_beside(wrap, skin, near);
  }
  out.left = mean_outside(facets);
  for (const Beside& facet : facets) {
    out.between += facet.apart * facet.area.norm();
    out.near.push_back(facet.near ? 1 : 0);
    out.nearest_facet.push_back(facet.nearest);
  }
  return out;
}

}  // namespace trueblank::intake
