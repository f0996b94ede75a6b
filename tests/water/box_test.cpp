// SPDX-License-Identifier: GPL-3.0-or-later
// Boxes and upright-walled bodies: GM = KB + BM − KG with BM = I/V (Bouguer, Traité du navire,
// 1746) and the wall-sided formula GZ = sin φ (GM + ½·BM·tan²φ), loll at tan²φ = −2·GM/BM (Derrett,
// rev. Barrass, Ship Stability for Masters and Mates, 5th ed., 1999, pp. 130 and 228-229). The
// worked examples are in metres and tonnes; here a metre is a millimetre and a tonne a milligram,
// which leaves lengths of GM and GZ as they are.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

// A box of length × breadth × depth at a draught, its centre of mass KG above its floor.
OwnedFloater box(double length, double breadth, double depth, double draught, double KG,
                 double density = 1) {
  OwnedFloater made = floating(test_bodies::closed(test_bodies::box(length, breadth, depth)),
                               length * breadth * draught * density * 1e-3, {0, 0, KG - depth / 2});
  made.lure.water_density_g_cm3 = density;
  return made;
}

double gm_roll(const Floater& lure) {
  return waterline_at(lure, Vec3::UnitZ()).hessian_g_mm(1, 1) / lure.mass_g;
}

// The righting arm at a list: the energy's slope over the list, per mass.
double righting_arm(const Floater& lure, double list_deg) {
  const Vec3 up = up_at_list(list_deg);
  const Vec3 towards(0, -std::cos(list_deg * degree), -std::sin(list_deg * degree));
  return waterline_at(lure, up).gradient_g_mm.dot(towards) / lure.mass_g;
}

// Source: p. 130, example 2: box 65×12×8, draught 4, KG 4, density 1.025: W 3198 t, BM 3, GM 1; at
// 25° GZ 0.560461, 1792.36 t·m (exact wall-sided; the book's page prints 0.56 and 1790.9). At 5°
// the wall-sided formula gives 0.088156. Tolerance: the digits given.
TEST(BoxBarge, HasTheMetacentreAndTheArmOfTheTextbook) {
  const OwnedFloater made = box(65, 12, 8, 4, 4, 1.025);
  EXPECT_NEAR(made.lure.mass_g, 3.198, 1e-12);
  EXPECT_NEAR(gm_roll(made.lure), 1, 1e-12);
  EXPECT_NEAR(righting_arm(made.lure, 5), 0.088156, 1e-6);
  EXPECT_NEAR(righting_arm(made.lure, 25), 0.560461, 1e-6);
  EXPECT_NEAR(righting_arm(made.lure, 25) * made.lure.mass_g, 1.79236, 1e-5);
}

// Source: exercise 15.5 (solution page): box 55×7.5×6, draught 4, KG 2.7: GM 0.471875, BM 1.171875,
// GZ at 24° 0.239171.
TEST(BoxBarge, HasTheArmOfTheExercise) {
  const OwnedFloater made = box(55, 7.5, 6, 4, 2.7);
  EXPECT_NEAR(gm_roll(made.lure), 0.471875, 1e-12);
  EXPECT_NEAR(righting_arm(made.lure, 24), 0.239171, 1e-6);
}

// Source: p. 111: the least KM of a box is B/√6, at draught B/√6.
TEST(BoxBarge, HasItsLeastMetacentricHeightAtBreadthOverRootSix) {
  const double breadth = 12;
  const double best = breadth / std::sqrt(6.0);
  const auto KM = [&](double draught) { return gm_roll(box(90, breadth, 11, draught, 0).lure); };
  EXPECT_NEAR(KM(best), best, 1e-12);
  EXPECT_GT(KM(best * 0.99), KM(best));
  EXPECT_GT(KM(best * 1.01), KM(best));
}

// Source: textbook blocks, each recomputed from GM = KB + BM − KG: 4×2×1, draught 0.6: 0.35556;
// 5×3×1.2, draught 0.8: 0.7375; cylinder D 3, h 2, s 0.7: 0.1017; D 0.8, L 1, s 0.65: −0.113462
// (printed −0.114, with BM cut off at three digits). 0.30×0.30×0.60 m of 318 N (g 9.81): sides
// upright −0.0183, on edge 0.0271.
TEST(TextbookBlocks, HaveThePrintedMetacentricHeights) {
  EXPECT_NEAR(gm_roll(box(4, 2, 1, 0.6, 0.5).lure), 0.35556, 5e-6);
  EXPECT_NEAR(gm_roll(box(5, 3, 1.2, 0.8, 0.6).lure), 0.7375, 1e-12);
  const auto cylinder = [](double diameter, double height, double gravity) {
    const std::vector<Eigen::Vector2d> outline = {{diameter / 2, 0}, {diameter / 2, height}};
    return uniform(test_bodies::closed(test_bodies::turned(outline, 720)), gravity);
  };
  EXPECT_NEAR(gm_roll(cylinder(3, 2, 0.7).lure), 0.1017, 1e-4);
  EXPECT_NEAR(gm_roll(cylinder(0.8, 1, 0.65).lure), -0.113462, 1e-5);
  const double gravity = 318 / 9.81 / (0.30 * 0.30 * 0.60 * 1000);
  const OwnedFloater block =
      uniform(test_bodies::closed(test_bodies::box(0.60, 0.30, 0.30)), gravity);
  EXPECT_NEAR(gm_roll(block.lure), -0.0183, 5e-5);
  const Vec3 on_edge = up_at_list(45);
  const Vec3 towards(0, -std::cos(45 * degree), -std::sin(45 * degree));
  const Waterline edge = waterline_at(block.lure, on_edge);
  EXPECT_NEAR(towards.dot(edge.hessian_g_mm * towards) / block.lure.mass_g, 0.0271, 5e-5);
}

// Source: pp. 228-229 and solution pages: BM 3.84375, GM −0.83 lolls at 33.3116°; box of breadth 12
// at draught 4 that lolls at 25° has GM −0.326164. Tolerance: the digits given.
TEST(Loll, LiesAtTheAngleOfTheFormulaToEitherSide) {
  const double draught = 10;
  const double breadth = std::sqrt(12 * draught * 3.84375);
  const OwnedFloater wide = box(250, breadth, 20, draught, draught / 2 + 3.84375 + 0.83);
  const OwnedFloater narrow = box(120, 12, 8, 4, 2 + 3 + 0.326164);
  for (const auto& [made, list, tolerance] :
       {std::tuple{&wide, 33.3116, 5e-5}, std::tuple{&narrow, 25.0, 5e-5}}) {
    const Balance found = balance(made->lure);
    ASSERT_GE(found.poses.size(), 2U) << described(found);
    const auto lolls = [&, want = list, within = tolerance](double sign) {
      return std::any_of(found.poses.begin(), found.poses.end(), [&](const RestPose& pose) {
        return pose.list_deg && std::abs(*pose.list_deg - sign * want) < within;
      });
    };
    EXPECT_TRUE(lolls(1)) << described(found);
    EXPECT_TRUE(lolls(-1)) << described(found);
  }
}

}  // namespace
}  // namespace trueblank::water
