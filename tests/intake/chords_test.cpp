// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/chords.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using std::numbers::pi;

double volume(const TriangleMesh& mesh) { return geometry::signed_volume_mm3(mesh, Vec3::Zero()); }

// Source: the vertices lie on the ellipsoid, whose volume is 4/3 π a b c.
TEST(Chords, CutOffWhatAnEllipsoidLacks) {
  for (const int rings : {24, 48, 96}) {
    const TriangleMesh mesh = test_bodies::ellipsoid(50, 9, 12, rings, rings);
    const double lacking = 4 * pi / 3 * 50 * 9 * 12 - volume(mesh);
    EXPECT_NEAR(chord_volume(mesh) / lacking, 1, 0.1) << rings << " rings";
  }
}

// Source: the torus through its vertices has 2π² R r²; its inner side is hollow along the big
// circle, so that the chords there add.
TEST(Chords, CutOffWhatATorusLacks) {
  const TriangleMesh mesh = test_bodies::torus(30, 8, 60, 40);
  const double lacking = 2 * pi * pi * 30 * 64 - volume(mesh);
  EXPECT_NEAR(chord_volume(mesh) / lacking, 1, 0.1);
}

// Law: inside out, what a ball lacks is what its hollow has too much.
TEST(Chords, TurnTheirSignWithTheSkin) {
  const TriangleMesh mesh = test_bodies::ellipsoid(20, 20, 20, 30, 30);
  EXPECT_NEAR(chord_volume(test_bodies::inside_out(mesh)), -chord_volume(mesh),
              1e-9 * chord_volume(mesh));
}

TEST(Chords, CutNothingOffABodyOfFlatSides) {
  EXPECT_NEAR(chord_volume(test_bodies::box(60, 30, 20)), 0, 1e-9);
}

}  // namespace
}  // namespace trueblank::intake
