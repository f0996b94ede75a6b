// SPDX-License-Identifier: GPL-3.0-or-later
// What a filled hole's bound promises, on bodies whose missing part is known.
#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

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

// Source: a ball's cap of height h holds π·h²·(r - h/3). The filling is smooth, so the far end of
// the band is the flat one, a cap away; the strip that the tangents come from makes the cap look
// no flatter.
TEST(HoleBound, OfABallsCapIsTheCap) {
  const TriangleMesh ball = test_bodies::ellipsoid(20, 20, 20, 160, 160);
  for (const double height : {0.5, 2.0, 4.0}) {
    const MendedMesh out =
        filled(without(ball, [&](const Vec3& p) { return p.x() > 20 - height; }));
    ASSERT_EQ(out.holes.size(), 1U);
    const double cap = pi * height * height * (20 - height / 3);
    EXPECT_GT(out.holes[0].bound_mm3, 0.8 * cap) << height;
    EXPECT_LT(out.holes[0].bound_mm3, 1.3 * cap) << height;
    EXPECT_NEAR(volume(out.mesh), volume(ball), out.holes[0].bound_mm3);
    // Its rim follows the facets' edges, 0.4 mm long.
    EXPECT_NEAR(out.holes[0].area_mm2, 2 * pi * 20 * height, 2 * pi * 20 * 0.1);
    EXPECT_NEAR(out.holes[0].centre_mm.x(), 20 - height / 2, 0.2);
    EXPECT_FALSE(out.holes[0].wide);
  }
}

// Source: the tip of a cone of radius a and height H holds π·a²·H/3. A line at distance p from the
// middle has the length L = 2·√(a² - p²) and meets the cone at slopes (H/a)·(L/2a), so that its
// tangents enclose L³·H/8a²; over all lines that makes 3π·a²·H/8, nine eighths of the tip.
TEST(HoleBound, OfAConesTipIsNineEighthsOfIt) {
  const TriangleMesh cone =
      test_bodies::turned({{20, 0}, {15, 15}, {10, 30}, {5, 45}, {0, 60}}, 90);
  TriangleMesh open = without(cone, [](const Vec3& p) { return p.z() > 45; });
  const MendedMesh out = filled(open);
  ASSERT_EQ(out.holes.size(), 1U);
  const double tip = pi * 25 * 15 / 3;
  EXPECT_NEAR(volume(out.mesh) + tip, volume(cone), 0.01 * tip);  // it is filled flat
  EXPECT_NEAR(out.holes[0].bound_mm3, 9.0 / 8 * tip, 0.02 * tip);
  EXPECT_FALSE(out.holes[0].wide);
}

// Source: tangents that never meet are cut off two chords out: over all lines, 2·∫ L² dp with
// L² = 4·(a² - p²) makes 32/3·a³.
TEST(HoleBound, OfAMissingEndOfARodIsAReachAndCalledWide) {
  const TriangleMesh rod = test_bodies::turned({{8, 0}, {8, 20}, {8, 40}, {8, 60}, {8, 100}}, 90);
  const MendedMesh out = filled(without(rod, [](const Vec3& p) { return p.z() > 99; }));
  ASSERT_EQ(out.holes.size(), 1U);
  EXPECT_TRUE(out.holes[0].wide);
  EXPECT_NEAR(out.holes[0].bound_mm3, 32.0 / 3 * 8 * 8 * 8, 0.02 * 32.0 / 3 * 8 * 8 * 8);
}

TEST(HoleBound, OfAHoleInAFlatSideIsNothing) {
  // A box whose upper side is a grid.
  const TriangleMesh plate =
      test_bodies::moved(test_bodies::sheet(40, 20, 20, 20), geometry::Mat3::Identity(), {0, 0, 5});
  const TriangleMesh box = test_bodies::joined(
      without(test_bodies::box(40, 20, 10), [](const Vec3& p) { return p.z() > 4.9; }), plate);
  const MendedMesh out = filled(
      without(box, [](const Vec3& p) { return p.z() > 4.9 && std::hypot(p.x(), p.y()) < 5; }));
  ASSERT_EQ(out.holes.size(), 1U);
  EXPECT_NEAR(volume(out.mesh), 8000, 1e-6);
  EXPECT_LT(out.made_up_bound_mm3, 1e-6);
  EXPECT_NEAR(out.made_up_share, out.holes[0].area_mm2 / 2800, 1e-6);
}

// The inner side of a ring is a saddle: hollow round it, full along the tube.
TEST(HoleBound, HoldsOnASaddle) {
  const TriangleMesh ring = test_bodies::torus(30, 10, 240, 120);
  for (const double size : {2.0, 5.0, 8.0}) {
    const MendedMesh out =
        filled(without(ring, [&](const Vec3& p) { return (p - Vec3(20, 0, 0)).norm() < size; }));
    EXPECT_NEAR(volume(out.mesh), volume(ring), out.made_up_bound_mm3) << size;
    EXPECT_LT(out.made_up_bound_mm3, pi * size * size * size * size / 10) << size;
  }
}

}  // namespace
}  // namespace trueblank::intake
