// SPDX-License-Identifier: GPL-3.0-or-later
// What makers say of weights, on rigs of our own: common practice, no published source.
#include <gmock/gmock.h>

#include "rig/materials.h"
#include "tuning/bench_lure.h"
#include "tuning/measure_first.h"
#include "tuning/tables.h"

namespace trueblank::tests {
namespace {

constexpr double tungsten_g_cm3 = 19.3;

// Rig: an ellipsoid of 140 × 28 × 32 mm, one tungsten weight under its middle.
rig::Wishes one_place(rig::Target target) {
  return {.target = target,
          .places = {{.name = "belly",
                      .x_mm = {60, 80},
                      .height_mm = rig::Range{-5, -5},
                      .mass_g = {0, 80},
                      .density_g_cm3 = tungsten_g_cm3}}};
}

std::vector<rig::Wood> woods() {
  return {{.name = "light", .density_g_cm3 = 0.2, .source = "made up"},
          {.name = "middling", .density_g_cm3 = 0.4, .source = "made up"},
          {.name = "heavy", .density_g_cm3 = 0.6, .source = "made up"}};
}

// Common practice, no published source: lighter wood needs more weight to sink.
TEST(TradeFacts, LighterWoodNeedsMoreWeightToSink) {
  const BenchLure lure = ellipsoid_lure(70, 14, 16, 0.4);
  const std::vector<rig::Wood> three = woods();
  const auto rows = tuning::over_woods(lure.workpiece(),
                                       one_place({.state = rig::WantedState::sinks,
                                                  .reserve_g = 2.0,
                                                  .tail_down_deg = 0.0,
                                                  .tail_down_tolerance_deg = 3}),
                                       rig::Tolerances{}, three, geometry::serial_for);
  ASSERT_EQ(rows.size(), 3U);
  for (const tuning::TableRow& row : rows) EXPECT_TRUE(row.met) << row.name;
  EXPECT_GT(rows[0].added_g, rows[1].added_g);
  EXPECT_GT(rows[1].added_g, rows[2].added_g);
  EXPECT_GT(rows[0].ratio_g_per_100g_wood, rows[2].ratio_g_per_100g_wood);
}

// Common practice, no published source: at the same reserve and place heavier wood needs its weight
// placed more carefully. A floater of 6 g reserve: with heavy wood little weight is left to hold it
// up, and each millimetre aside lists it further.
TEST(TradeFacts, HeavierWoodNeedsItsWeightPlacedMoreCarefully) {
  const BenchLure lure = ellipsoid_lure(70, 14, 16, 0.4);
  const std::vector<rig::Wood> three = woods();
  const auto rows = tuning::over_woods(lure.workpiece(),
                                       one_place({.state = rig::WantedState::floats,
                                                  .reserve_g = 6.0,
                                                  .tail_down_deg = 0.0,
                                                  .tail_down_tolerance_deg = 3}),
                                       rig::Tolerances{}, three, geometry::serial_for);
  ASSERT_EQ(rows.size(), 3U);
  for (const tuning::TableRow& row : rows) {
    EXPECT_TRUE(row.met) << row.name;
    ASSERT_TRUE(row.list_per_mm_deg) << row.name;
  }
  EXPECT_LT(*rows[0].list_per_mm_deg, *rows[2].list_per_mm_deg);
}

TEST(MeasureFirst, TheSharesOfAFigureAreOne) {
  const BenchLure lure = ellipsoid_lure(70, 14, 16, 0.4);
  const auto found = lure.find(one_place({.state = rig::WantedState::floats,
                                          .reserve_g = 6.0,
                                          .tail_down_deg = 2.0,
                                          .tail_down_tolerance_deg = 1}));
  ASSERT_TRUE(found.plan.met);
  const rig::Assembly laid = rig::assemble(lure.body, lure.whole, found.plan.rig, lure.whole);
  const tuning::VarianceShares shares =
      tuning::variance_shares(&lure.tree, laid, rig::Tolerances{},
                              found.plan.balance.poses[static_cast<std::size_t>(found.plan.pose)]);
  double tail = 0;
  double list = 0;
  double reserve = 0;
  double density = 0;
  for (const auto& one : shares.of) {
    tail += one.tail_down;
    list += one.list;
    reserve += one.reserve;
    if (one.what == "the wood's density") density = one.reserve;
  }
  EXPECT_NEAR(tail, 1, 1e-9);
  EXPECT_NEAR(list, 1, 1e-9);
  EXPECT_NEAR(reserve, 1, 1e-9);
  // Of the reserve: 3 % of the undrilled wood that is left, 1.5 % of the volume's net lift, 0.1 g
  // of lead net of wood (closed form).
  const double volume_g = lure.whole.volume_mm3 / 1000;
  const double weight_net = 1 - 0.4 / tungsten_g_cm3;
  const double weight_cm3 = found.plan.added_g / tungsten_g_cm3;
  const double by_wood = 0.03 * 0.4 * (volume_g - weight_cm3);
  const double by_size = 0.005 * 3 * volume_g * (1 - 0.4);
  const double by_mass = 0.1 * weight_net;
  const double all = by_wood * by_wood + by_size * by_size + by_mass * by_mass;
  EXPECT_NEAR(density, by_wood * by_wood / all, 2e-3);
}

}  // namespace
}  // namespace trueblank::tests
