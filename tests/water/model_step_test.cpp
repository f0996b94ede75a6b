// SPDX-License-Identifier: GPL-3.0-or-later
// Steps in quadratic models, held against trial of every step: definitions, no outside source.
#include "water/model_step.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <vector>

#include "water/random_numbers.h"

namespace trueblank::water {
namespace {

constexpr double radius_rad = 0.3;

double cost_g_mm(const QuadraticModel& m, double soft_rad, double stiff_rad) {
  return m.slope_soft * soft_rad + m.slope_stiff * stiff_rad +
         (m.curvature_soft * soft_rad * soft_rad + m.curvature_stiff * stiff_rad * stiff_rad) / 2;
}

// Bowls, saddles and domes, steep and nearly level.
std::vector<QuadraticModel> drawn_models() {
  std::vector<QuadraticModel> models;
  for (std::uint32_t i = 0; i < 300; ++i) {
    const std::array<double, 2> slopes = normal_pair(7, i, 0);
    const std::array<double, 2> bends = normal_pair(7, i, 1);
    const double steep = std::pow(10.0, static_cast<double>(i % 5) - 3);
    models.push_back({steep * slopes[0], steep * slopes[1], std::min(bends[0], bends[1]),
                      std::max(bends[0], bends[1])});
  }
  return models;
}

// The least cost of places all over the disc.
double least_tried(const QuadraticModel& model) {
  double least = 0;
  for (int r = 1; r <= 40; ++r) {
    for (int i = 0; i < 360; ++i) {
      const double round = i * std::numbers::pi / 180;
      const double reach = radius_rad * r / 40;
      least = std::min(least, cost_g_mm(model, reach * std::cos(round), reach * std::sin(round)));
    }
  }
  return least;
}

void expect_own_cost(const QuadraticModel& model, const ModelStep& step) {
  const double cost = cost_g_mm(model, step.soft_rad, step.stiff_rad);
  EXPECT_NEAR(step.cost_g_mm(), cost, 1e-14 * (1 + std::abs(cost)));
  EXPECT_LE(step.length_rad(), radius_rad * (1 + 1e-9));
}

void expect_level_at(const QuadraticModel& model, const ModelStep& step) {
  EXPECT_NEAR(model.slope_soft + model.curvature_soft * step.soft_rad, 0, 1e-13);
  EXPECT_NEAR(model.slope_stiff + model.curvature_stiff * step.stiff_rad, 0, 1e-13);
}

TEST(StepDown, IsTheLeastOfAllNoLonger) {
  int whole = 0;
  for (const QuadraticModel& model : drawn_models()) {
    SCOPED_TRACE(::testing::Message() << model.slope_soft << " " << model.slope_stiff << " "
                                      << model.curvature_soft << " " << model.curvature_stiff);
    const ModelStep step = step_down(model, radius_rad);
    expect_own_cost(model, step);
    const double least = least_tried(model);
    EXPECT_LE(step.cost_g_mm(), least + 1e-9 * std::abs(least));
    if (step.whole) {
      ++whole;
      EXPECT_GT(model.curvature_soft, 0);
      expect_level_at(model, step);
    } else {
      EXPECT_NEAR(step.length_rad(), radius_rad, 1e-9);
    }
  }
  EXPECT_GT(whole, 30);
  EXPECT_LT(whole, 200);
}

// Level along the soft direction, or all but level: nothing says to which side it falls.
TEST(StepDown, OffARidgeGoesToTheRimOnOneSide) {
  for (const double slope_stiff : {0.0, 0.02, -0.05, 0.3, -3.0}) {
    for (const double slope_soft : {0.0, 1e-18, -1e-18}) {
      const QuadraticModel model{slope_soft, slope_stiff, -0.5, 0.8};
      const ModelStep step = step_down(model, radius_rad);
      expect_own_cost(model, step);
      EXPECT_NEAR(step.length_rad(), radius_rad, 1e-9) << slope_stiff;
      EXPECT_LE(step.cost_g_mm(), least_tried(model) + 1e-12) << slope_stiff;
      EXPECT_LE(slope_soft * step.soft_rad, 0) << slope_stiff;
      EXPECT_FALSE(step.whole);
    }
  }
}

TEST(StepDown, StaysWhereItIsLevelAndBentUp) {
  const ModelStep step = step_down({0, 0, 0.2, 0.7}, radius_rad);
  EXPECT_TRUE(step.whole);
  EXPECT_EQ(step.length_rad(), 0);
  EXPECT_EQ(step.cost_g_mm(), 0);
}

TEST(StepToPass, ClimbsAlongTheSoftDirectionAndFallsAlongTheOther) {
  int whole = 0;
  for (const QuadraticModel& model : drawn_models()) {
    SCOPED_TRACE(::testing::Message() << model.slope_soft << " " << model.slope_stiff << " "
                                      << model.curvature_soft << " " << model.curvature_stiff);
    const ModelStep step = step_to_pass(model, radius_rad);
    expect_own_cost(model, step);
    EXPECT_GT(model.slope_soft * step.soft_rad, 0);
    EXPECT_LT(model.slope_stiff * step.stiff_rad, 0);
    if (step.whole) {
      ++whole;
      EXPECT_LT(model.curvature_soft, 0);
      EXPECT_GT(model.curvature_stiff, 0);
      expect_level_at(model, step);
    } else {
      EXPECT_NEAR(step.length_rad(), radius_rad, 1e-12);
    }
  }
  EXPECT_GT(whole, 30);
  EXPECT_LT(whole, 200);
}

TEST(StepToPass, IsNoneAtThePass) {
  const ModelStep step = step_to_pass({0, 0, -0.2, 0.7}, radius_rad);
  EXPECT_TRUE(step.whole);
  EXPECT_EQ(step.length_rad(), 0);
}

// What a step is worth says how far its model is to be trusted, whatever the two costs' signs.
TEST(ModelStep, ScaleAddsWhatTheTwoCostsAreWorth) {
  const ModelStep step = step_to_pass({0.1, -0.1, -2, 4}, radius_rad);
  EXPECT_DOUBLE_EQ(step.soft_cost_g_mm, 0.0025);
  EXPECT_DOUBLE_EQ(step.stiff_cost_g_mm, -0.00125);
  EXPECT_DOUBLE_EQ(step.cost_g_mm(), 0.00125);
  EXPECT_DOUBLE_EQ(step.scale_g_mm(), 0.00375);
}

}  // namespace
}  // namespace trueblank::water
