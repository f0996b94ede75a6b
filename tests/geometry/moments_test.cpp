// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/moments.h"

#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>
#include <functional>
#include <numbers>

#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;
using std::numbers::pi;

void expect_matrix_near(const Mat3& found, const Mat3& expected, double tolerance) {
  EXPECT_LE((found - expected).cwiseAbs().maxCoeff(), tolerance) << "found\n"
                                                                 << found << "\nexpected\n"
                                                                 << expected;
}

Mat3 diagonal(double x, double y, double z) { return Vec3(x, y, z).asDiagonal(); }

// Rounding: a dozen operations a facet, sums compensated.
constexpr double rounding = 1e-14;

TEST(Box, HasTheTextbookMoments) {  // V = lwh, Ixx = V(w² + h²)/12
  const Moments found = moments(closed(moved(box(3, 4, 5), Mat3::Identity(), {7, -2, 11})));
  EXPECT_NEAR(found.volume_mm3, 60, 60 * rounding);
  EXPECT_NEAR(found.area_mm2, 94, 94 * rounding);
  EXPECT_LE((found.centroid_mm - Vec3(7, -2, 11)).norm(), 11 * rounding);
  expect_matrix_near(found.inertia_mm5, diagonal(5 * 41, 5 * 34, 5 * 25), 205 * rounding);
  expect_matrix_near(found.spread_mm5, diagonal(5 * 9, 5 * 16, 5 * 25), 125 * rounding);
}

// Integrals over x, y, z ≥ 0, x + y + z ≤ 1: V = 1/6, ∫x = 1/24, ∫xx = 2/120, ∫xy = 1/120.
TEST(CornerTetrahedron, HasTheTextbookMoments) {
  const Moments found = moments(closed(tetrahedron({0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1})));
  EXPECT_NEAR(found.volume_mm3, 1.0 / 6, rounding);
  EXPECT_LE((found.centroid_mm - Vec3(0.25, 0.25, 0.25)).norm(), rounding);
  Mat3 expected;
  expected << 6, 1, 1, 1, 6, 1, 1, 1, 6;
  expect_matrix_near(found.inertia_mm5, expected / 480, rounding);
}

TEST(RegularTetrahedron, IsAsHardToTurnAboutEveryAxis) {  // V = L³/(6√2), I = VL²/20
  const Moments found =
      moments(closed(tetrahedron({1, 1, 1}, {1, -1, -1}, {-1, 1, -1}, {-1, -1, 1})));
  const double edge = 2 * std::numbers::sqrt2;
  const double volume = edge * edge * edge / (6 * std::numbers::sqrt2);
  EXPECT_NEAR(found.volume_mm3, volume, volume * rounding);
  expect_matrix_near(found.inertia_mm5, volume * edge * edge / 20 * Mat3::Identity(), rounding * 8);
}

/// A body whose facets grow finer with n, and what it tends to.
struct Smooth {
  const char* name;
  std::function<TriangleMesh(int n)> mesh;
  double volume_mm3;
  double area_mm2;
  Vec3 centroid_mm;
  Vec3 inertia_mm5;
};

std::vector<Smooth> smooth_bodies() {
  std::vector<Smooth> bodies;
  // Cone, R 14, h 40: V = πR²h/3, centroid h/4 over the base, Izz = 3VR²/10,
  // Ixx = V(3R²/20 + 3h²/80), area πR(R + √(R² + h²)).
  {
    const double R = 14;
    const double h = 40;
    const double V = pi * R * R * h / 3;
    const double across = V * (3 * R * R / 20 + 3 * h * h / 80);
    bodies.push_back({"cone",
                      [](int n) {
                        return turned({{14, 0}, {0, 40}}, n);
                      },
                      V, pi * R * (R + std::hypot(R, h)), Vec3(0, 0, h / 4),
                      Vec3(across, across, 3 * V * R * R / 10)});
  }
  // Frustum 14 → 6, h 40: the figures of its closed forms, which follow from the cone's.
  bodies.push_back({"frustum",
                    [](int n) {
                      return turned({{14, 0}, {6, 40}}, n);
                    },
                    13236.57705, 3291.896255, Vec3(0, 0, 14.93670886),
                    Vec3(1913319.322, 1913319.322, 832597.4514)});
  // Ellipsoid: V = 4πabc/3, Ixx = V(b² + c²)/5; its area by series, 10 digits.
  {
    const double V = 4 * pi * 82.5 * 11 * 14 / 3;
    const double aa = 82.5 * 82.5;
    const double bb = 11 * 11;
    const double cc = 14 * 14;
    bodies.push_back({"ellipsoid", [](int n) { return ellipsoid(82.5, 11, 14, n, n); }, V,
                      10315.72995721, Vec3::Zero(), V / 5 * Vec3(bb + cc, aa + cc, aa + bb)});
  }
  // Torus: V = 2π²Rr², area 4π²Rr, Izz = V(R² + 3r²/4), Ixx = V(4R² + 5r²)/8.
  {
    const double R = 30;
    const double r = 8;
    const double V = 2 * pi * pi * R * r * r;
    const double across = V * (4 * R * R + 5 * r * r) / 8;
    bodies.push_back({"torus", [](int n) { return torus(30, 8, n, n); }, V, 4 * pi * pi * R * r,
                      Vec3::Zero(), Vec3(across, across, V * (R * R + 0.75 * r * r))});
  }
  // Spherical cap, R 10, h 6, its rim vertices on the sphere: V = πh²(3R − h)/3, centroid
  // 3(2R − h)²/(4(3R − h)) from the sphere's centre, Izz = πh³(20R² − 15Rh + 3h²)/30; Ixx as
  // integrated over discs; area of the skin 2πRh and of the base π(2Rh − h²).
  bodies.push_back({"spherical cap",
                    [](int n) {
                      std::vector<Eigen::Vector2d> profile;
                      const double rim = std::acos(0.4);
                      for (int i = 0; i <= n; ++i) {
                        const double angle = rim * (n - i) / n;
                        profile.emplace_back(i == n ? 0 : 10 * std::sin(angle),
                                             10 * std::cos(angle));
                      }
                      return turned(profile, 4 * n);
                    },
                    pi * 36 * 24 / 3, pi * (120 + 84), Vec3(0, 0, 6.125),
                    Vec3(15548.0562, 15548.0562, 27324.31626)});
  return bodies;
}

// Vertices on a smooth surface fall short by O(1/n²), so (4·fine − coarse)/3 leaves O(1/n⁴): here
// about (π/128)⁴/10, some 4e-8 of the whole. The printed figures have ten digits.
TEST(SmoothBodies, TendToTheirClosedFormsWithTheSquareOfTheFacetSize) {
  for (const Smooth& body : smooth_bodies()) {
    SCOPED_TRACE(body.name);
    const Moments rough = moments(closed(body.mesh(64)));
    const Moments coarse = moments(closed(body.mesh(128)));
    const Moments fine = moments(closed(body.mesh(256)));
    const auto limit = [](double c, double f) { return (4 * f - c) / 3; };
    EXPECT_NEAR(limit(coarse.volume_mm3, fine.volume_mm3), body.volume_mm3, 2e-7 * body.volume_mm3);
    EXPECT_NEAR(limit(coarse.area_mm2, fine.area_mm2), body.area_mm2, 2e-7 * body.area_mm2);
    EXPECT_NEAR((rough.volume_mm3 - body.volume_mm3) / (coarse.volume_mm3 - body.volume_mm3), 4,
                0.02);
    const double size = std::cbrt(body.volume_mm3);
    EXPECT_LE(((4 * fine.centroid_mm - coarse.centroid_mm) / 3 - body.centroid_mm).norm(),
              2e-7 * size);
    const Mat3 inertia = (4 * fine.inertia_mm5 - coarse.inertia_mm5) / 3;
    expect_matrix_near(inertia, body.inertia_mm5.asDiagonal(), 4e-7 * body.inertia_mm5.maxCoeff());
  }
}

// F. Tonon, "Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms of its vertex
// coordinates", J. Math. Stat. 1(1), 8-11, 2004. The figures to twelve digits: exact rational
// arithmetic on the printed coordinates. The printed results: as carried in the test suites of
// several general-purpose libraries (the paper itself not read), good to 2e-8 only; the paper's
// matrix sets the xy and xz products in each other's place, here they are put right.
TEST(PublishedTetrahedron, HasTheMomentsOfExactArithmeticAndThePrintedOnes) {
  const Moments found = moments(closed(tetrahedron({8.33220, -11.86875, 0.93355},  //
                                                   {0.75523, 5, 16.37072},         //
                                                   {52.61236, 5, -5.38580},        //
                                                   {2, 5, 3})));
  EXPECT_NEAR(found.volume_mm3, 1873.2333642165, 1e-10);
  EXPECT_LE((found.centroid_mm - Vec3(15.9249475, 0.7828125, 3.7296175)).norm(), 1e-12 * 16);
  Mat3 exact;
  exact << 43520.33328539, -11996.20139323, 46343.16738139,  //
      -11996.20139323, 194711.29259079, -4417.66156969,      //
      46343.16738139, -4417.66156969, 191168.76488608;
  expect_matrix_near(found.inertia_mm5, exact, 6e-9);  // the last printed digit
  Mat3 printed;
  printed << 43520.33257, -11996.20119, 46343.16662,  //
      -11996.20119, 194711.28938, -4417.66150,        //
      46343.16662, -4417.66150, 191168.76173;
  expect_matrix_near(found.inertia_mm5, printed, 1e-6 * 194711);
  // The printed centroid's x is off by 2.8e-5, more than its last digit.
  EXPECT_LE((found.centroid_mm - Vec3(15.92492, 0.78281, 3.72962)).norm(), 2e-6 * 16);
}

/// Laws over all kinds of bodies. What a body's figures are compared with: V·L² and the like.
class Laws : public ::testing::Test {
 protected:
  static void expect_same(const Moments& found, const Moments& expected, double tolerance) {
    const double V = expected.volume_mm3;
    const double I = expected.inertia_mm5.trace();
    const double length = std::sqrt(I / V);
    EXPECT_NEAR(found.volume_mm3, V, V * tolerance);
    EXPECT_NEAR(found.area_mm2, expected.area_mm2, expected.area_mm2 * tolerance);
    EXPECT_LE((found.centroid_mm - expected.centroid_mm).norm(), length * tolerance);
    expect_matrix_near(found.inertia_mm5, expected.inertia_mm5, I * tolerance);
    expect_matrix_near(found.spread_mm5, expected.spread_mm5, I * tolerance);
  }
};

TEST_F(Laws, ABodyTenMetresAwayKeepsItsMoments) {
  const Vec3 far(10000, -10000, 10000);
  for (const NamedMesh& body : closed_bodies()) {
    if (body.name == "wafer") continue;  // 2e-12 mm of rounding up there is 2e-9 of its thickness
    SCOPED_TRACE(body.name);
    const TriangleMesh away = moved(body.mesh, Mat3::Identity(), far);
    // Moved there and back, so that both have the same rounded coordinates.
    const TriangleMesh here = moved(away, Mat3::Identity(), -far);
    Moments expected = moments(closed(here));
    expected.centroid_mm += far;
    expect_same(moments(closed(away)), expected, body.name == "wire" ? 1e-11 : 1e-13);
  }
}

TEST_F(Laws, ATurnedBodyHasTurnedMoments) {
  for (const NamedMesh& body : closed_bodies()) {
    SCOPED_TRACE(body.name);
    for (unsigned seed = 1; seed <= 5; ++seed) {
      const Mat3 turn = random_turn(seed);
      Moments expected = moments(closed(body.mesh));
      expected.centroid_mm = turn * expected.centroid_mm;
      expected.inertia_mm5 = (turn * expected.inertia_mm5 * turn.transpose()).eval();
      expected.spread_mm5 = (turn * expected.spread_mm5 * turn.transpose()).eval();
      // As they turn, vertices round by 1e-14 mm, 1e-11 of the wafer's thickness; and the wire's
      // facets, 200 mm long and 0.005 wide, lose 1e-11 of their area at a lever of 100 mm.
      const double tolerance = body.name == "wafer" ? 1e-10 : body.name == "wire" ? 1e-8 : 1e-12;
      expect_same(moments(closed(moved(body.mesh, turn, Vec3::Zero()))), expected, tolerance);
    }
  }
}

TEST_F(Laws, AMirroredBodyHasMirroredMoments) {
  const Mat3 mirror = diagonal(1, -1, 1);
  for (const NamedMesh& body : closed_bodies()) {
    SCOPED_TRACE(body.name);
    Moments expected = moments(closed(body.mesh));
    expected.centroid_mm = mirror * expected.centroid_mm;
    expected.inertia_mm5 = (mirror * expected.inertia_mm5 * mirror).eval();
    expected.spread_mm5 = (mirror * expected.spread_mm5 * mirror).eval();
    expect_same(moments(closed(mirrored_y(body.mesh))), expected, 1e-13);
  }
}

TEST_F(Laws, MomentsGrowWithThePowersOfScale) {
  for (const NamedMesh& body : closed_bodies()) {
    SCOPED_TRACE(body.name);
    for (const double scale : {1000.0, 1e-3}) {
      Moments expected = moments(closed(body.mesh));
      expected.volume_mm3 *= scale * scale * scale;
      expected.area_mm2 *= scale * scale;
      expected.centroid_mm *= scale;
      expected.inertia_mm5 *= std::pow(scale, 5);
      expected.spread_mm5 *= std::pow(scale, 5);
      const TriangleMesh scaled = moved(body.mesh, Mat3::Identity(), Vec3::Zero(), scale);
      expect_same(moments(closed(scaled)), expected, 1e-13);
      expect_same(moments(closed(body.mesh).moved(Mat3::Identity(), Vec3::Zero(), scale)), expected,
                  1e-13);
    }
  }
}

TEST_F(Laws, TheOrderOfFacetsAndVerticesDoesNotMatter) {
  for (const NamedMesh& body : closed_bodies()) {
    SCOPED_TRACE(body.name);
    expect_same(moments(closed(shuffled(body.mesh, 11))), moments(closed(body.mesh)), 1e-13);
  }
}

TEST_F(Laws, PiecesAddUp) {
  const TriangleMesh a = needle(1000);
  const TriangleMesh b = moved(glider(900), random_turn(2), {300, 20, 10});
  const Moments of_a = moments(closed(a));
  const Moments of_b = moments(closed(b));
  Moments expected;
  expected.volume_mm3 = of_a.volume_mm3 + of_b.volume_mm3;
  expected.area_mm2 = of_a.area_mm2 + of_b.area_mm2;
  expected.centroid_mm = (of_a.volume_mm3 * of_a.centroid_mm + of_b.volume_mm3 * of_b.centroid_mm) /
                         expected.volume_mm3;
  for (const Moments* part : {&of_a, &of_b}) {  // parallel axes
    const Vec3 d = part->centroid_mm - expected.centroid_mm;
    expected.spread_mm5 += part->spread_mm5 + part->volume_mm3 * (d * d.transpose());
  }
  expected.inertia_mm5 = expected.spread_mm5.trace() * Mat3::Identity() - expected.spread_mm5;
  expect_same(moments(closed(joined(a, b))), expected, 1e-13);
}

TEST(SignedVolume, TurnsItsSignWithTheFacets) {
  for (const NamedMesh& body : closed_bodies()) {
    SCOPED_TRACE(body.name);
    const double V = moments(closed(body.mesh)).volume_mm3;
    const Vec3 apex(5, -3, 2);
    const double tolerance = 1e-15 * area_mm2(body.mesh) * 200;
    EXPECT_NEAR(signed_volume_mm3(body.mesh, apex), V, tolerance);
    EXPECT_NEAR(signed_volume_mm3(inside_out(body.mesh), apex), -V, tolerance);
  }
}

TEST(Principal, FindsTheAxesOfATurnedBox) {
  const Moments whole = moments(closed(moved(box(5, 4, 3), random_turn(9), {1, 2, 3})));
  const Principal found = principal(whole.inertia_mm5);
  EXPECT_NEAR(found.values[0], 5 * 25, 1e-11);  // V = 60; V(w² + h²)/12
  EXPECT_NEAR(found.values[1], 5 * 34, 1e-11);
  EXPECT_NEAR(found.values[2], 5 * 41, 1e-11);
  EXPECT_NEAR(found.axes.determinant(), 1, 1e-14);
  for (int i = 0; i < 2; ++i) {
    Eigen::Index largest = 0;
    const double size = found.axes.col(i).cwiseAbs().maxCoeff(&largest);
    EXPECT_GT(found.axes(largest, i), 0);
    EXPECT_NEAR(std::abs(found.axes.col(i).dot(random_turn(9).col(i))), 1, 1e-13);
    EXPECT_GT(size, 0.57);  // √⅓
  }
  expect_matrix_near(found.axes * found.values.asDiagonal() * found.axes.transpose(),
                     whole.inertia_mm5, 1e-11);
}

TEST(Principal, LeavesADiagonalMatrixInItsAxes) {
  const Principal found = principal(diagonal(1, 2, 3));
  expect_matrix_near(found.axes, Mat3::Identity(), 1e-15);
}

}  // namespace
}  // namespace trueblank::geometry
