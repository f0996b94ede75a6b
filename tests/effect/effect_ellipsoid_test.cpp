// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "effect/effect.h"
#include "effect/proud_bodies.h"

namespace trueblank::effect {
namespace {

using geometry::Vec3;

constexpr double degree = std::numbers::pi / 180;
constexpr WoodDensity cedar = {.left_g_cm3 = 0.37, .right_g_cm3 = 0.37};
constexpr SemiAxes lure_like = {.a_mm = 80, .b_mm = 10, .c_mm = 12};
constexpr double mass_g = 30;
const Vec3 low(5, 0, -3);

/// A ball's cap on the right flank under water, some 5 by 6 mm and 0.4 mm proud.
constexpr CapPlace flank_cap = {.x_mm = 10, .z_mm = -2, .radius_mm = 7, .proud_mm = 0.4};

void expect_sum(const PartEffect& sum, const std::vector<PartEffect>& parts) {
  PartEffect added;
  for (const PartEffect& part : parts) {
    added.volume_mm3 += part.volume_mm3;
    added.wet_mm3 += part.wet_mm3;
    added.wood_g += part.wood_g;
    added.turning_moment_g_mm += part.turning_moment_g_mm;
    added.list_deg += part.list_deg;
  }
  EXPECT_NEAR(added.volume_mm3, sum.volume_mm3, 1e-9);
  EXPECT_NEAR(added.wet_mm3, sum.wet_mm3, 1e-9);
  EXPECT_NEAR(added.wood_g, sum.wood_g, 1e-12);
  EXPECT_NEAR(added.turning_moment_g_mm, sum.turning_moment_g_mm, 1e-10);
  EXPECT_NEAR(added.list_deg, sum.list_deg, 1e-10);
}

/// By columns along y, one for each (x, z), between the two formulas.
struct Columns {
  double volume_mm3 = 0;
  double weight_moment_g_mm = 0;
  double lift_moment_g_mm = 0;
};

/// The turning moment of a mass at p is its horizontal lever to the right times cos(tail_down),
/// the lever counted from the waterplane's middle.
Columns columns(const SemiAxes& axes, const CapPlace& cap, const Afloat& lure,
                const Vec3& waterplane_mm) {
  const double list = *lure.pose().list_deg * degree;
  const double trim = lure.pose().tail_down_deg * degree;
  const Vec3 right = std::cos(trim) * Vec3(0, std::cos(list), std::sin(list));
  Columns sums;
  constexpr double step_mm = 0.02;
  const int steps = static_cast<int>(cap.radius_mm / step_mm);
  for (int i = -steps; i <= steps; ++i) {
    for (int k = -steps; k <= steps; ++k) {
      const double x = cap.x_mm + (i + 0.5) * step_mm;
      const double z = cap.z_mm + (k + 0.5) * step_mm;
      const auto from = flank_y_mm(axes, x, z);
      const auto to = cap_y_mm(axes, cap, x, z);
      if (!from || !to || *to <= *from) continue;
      const double mm3 = (*to - *from) * step_mm * step_mm;
      const Vec3 p(x, (*from + *to) / 2, z);
      const double moment = mm3 * 1e-3 * right.dot(p - waterplane_mm);
      sums.volume_mm3 += mm3;
      sums.weight_moment_g_mm += 0.37 * moment;
      if (lure.pose().up.dot(p) < *lure.pose().waterline_offset_mm) {
        sums.lift_moment_g_mm -= moment;
      }
    }
  }
  return sums;
}

// A second way: columns between the two formulas. The mesh's own facets, 0.7 mm at the cap, blur
// its rim, where it is thin.
TEST(CapOnAFlank, TurnsAsItsColumnsDo) {
  for (const double z : {-2.0, 3.0, 5.0}) {
    CapPlace cap = flank_cap;
    cap.z_mm = z;
    const Afloat lure(ellipsoid_with_cap(lure_like, cap, 400), mass_g, low);
    const PartEffect found = lure.effect(cedar).patches[0];
    const auto line = water::waterline_at(lure.lure(), lure.pose().up);
    const Columns judge = columns(lure_like, cap, lure, line.below.waterplane_centroid_mm);
    ASSERT_GT(judge.volume_mm3, 3);
    EXPECT_NEAR(found.volume_mm3, judge.volume_mm3, 0.01 * judge.volume_mm3);
    EXPECT_NEAR(found.weight_moment_g_mm, judge.weight_moment_g_mm,
                0.01 * judge.weight_moment_g_mm);
    EXPECT_NEAR(found.lift_moment_g_mm, judge.lift_moment_g_mm,
                0.01 * judge.weight_moment_g_mm / 0.37);
  }
}

// Solved anew without the cap, the list changes as foretold, and what is missed grows with the
// square of the list: of lists 1 : 2 : 4 it is about 1 : 4 : 16.
TEST(CapOnAFlank, SandedOffTakesItsListAlong) {
  std::vector<double> foretold;
  std::vector<double> missed;
  for (const double proud_mm : {0.1, 0.4}) {
    CapPlace cap = flank_cap;
    cap.proud_mm = proud_mm;
    const Afloat lure(ellipsoid_with_cap(lure_like, cap, 240), mass_g, low);
    const double list_deg = lure.effect(cedar).patches[0].list_deg;
    foretold.push_back(list_deg);
    missed.push_back(std::abs(lure.list_taken_deg(std::array{0}, cedar) - list_deg));
    EXPECT_LT(list_deg, -0.005);
    EXPECT_LT(missed.back(), 0.02 * std::abs(list_deg)) << proud_mm;
  }
  const double grown = foretold[1] / foretold[0];
  EXPECT_GT(grown, 3);
  EXPECT_LT(missed[1] / missed[0], 1.3 * grown * grown);
}

// The same of a lure that already lists and trims much, where trim and list answer to each other.
TEST(CapOnAFlank, TakesItsListAlongFromAListingPoseToo) {
  for (const Vec3& centre : {Vec3(5, 0.5, -3), Vec3(15, -0.6, -3)}) {
    const Afloat lure(ellipsoid_with_cap(lure_like, flank_cap, 240), mass_g, centre);
    EXPECT_GT(std::abs(*lure.pose().list_deg), 5);
    const double list_deg = lure.effect(cedar).patches[0].list_deg;
    EXPECT_NEAR(lure.list_taken_deg({}, cedar), list_deg, 0.04 * std::abs(list_deg));
  }
}

// Under water the lure hangs from its buoyancy: here too the list is solved anew.
TEST(CapOnAFlank, TakesItsListAlongUnderWater) {
  for (const double grams : {45.0, 60.0}) {
    const Afloat lure(ellipsoid_with_cap(lure_like, flank_cap, 240), grams, low);
    ASSERT_FALSE(lure.pose().waterline_offset_mm);
    const PartEffect cap = lure.effect(cedar).patches[0];
    EXPECT_EQ(cap.wet_mm3, cap.volume_mm3);
    EXPECT_NEAR(lure.list_taken_deg({}, cedar), cap.list_deg, 0.02 * std::abs(cap.list_deg));
  }
}

TEST(CapOnAFlank, PatchesAndTheRestMakeTheWhole) {
  const CapPlace other = {.x_mm = -40, .z_mm = 3, .radius_mm = 6, .proud_mm = 0.5};
  ProudBody body = both(ellipsoid_with_cap(lure_like, flank_cap, 120),
                        ellipsoid_with_cap(lure_like, other, 120));
  ASSERT_EQ(body.patches, 2);
  // Half of the second one is in no patch.
  for (std::size_t v = 0; v < body.patch_of_vertex.size(); ++v) {
    const bool fore = body.mesh.positions_mm(0, static_cast<Eigen::Index>(v)) < -40;
    if (body.patch_of_vertex[v] == 1 && fore) body.patch_of_vertex[v] = -1;
  }
  const Afloat lure(body, mass_g, low);
  const std::vector<double> edges = {-90, -50, -41.3, -30, -3, 10.01, 90};
  const Effect effect = lure.effect({.left_g_cm3 = 0.35, .right_g_cm3 = 0.4}, edges);
  ASSERT_EQ(effect.patches.size(), 2U);
  ASSERT_EQ(effect.slices.size(), 6U);
  EXPECT_GT(effect.patches[1].volume_mm3, 1);
  EXPECT_GT(effect.elsewhere.volume_mm3, 1);
  expect_sum(effect.whole, {effect.patches[0], effect.patches[1], effect.elsewhere});
  expect_sum(effect.whole, effect.slices);
  EXPECT_EQ(effect.slices[3].volume_mm3, 0);
}

// Source: the layer's volume is the whole volume before less after, exactly.
TEST(CapOnAFlank, IsAsLargeAsWhatTheBodyLoses) {
  const ProudBody body = ellipsoid_with_cap(lure_like, flank_cap, 120);
  geometry::TriangleMesh sanded = body.mesh;
  sanded.positions_mm = body.sanded_mm;
  const double lost = geometry::signed_volume_mm3(body.mesh, Vec3::Zero()) -
                      geometry::signed_volume_mm3(sanded, Vec3::Zero());
  const Afloat lure(body, mass_g, low);
  EXPECT_NEAR(lure.effect(cedar).whole.volume_mm3, lost, 1e-8);
}

// Law: k times as long in every direction, and k³ as heavy, it lies alike, and moments grow as k⁴.
TEST(CapOnAFlank, ListsAlikeAtEverySize) {
  const ProudBody body = ellipsoid_with_cap(lure_like, flank_cap, 120);
  ProudBody twice = body;
  twice.mesh.positions_mm *= 2;
  twice.sanded_mm *= 2;
  const PartEffect one = Afloat(body, mass_g, low).effect(cedar).whole;
  const PartEffect other = Afloat(twice, 8 * mass_g, 2 * low).effect(cedar).whole;
  EXPECT_NEAR(other.list_deg, one.list_deg, 1e-7 * std::abs(one.list_deg));
  EXPECT_NEAR(other.lift_moment_g_mm, 16 * one.lift_moment_g_mm,
              1e-7 * std::abs(other.lift_moment_g_mm));
  EXPECT_NEAR(other.wood_g, 8 * one.wood_g, 1e-12);
}

// Common practice, no published source: unequal relief cut at the nose adds next to no list, the
// same volume off the flank does.
TEST(CapOnAFlank, ListsManyTimesAsMuchAsTheSameVolumeAtTheNose) {
  const CapPlace nose = {.x_mm = -77.5, .z_mm = -0.8, .radius_mm = 2.6, .proud_mm = 0.9};
  const auto list_per_mm3 = [](const CapPlace& cap) {
    const PartEffect part =
        Afloat(ellipsoid_with_cap(lure_like, cap, 400), mass_g, low).effect(cedar).patches[0];
    EXPECT_GT(part.volume_mm3, 3);
    EXPECT_GT(part.wet_mm3, 0.5 * part.volume_mm3);
    return std::abs(part.list_deg) / part.volume_mm3;
  };
  EXPECT_LT(list_per_mm3(nose), 0.35 * list_per_mm3(flank_cap));
}

// Source: half an ellipsoid's centroid is ⅜·b off the middle; each half of V/2. So halves of m_l
// and m_r turn by ⅜·b·(m_r − m_l), and level, GM·mass resists.
TEST(Halves, TurnTowardsTheHeavierOne) {
  ProudBody body = ellipsoid_with_cap(lure_like, {.radius_mm = 1, .proud_mm = -5}, 240);
  const Afloat lure(body, mass_g, low);
  const double half_cm3 = 2e-3 * std::numbers::pi / 3 * 80 * 10 * 12;
  const WoodDensity wood = {.left_g_cm3 = 0.36, .right_g_cm3 = 0.38};
  const Effect effect = lure.effect(wood);
  ASSERT_TRUE(effect.halves);
  EXPECT_FALSE(lure.effect(cedar).halves);
  const double moment = 0.375 * 10 * 0.02 * half_cm3 * std::cos(lure.pose().tail_down_deg * degree);
  EXPECT_NEAR(effect.halves->turning_moment_g_mm, moment, 1e-3 * moment);
  const double list_deg = moment / *lure.pose().list_stiffness_g_mm_per_deg;
  EXPECT_NEAR(effect.halves->list_deg, list_deg, 1e-3 * list_deg);
  EXPECT_EQ(effect.whole.volume_mm3, 0);
}

TEST(Effect, IsNotToldWhereThereIsNoList) {
  // Source: the steep pose of 2.10's table, 77.9° tail down, still has a list; G further aft stands
  // it on end.
  const ProudBody body = ellipsoid_with_cap(lure_like, flank_cap, 120);
  const Afloat lure(body, mass_g, Vec3(40, 0, -0.2));
  ASSERT_FALSE(lure.pose().list_deg);
  EXPECT_FALSE(effect_of(lure.asymmetry(), lure.lure(), lure.pose(), cedar));
}

}  // namespace
}  // namespace trueblank::effect
