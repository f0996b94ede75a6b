// SPDX-License-Identifier: GPL-3.0-or-later
// What a filled hole's bound promises, held by simulation: known bodies with parts missing.
#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <random>

#include "geometry/moments.h"
#include "intake/mend.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using std::numbers::pi;
using test_bodies::without;

double volume(const TriangleMesh& mesh) { return geometry::signed_volume_mm3(mesh, Vec3::Zero()); }

MendedMesh filled(const TriangleMesh& open) { return mend(open, Mend::holes, "scan"); }

/// As a scanner sees it: each vertex moved along the skin's normal there.
TriangleMesh noisy(TriangleMesh mesh, double noise, unsigned seed) {
  Eigen::Matrix3Xd normals = Eigen::Matrix3Xd::Zero(3, mesh.vertex_count());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 normal = (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a);
    for (Eigen::Index k = 0; k < 3; ++k) normals.col(mesh.facets(k, f)) += normal;
  }
  std::mt19937 random(seed);
  std::normal_distribution<double> height;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    if (normals.col(v).norm() > 0) {
      mesh.positions_mm.col(v) += noise * height(random) * normals.col(v).normalized();
    }
  }
  return mesh;
}

struct Missing {
  std::string what;
  double most = 0;  ///< of a small hole's bound: a third of a ball of the spot's radius, or the
                    ///< slab that is missing all over the box; 0: an end of the body
  std::function<bool(const Vec3&)> drop;
};

/// Parts that a scan leaves out, in a body's box.
std::vector<Missing> parts(const TriangleMesh& mesh) {
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  const Vec3 high = mesh.positions_mm.rowwise().maxCoeff();
  const Vec3 size = high - low;
  const Vec3 middle = (low + high) / 2;
  const Vec3 back(middle.x() + size.x() / 5, middle.y(), high.z());
  const Vec3 side(middle.x() - size.x() / 4, high.y(), middle.z());
  return {
      {"belly", 0.03 * size.prod(),
       [=](const Vec3& p) { return p.z() < low.z() + 0.03 * size.z(); }},
      {"deep belly", 0, [=](const Vec3& p) { return p.z() < low.z() + 0.1 * size.z(); }},
      {"side", 0, [=](const Vec3& p) { return p.y() > high.y() - 0.1 * size.y(); }},
      {"spot on the back", 4 * pi / 9 * 125, [=](const Vec3& p) { return (p - back).norm() < 5; }},
      {"spot on the side", 4 * pi / 9 * 64, [=](const Vec3& p) { return (p - side).norm() < 4; }},
      {"nose", 0, [=](const Vec3& p) { return p.x() < low.x() + 0.03 * size.x(); }},
      {"more of the nose", 0, [=](const Vec3& p) { return p.x() < low.x() + 0.1 * size.x(); }},
      {"tail", 0, [=](const Vec3& p) { return p.x() > high.x() - 0.1 * size.x(); }},
  };
}

// The promise: 95 of 100 fillings lie within their bound. And its worth: small holes have
// small ones, and hold it always.
TEST(HoleBound, HoldsOnBodiesWithPartsMissingAndNoise) {
  int all = 0;
  int held = 0;
  for (const TriangleMesh& body :
       {test_bodies::ellipsoid(60, 10, 10, 70, 48), test_bodies::ellipsoid(40, 12, 15, 70, 48),
        test_bodies::pencil(7000), test_bodies::glider(7000), test_bodies::needle(7000)}) {
    for (const Missing& part : parts(body)) {
      for (const auto& [noise, seeds] : {std::pair(0.0, 1U), {0.05, 2U}, {0.15, 2U}}) {
        for (unsigned seed = 1; seed <= seeds; ++seed) {
          const TriangleMesh whole = noisy(body, noise, seed);
          TriangleMesh open = without(body, part.drop);
          open.positions_mm = whole.positions_mm;
          const MendedMesh out = filled(open);
          const double off = std::abs(volume(out.mesh) - volume(whole));
          ++all;
          if (off <= out.made_up_bound_mm3) ++held;
          if (part.most == 0) continue;
          EXPECT_LT(out.made_up_bound_mm3, part.most) << part.what << " seed " << seed;
          EXPECT_LE(off, out.made_up_bound_mm3) << part.what << " seed " << seed;
        }
      }
    }
  }
  EXPECT_EQ(all, 200);
  EXPECT_GE(held, 0.95 * all);
}

}  // namespace
}  // namespace trueblank::intake
