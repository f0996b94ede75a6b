// SPDX-License-Identifier: GPL-3.0-or-later
// A lure in the hand, back up, and let go: a box is exact here, as far as its sides stay wet.
#include "water/back_up.h"

#include <gtest/gtest.h>

#include <cmath>
#include <optional>

#include "water/floating_bodies.h"
#include "water/sphere_grid.h"

namespace trueblank::water {
namespace {

// A box 100 x 20 x 20, half under water unless another mass is given.
OwnedFloater box_with_centre(const Vec3& centre_mm, double mass_g = 20) {
  return floating(test_bodies::closed(test_bodies::box(100, 20, 20)), mass_g, centre_mm);
}

// Source: the wall-sided formula, as in Derrett, rev. Barrass, Ship Stability, 1999: GZ = (GM +
// BM/2 tan^2) sin, here over trims, the weight's lever against it: (GM + BM/2 tan^2 t) tan t is how
// far aft G lies. KB 5, KG 6, BM = 100^2 / (12 x 10). Wherever the hand begins.
TEST(BoxInTheHand, TrimsAsTheWallSidedFormulaSays) {
  for (const double aft_mm : {-6.0, 0.5, 4.0}) {
    const OwnedFloater made = box_with_centre({aft_mm, 0, -4});
    const Floater& lure = made.lure;
    for (const double from_rad : {0.0, -0.3, 0.2}) {
      const BackUpSearch::Standing held = BackUpSearch(lure).standing(lure, from_rad);
      const double t = std::tan(held.trim_rad);
      const double bm = 10000. / 120;
      EXPECT_NEAR((5 + bm - 6 + bm / 2 * t * t) * t, aft_mm, 1e-6);
      EXPECT_TRUE(held.stands);
    }
  }
}

// The pose that it comes to when let go, found from beside it by Newton's method alone.
TEST(BoxInTheHand, IsFoundNearAGuess) {
  const OwnedFloater made = box_with_centre({2, 0.4, -4});
  const Floater& lure = made.lure;
  const BackUpSearch search(lure);
  const BackUp whole = search.let_go(lure);
  ASSERT_TRUE(whole.pose && whole.stands);
  const Vec3 up = whole.pose->up;
  const double offset_mm = whole.pose->waterline_offset_mm.value();
  for (const Vec3& aside : {Vec3(1, 0, 0), Vec3(-1, 0, 0), Vec3(0, 1, 0), Vec3(0.5, -1, 0)}) {
    const Vec3 towards = (aside - up.dot(aside) * up).normalized();
    for (const bool stands : {true, false}) {
      const std::optional<BackUp> found =
          search.near(lure, {turned(up, 2.5 * degree * towards), offset_mm + 0.3, stands});
      ASSERT_TRUE(found && found->pose);
      EXPECT_LT(angle_deg(found->pose->up, up), 1e-7);
      EXPECT_NEAR(found->pose->waterline_offset_mm.value(), offset_mm, 1e-9);
      EXPECT_EQ(found->reserve_g, whole.reserve_g);
      EXPECT_EQ(found->stands, stands);
    }
    EXPECT_FALSE(search.near(lure, {turned(up, 3.5 * degree * towards), offset_mm, true}));
  }
}

TEST(BoxInTheHand, IsNotFoundNearAGuessWhereItTipsOverOrSinks) {
  const BackUpGuess level = {Vec3::UnitZ(), 0, true};
  const OwnedFloater made = box_with_centre({2, 0, -4});
  const BackUpSearch search(made.lure);
  EXPECT_TRUE(search.near(made.lure, level));
  EXPECT_FALSE(search.near(box_with_centre({2, 0, 4}).lure, level));
  EXPECT_FALSE(search.near(box_with_centre({2, 0, -4}, 40).lure, level));
}

}  // namespace
}  // namespace trueblank::water
