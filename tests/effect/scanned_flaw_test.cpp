// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>

#include "effect/effect.h"
#include "effect/proud_bodies.h"
#include "symmetry/patches.h"

namespace trueblank::effect {
namespace {

using geometry::Vec3;

// From the mesh alone, by its mirror image: the cap is found as a patch, and what it does to the
// lure is what the formula that made it says. The mirror image is the nearest skin, not the one
// straight across, and a patch ends where it no longer stands out: hence 2 %.
TEST(ScannedFlaw, DoesWhatTheFormulaThatMadeItSays) {
  const SemiAxes axes = {.a_mm = 80, .b_mm = 10, .c_mm = 12};
  const CapPlace cap = {.x_mm = 10, .z_mm = -2, .radius_mm = 8, .proud_mm = 0.8};
  const WoodDensity cedar = {.left_g_cm3 = 0.37, .right_g_cm3 = 0.37};
  const ProudBody body = ellipsoid_with_cap(axes, cap, 300);
  const geometry::ClosedMesh closed = test_bodies::closed(body.mesh);
  const symmetry::Plane middle;  // y = 0
  const symmetry::DeviationField field =
      symmetry::deviation_field(closed, middle, {}, geometry::serial_for);
  const symmetry::Patches patches =
      symmetry::find_patches(closed, field, {}, {.noise = {.sigma_mm = 0.01, .correlation_mm = 1}});
  ASSERT_EQ(patches.proud.size(), 1U);
  const ProudSkin skin = proud_skin(closed, patches.labels, patches.to_mirror_mm);
  const ProudBody found{.mesh = body.mesh,
                        .sanded_mm = skin.sanded_mm,
                        .patch_of_vertex = skin.patch_of_vertex,
                        .patches = skin.patches};
  const Vec3 low(5, 0, -3);
  const PartEffect by_formula = Afloat(body, 30, low).effect(cedar).patches[0];
  const PartEffect by_mirror = Afloat(found, 30, low).effect(cedar).patches[0];
  EXPECT_NEAR(by_mirror.wood_g, by_formula.wood_g, 0.02 * by_formula.wood_g);
  EXPECT_NEAR(by_mirror.turning_moment_g_mm, by_formula.turning_moment_g_mm,
              0.02 * std::abs(by_formula.turning_moment_g_mm));
  EXPECT_NEAR(by_mirror.list_deg, by_formula.list_deg, 0.02 * std::abs(by_formula.list_deg));
  EXPECT_LT(by_mirror.list_deg, 0);
  EXPECT_NEAR(by_mirror.volume_mm3, patches.proud[0].volume_mm3,
              0.02 * patches.proud[0].volume_mm3);
}

}  // namespace
}  // namespace trueblank::effect
