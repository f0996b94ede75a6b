// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/coat.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;
using std::numbers::pi;

ClosedMesh coat_on(const ClosedMesh& body, double thickness_mm) {
  const std::optional<ClosedMesh> coat = coated(body, thickness_mm);
  EXPECT_TRUE(coat);
  return coat.value_or(body);
}

double greatest_gap_mm(const ClosedMesh& a, const Eigen::Matrix3Xd& b) {
  return (a.positions_mm() - b).cwiseAbs().maxCoeff();
}

// Source: three right angles meet at each corner of a box however its faces are cut into
// triangles, so its angle-weighted normal is (±1, ±1, ±1)/√3. (The mean of the triangles' normals
// would lean towards the face that gives the corner two triangles.)
TEST(CoatOnABox, MovesEachCornerOutAlongItsDiagonal) {
  const double thickness = 0.3;
  const double more = 2 * thickness / std::sqrt(3);
  const ClosedMesh coat = coat_on(closed(box(100, 20, 30)), thickness);
  EXPECT_LT(greatest_gap_mm(coat, box(100 + more, 20 + more, 30 + more).positions_mm), 1e-13);
  EXPECT_EQ(coat.facets(), closed(box(100, 20, 30)).facets());
}

// Source: by symmetry the corners of a regular tetrahedron move straight away from its middle: it
// grows by (R + t)/R, R = L·√6/4 its circumradius. Edge 2√2: corners at the ends of a cube's face
// diagonals, R = √3.
TEST(CoatOnARegularTetrahedron, MovesItsCornersAwayFromItsMiddle) {
  const ClosedMesh bare = closed(tetrahedron({1, 1, 1}, {1, -1, -1}, {-1, 1, -1}, {-1, -1, 1}));
  const double growth = (std::sqrt(3) + 0.5) / std::sqrt(3);
  EXPECT_LT(greatest_gap_mm(coat_on(bare, 0.5), growth * bare.positions_mm()), 1e-14);
}

// Source: Steiner's formula for a convex body: V(t) = V + S·t + M·t² + 4π/3·t³, M = 2π·(mean
// breadth). For a body turned about its longer axis, semi-axes a and b, e² = 1 − b²/a²,
// c² = a² − b²: S = 2πb²(1 + a/(b·e)·asin e), mean breadth a + b²/c·asinh(c/b), the mean of
// 2√(a²u² + b²(1 − u²)) over u from 0 to 1.
double coated_spheroid_mm3(double a, double b, double t) {
  const double c = std::sqrt(a * a - b * b);
  const double volume = 4 * pi / 3 * a * b * b;
  const double area = 2 * pi * b * b * (1 + a / b * (a / c) * std::asin(c / a));
  const double curvature = 2 * pi * (a + b * b / c * std::asinh(c / b));
  return volume + area * t + curvature * t * t + 4 * pi / 3 * t * t * t;
}

// The vertices lie on the smooth body, the facets inside it: the volume falls short by O(1/n²), to
// a quarter at each doubling, so that (4·fine − coarse)/3 leaves O(1/n⁴) (Richardson).
TEST(CoatOnASpheroid, EnclosesSteinersVolume) {
  for (const double a : {80.0, 14.1}) {
    const double b = 14;
    const double t = 1.5;
    const double exact = coated_spheroid_mm3(a, b, t);
    double volumes[3];
    for (int i = 0; i < 3; ++i) {
      const int n = 60 << i;
      volumes[i] = moments(coat_on(closed(ellipsoid(a, b, b, n, n)), t)).volume_mm3;
    }
    const double first = exact - volumes[0];
    const double second = exact - volumes[1];
    const double third = exact - volumes[2];
    EXPECT_NEAR(first / second, 4, 0.15) << a;
    EXPECT_NEAR(second / third, 4, 0.05) << a;
    EXPECT_NEAR((4 * volumes[2] - volumes[1]) / 3, exact, 2e-6 * exact) << a;
  }
}

// Source: a ball's coat is a ball; its vertices move along the radii as near as the facets' normals
// tell, to O(1/n²) of the thickness.
TEST(CoatOnABall, IsABall) {
  double worst[2];
  for (int i = 0; i < 2; ++i) {
    const int n = 40 << i;
    const ClosedMesh bare = closed(ellipsoid(20, 20, 20, n, n));
    const ClosedMesh coat = coat_on(bare, 1);
    worst[i] = greatest_gap_mm(coat, 21. / 20 * bare.positions_mm());
  }
  EXPECT_LT(worst[0], 2e-3);
  EXPECT_LT(worst[1], worst[0] / 3);
}

TEST(Coat, TurnsMovesAndGrowsWithTheBody) {
  for (const NamedMesh& named : closed_bodies()) {
    const ClosedMesh body = closed(named.mesh);
    const double thickness = 1e-3 * std::cbrt(moments(body).volume_mm3);
    const ClosedMesh coat = coat_on(body, thickness);
    for (unsigned seed = 1; seed <= 3; ++seed) {
      const Mat3 turn = random_turn(seed);
      const Vec3 shift(30, -5, 2. * seed);
      const double scale = 0.4 * seed;
      const ClosedMesh other = coat_on(body.moved(turn, shift, scale), scale * thickness);
      EXPECT_LT(greatest_gap_mm(other, coat.moved(turn, shift, scale).positions_mm()), 1e-9)
          << named.name;
    }
  }
}

TEST(Coat, MakesEveryBodyBigger) {
  for (const NamedMesh& named : closed_bodies()) {
    const ClosedMesh body = closed(named.mesh);
    const double volume = moments(body).volume_mm3;
    const ClosedMesh coat = coat_on(body, 1e-3 * std::cbrt(volume));
    EXPECT_GT(moments(coat).volume_mm3, volume) << named.name;
    EXPECT_TRUE(coat.positions_mm().allFinite()) << named.name;
  }
}

// A vertex on the middle of the edge from corner 0 to the next of a facet, on that facet's side
// alone, the gap closed by a facet without area. It has no direction, and must not turn anyone's
// normal; nor may one that is a ten thousand millionth of its side high, whichever way that looks.
TEST(Coat, MindsNoFacetWithoutArea) {
  for (const double high : {0.0, 1e-10, -1e-10}) {
    TriangleMesh mesh = box(100, 20, 30);
    const int a = mesh.facets(0, 0);
    const int b = mesh.facets(1, 0);
    const int c = mesh.facets(2, 0);
    const Vec3 at_a = mesh.positions_mm.col(a);
    const Vec3 at_b = mesh.positions_mm.col(b);
    const Vec3 out = (at_b - at_a).cross(mesh.positions_mm.col(c) - at_a).normalized();
    const int m = mesh.vertex_count();
    mesh.positions_mm.conservativeResize(3, m + 1);
    mesh.positions_mm.col(m) = (at_a + at_b) / 2 + high * (at_b - at_a).norm() * out;
    const int old = mesh.facet_count();
    mesh.facets.conservativeResize(3, old + 2);
    mesh.facets.col(0) << a, m, c;
    mesh.facets.col(old) << m, b, c;
    mesh.facets.col(old + 1) << a, b, m;
    const double more = 2 / std::sqrt(3);
    const ClosedMesh coat = coat_on(closed(mesh), 1);
    const Eigen::Matrix3Xd corners = coat.positions_mm().leftCols(m);
    EXPECT_LT((corners - box(100 + more, 20 + more, 30 + more).positions_mm).cwiseAbs().maxCoeff(),
              1e-12 + 10 * std::abs(high));
    EXPECT_LT((coat.positions_mm().col(m) - mesh.positions_mm.col(m) - out).norm(),
              1e-12 + 10 * std::abs(high));
  }
}

TEST(Coat, IsNothingWhereNoVolumeIsLeft) {
  const ClosedMesh body = closed(box(10, 10, 10));
  EXPECT_FALSE(coated(body, -20)) << "inward, past its own middle";
  EXPECT_FALSE(coated(body, std::numeric_limits<double>::quiet_NaN()));
  EXPECT_FALSE(coated(body, std::numeric_limits<double>::infinity()));
}

}  // namespace
}  // namespace trueblank::geometry
