// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/tight_line.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "water/rest_poses.h"

namespace trueblank::water {
namespace {

/// A box of 100 × 20 × 30 mm (60 cm³) about the origin in water of 1 g/cm³.
struct Boxed {
  geometry::ClosedMesh body = test_bodies::closed(test_bodies::box(100, 20, 30));
  geometry::MomentTree tree{body};

  [[nodiscard]] Floater with(double mass_g, const Vec3& centre_mm) const {
    Floater lure;
    lure.body = &tree;
    lure.mass_g = mass_g;
    lure.centre_of_mass_mm = centre_mm;
    return lure;
  }
};

/// Height of all weight less all buoyancy, seen from the eye, which stays where it is.
double energy_g_mm(const Floater& lure, const Vec3& eye_mm, const Vec3& up) {
  return lure.mass_g * (lure.centre_of_mass_mm - eye_mm).dot(up) -
         lure.displacement_full_g() * (lure.centre_of_full_buoyancy_mm() - eye_mm).dot(up);
}

// Closed form: 70 g at (4, 0, -5), 60 g of water at the origin: the 10 g left act at
// C = 70·(4, 0, -5)/10 = (28, 0, -35). From an eye at the nose (-50, 0, 0) that is (78, 0, -35):
// the lure hangs nose up by atan(78/35).
TEST(SinkerOnATightLine, HangsWithItsEyeAboveItsWeightInWater) {
  const Boxed box;
  const auto line = on_tight_line(box.with(70, {4, 0, -5}), {-50, 0, 0});
  ASSERT_TRUE(line.has_value());
  const double angle_deg = std::atan2(78, 35) * 180 / std::numbers::pi;
  EXPECT_NEAR(line->tail_down_deg, angle_deg, 1e-10);
  EXPECT_NEAR(line->list_deg.value_or(99), 0, 1e-10);
  EXPECT_NEAR(line->tension_g, 10, 1e-10);
  EXPECT_FALSE(line->holds_down);
  EXPECT_NEAR(line->stiffness_g_mm_per_deg, 10 * std::hypot(78.0, 35.0) * std::numbers::pi / 180,
              1e-9);
}

// Closed form: 40 g at (0, 0, -6) in a body that displaces 60 g: the 20 g of lift act at
// C = (40·(0, 0, -6))/(-20) = (0, 0, 12). Tied at the belly below it, it stands upright; tied at
// the nose, the eye is lowest and the nose points down.
TEST(FloaterHeldUnder, PullsUpFromItsEye) {
  const Boxed box;
  const auto belly = on_tight_line(box.with(40, {0, 0, -6}), {0, 0, -15});
  ASSERT_TRUE(belly.has_value());
  EXPECT_TRUE(belly->holds_down);
  EXPECT_NEAR(belly->tension_g, 20, 1e-10);
  EXPECT_NEAR((belly->up - Vec3::UnitZ()).norm(), 0, 1e-12);
  const auto nose = on_tight_line(box.with(40, {0, 0, -6}), {-50, 0, 0});
  ASSERT_TRUE(nose.has_value());
  EXPECT_NEAR(nose->tail_down_deg, -std::atan2(50, 12) * 180 / std::numbers::pi, 1e-10);
}

TEST(TightLine, HoldsTheLureInTheDirectionOfLeastEnergy) {
  const Boxed box;
  for (const double mass_g : {35.0, 59.0, 60.0, 61.0, 90.0}) {
    const Floater lure = box.with(mass_g, {7, 1.5, -4});
    const Vec3 eye_mm(-52, 0, 3);
    const auto line = on_tight_line(lure, eye_mm);
    ASSERT_TRUE(line.has_value());
    const double least = energy_g_mm(lure, eye_mm, line->up);
    for (unsigned seed = 1; seed < 50; ++seed) {
      const Vec3 other = test_bodies::random_turn(seed) * Vec3::UnitX();
      EXPECT_GT(energy_g_mm(lure, eye_mm, other), least);
    }
  }
}

// With nothing to pull, the line is slack and the eye does not matter.
TEST(LureThatHovers, LiesOnALineAsItDoesSetFree) {
  const Boxed box;
  const Floater lure = box.with(60, {3, 0, -4});
  const auto line = on_tight_line(lure, {-50, 0, 8});
  ASSERT_TRUE(line.has_value());
  EXPECT_NEAR((line->up - Vec3(-3, 0, 4) / 5).norm(), 0, 1e-9);
  EXPECT_NEAR(line->tension_g, 0, 1e-9);
}

TEST(LineTiedAtTheWeightInWater, HoldsTheLureInNoDirection) {
  const Boxed box;
  EXPECT_FALSE(on_tight_line(box.with(70, {4, 0, -5}), {28, 0, -35}).has_value());
}

// A hook's weight and buoyancy act at its eye: tied at the hook's own eye they do not matter.
TEST(HookAtTheLinesEye, DoesNotTurnTheLure) {
  const Boxed box;
  const Vec3 eye_mm(-50, 0, 0);
  const Floater bare = box.with(70, {4, 0, -5});
  Floater hooked = bare;
  hooked.mass_g = 84;
  hooked.centre_of_mass_mm = (70 * bare.centre_of_mass_mm + 14 * eye_mm) / 84;
  hooked.outside.push_back(
      {.name = "hook", .at_mm = eye_mm, .volume_mm3 = 14 / 7.85e-3, .below_mm = 40});
  const auto with = on_tight_line(hooked, eye_mm);
  const auto without = on_tight_line(bare, eye_mm);
  ASSERT_TRUE(with && without);
  EXPECT_NEAR((with->up - without->up).norm(), 0, 1e-12);
  EXPECT_NEAR(with->tension_g - without->tension_g, 14 * (1 - 1 / 7.85), 1e-9);
}

}  // namespace
}  // namespace trueblank::water
