// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "geometry/moments.h"
#include "intake/mend.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::without;

double volume(const TriangleMesh& mesh) { return geometry::signed_volume_mm3(mesh, Vec3::Zero()); }

// What is wrapped is the body as mended without; a wrap's own tests hold what it does.
TEST(MendingByWrap, TheSkinIsPutOnAnew) {
  const TriangleMesh whole = test_bodies::ellipsoid(40, 12, 15, 60, 48);
  const TriangleMesh open =
      without(whole, [](const Vec3& p) { return p.z() < -13 && std::abs(p.x()) < 20; });
  const MendedMesh filled = mend(open, Mend::holes, "lure.stl");
  const MendedMesh out = mend(open, Mend::wrap, "lure.stl");
  ASSERT_EQ(out.mended.back().what, "wrapped");
  ASSERT_TRUE(out.wrapped.has_value());
  EXPECT_NEAR(volume(out.mesh), volume(filled.mesh), out.mended.back().bound_mm3);
  EXPECT_NEAR(volume(out.mesh), volume(whole), out.mended.back().bound_mm3 + out.made_up_bound_mm3);
  EXPECT_NEAR(out.made_up_share, filled.made_up_share, 0.01);
  EXPECT_GT(std::ranges::count(out.facet_measured, 0), 10);
  EXPECT_TRUE(geometry::closed_mesh(out.mesh).has_value());
}

// A plate a hundredth of a millimetre thin is less than what a wrap leaves on it.
TEST(MendingByWrap, IsNotTakenWhereItWouldChangeTheBody) {
  const TriangleMesh thin = test_bodies::box(100, 40, 0.01);
  const MendedMesh out = mend(thin, Mend::wrap, "lure.stl");
  EXPECT_FALSE(out.wrapped.has_value());
  EXPECT_EQ(out.mesh.facets, thin.facets);
  ASSERT_EQ(out.warnings.size(), 1U);
  EXPECT_EQ(out.warnings[0].substr(0, 12), "Not wrapped:");
}

}  // namespace
}  // namespace trueblank::intake
