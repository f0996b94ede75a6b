// SPDX-License-Identifier: GPL-3.0-or-later
// Why a lure stands or tips over. A box that floats level is exact here: moving a part of it up or
// down leaves its mass and so all that lies under water as it was.
#include "water/upright.h"

#include <gtest/gtest.h>

#include "geometry/moment_tree.h"
#include "support/bodies.h"
#include "water/back_up.h"

namespace trueblank::water {
namespace {

// A box 100 x 20 x 20 half under water, and a part of it of 4 g.
class UprightBox : public testing::Test {
 protected:
  [[nodiscard]] Floater box_with_centre(const Vec3& centre_mm) const {
    return {.body = &tree_,
            .mass_g = 20,
            .centre_of_mass_mm = centre_mm,
            .water_density_g_cm3 = 1,
            .outside = {}};
  }

  [[nodiscard]] static double stiffness(const Floater& lure) {
    return BackUpSearch(lure).standing(lure).upright_stiffness_g_mm_per_deg;
  }

  static constexpr double part_g_ = 4;
  geometry::MomentTree tree_{test_bodies::closed(test_bodies::box(100, 20, 20))};
};

// Source: Bouguer's metacentre as in Derrett, rev. Barrass, Ship Stability, 1999: KB 5, BM =
// 20^2 / (12 x 10), KG 10 over the floor.
TEST_F(UprightBox, HasItsMetacentreWhereBouguerPutsIt) {
  const Floater lure = box_with_centre({0, 0, 0});
  EXPECT_NEAR(upright(lure, stiffness(lure)).gm_mm, 5 + 400. / 120 - 10, 1e-9);
}

TEST_F(UprightBox, IsAtItsBorderOnceAPartIsSoMuchLower) {
  const Floater lure = box_with_centre({0, 0, 0});
  const UprightMove move = move_upright(lure, upright(lure, stiffness(lure)), part_g_);
  EXPECT_GT(move.lower_mm, 0);
  const double share = part_g_ / lure.mass_g;
  for (const double beyond : {-0.1, 0.1}) {
    const Floater moved = box_with_centre({0, 0, -share * (move.lower_mm + beyond)});
    EXPECT_EQ(stiffness(moved) > 0, beyond > 0);
  }
  EXPECT_NEAR(stiffness(box_with_centre({0, 0, -share * move.lower_mm})), 0, 1e-9);
}

TEST_F(UprightBox, BalancesOnceAPartIsSoMuchFurtherToTheLeft) {
  const Floater lure = box_with_centre({0, 1.5, -6});
  const Upright told = upright(lure, stiffness(lure));
  EXPECT_DOUBLE_EQ(told.aside_g_mm, 30);
  const UprightMove move = move_upright(lure, told, part_g_);
  EXPECT_NEAR(1.5 - part_g_ / lure.mass_g * move.left_mm, 0, 1e-12);
  EXPECT_LT(move.lower_mm, 0);  // it stands already
}

}  // namespace
}  // namespace trueblank::water
