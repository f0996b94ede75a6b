// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "effect/proud_bodies.h"

namespace trueblank::effect {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

Effect with_lists(double pose_list_deg, const std::vector<double>& lists_deg) {
  Effect effect;
  effect.pose_list_deg = pose_list_deg;
  for (const double list_deg : lists_deg) {
    effect.patches.push_back({.wood_g = 0.1, .list_deg = list_deg});
  }
  return effect;
}

std::vector<int> order(const std::vector<SandingStep>& steps) {
  std::vector<int> patches;
  patches.reserve(steps.size());
  for (const SandingStep& step : steps) patches.push_back(step.patch);
  return patches;
}

TEST(SandingPlan, TellsWhatListRemainsAfterEachOfTheLargest) {
  const SandingPlan plan = sanding_plan(with_lists(-1.5, {-0.05, -1.0, 0.4, -0.85}));
  EXPECT_THAT(order(plan.largest_first), ElementsAre(1, 3, 2, 0));
  EXPECT_NEAR(plan.largest_first[0].list_after_deg, -0.5, 1e-12);
  EXPECT_NEAR(plan.largest_first[1].list_after_deg, 0.35, 1e-12);
  EXPECT_NEAR(plan.largest_first[2].list_after_deg, -0.05, 1e-12);
  EXPECT_NEAR(plan.largest_first[3].list_after_deg, 0, 1e-12);
  EXPECT_THAT(plan.may_be_left, ElementsAre(0));
}

TEST(SandingPlan, ToLevelLeavesWhatHoldsAgainstTheList) {
  // A weight lists the lure by +1; the second patch holds against it.
  const SandingPlan plan = sanding_plan(with_lists(1.0, {0.8, -0.7, 0.15}));
  EXPECT_THAT(order(plan.to_level), ElementsAre(0, 2));
  EXPECT_NEAR(plan.to_level.back().list_after_deg, 0.05, 1e-12);
}

TEST(SandingPlan, ToLevelEndsWhereNoOneSeesTheList) {
  const SandingPlan plan = sanding_plan(with_lists(0.85, {0.05, 0.8}));
  EXPECT_THAT(order(plan.to_level), ElementsAre(1));
  EXPECT_EQ(plan.to_level[0].share, 1);
}

TEST(SandingPlan, ToLevelTakesNoMoreOfAPatchThanLevels) {
  const SandingPlan plan = sanding_plan(with_lists(-0.6, {-0.2, -0.8, 0.3}));
  ASSERT_THAT(order(plan.to_level), ElementsAre(1));
  EXPECT_NEAR(plan.to_level[0].share, 0.75, 1e-12);
  EXPECT_NEAR(plan.to_level[0].wood_g, 0.075, 1e-12);
  EXPECT_NEAR(plan.to_level[0].list_after_deg, 0, 1e-12);
}

TEST(SandingPlan, ToLevelAsksForNothingOfALevelLure) {
  EXPECT_THAT(sanding_plan(with_lists(0, {0.5, -0.5})).to_level, IsEmpty());
  EXPECT_THAT(sanding_plan(with_lists(0.3, {})).to_level, IsEmpty());
  EXPECT_THAT(sanding_plan(with_lists(0.09, {0.09})).to_level, IsEmpty());
}

// Solved anew: step by step the lure lies as the plan foretold, in the end level. So its mass and
// its centre are those of a true lure and of the caps.
TEST(SandingPlan, HoldsWhenTheWaterIsSolvedAnew) {
  const SemiAxes axes = {.a_mm = 80, .b_mm = 10, .c_mm = 12};
  const CapPlace fore = {.x_mm = -35, .z_mm = -2, .radius_mm = 6, .proud_mm = 0.4};
  const CapPlace aft = {.x_mm = 20, .z_mm = -2, .radius_mm = 7, .proud_mm = 0.6};
  const WoodDensity cedar = {.left_g_cm3 = 0.37, .right_g_cm3 = 0.37};
  const ProudBody body =
      both(ellipsoid_with_cap(axes, fore, 160), ellipsoid_with_cap(axes, aft, 160));
  const SkinLayer caps =
      skin_layers(test_bodies::closed(body.mesh), body.sanded_mm, {.wood = cedar}).whole;
  const double true_g = 30;
  const geometry::Vec3 true_moment = true_g * geometry::Vec3(5, 0, -3);
  const double mass_g = true_g + caps.wood_g;
  const Afloat lure(body, mass_g, (true_moment + caps.wood_moment_g_mm) / mass_g);
  const SandingPlan plan = sanding_plan(lure.effect(cedar));
  ASSERT_THAT(order(plan.largest_first), ElementsAre(1, 0));
  const double before = plan.list_before_deg;
  EXPECT_LT(before, -0.03);
  const double within = 0.02 * std::abs(before);
  EXPECT_NEAR(before - lure.list_taken_deg(std::array{1}, cedar),
              plan.largest_first[0].list_after_deg, within);
  EXPECT_NEAR(before - lure.list_taken_deg({}, cedar), 0, 1e-6);
  EXPECT_NEAR(plan.largest_first[1].list_after_deg, 0, within);
}

TEST(ProudSkin, MovesProudPatchesAlone) {
  const geometry::ClosedMesh box = test_bodies::closed(test_bodies::box(2, 2, 2));
  const std::vector<int> labels = {0, 2, -1, 1, 0, -2, 2, 0};
  const Eigen::Matrix3Xd to_mirror = Eigen::Matrix3Xd::Constant(3, 8, 0.25);
  const ProudSkin skin = proud_skin(box, labels, to_mirror);
  EXPECT_EQ(skin.patches, 2);
  EXPECT_THAT(skin.patch_of_vertex, ElementsAre(-1, 1, -1, 0, -1, -1, 1, -1));
  for (int v = 0; v < 8; ++v) {
    const double moved = (skin.sanded_mm.col(v) - box.positions_mm().col(v)).sum();
    EXPECT_EQ(moved, labels[static_cast<std::size_t>(v)] > 0 ? 0.75 : 0);
  }
}

TEST(SliceEdges, LieHalfwayBetweenStations) {
  EXPECT_THAT(slice_edges_mm(std::vector<double>{10, 20, 40}, 55), ElementsAre(0, 15, 30, 55));
  EXPECT_THAT(slice_edges_mm(std::vector<double>{}, 55), IsEmpty());
}

}  // namespace
}  // namespace trueblank::effect
