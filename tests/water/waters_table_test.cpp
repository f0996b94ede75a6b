// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/waters_table.h"

#include <gtest/gtest.h>

#include "support/bodies.h"

namespace trueblank::water {
namespace {

/// A box of 100 × 20 × 50 mm: 100 cm³, so that its mass in g is a hundred densities.
struct Boxed {
  geometry::ClosedMesh body = test_bodies::closed(test_bodies::box(100, 20, 50));
  geometry::MomentTree tree{body};

  [[nodiscard]] Floater with(double mass_g) const {
    Floater lure;
    lure.body = &tree;
    lure.mass_g = mass_g;
    lure.centre_of_mass_mm = {0, 0, -4};
    lure.water_density_g_cm3 = 0.9991016;
    return lure;
  }
};

// Source: the EOS-80 polynomial (Fofonoff & Millard 1983) at 4 to 28 °C, kg/m³.
TEST(WatersTable, HoldsTheReserveInFreshAndSeaWaterFromCold) {
  const Boxed box;
  const WatersTable table = waters_table(box.with(101));
  constexpr double density_kg_m3[] = {999.9750,  999.7021,  999.1016,  998.2063,  996.2371,
                                      1027.7863, 1026.9524, 1025.9728, 1024.7630, 1022.3968};
  constexpr double temperatures_c[] = {4, 10, 15, 20, 28};
  ASSERT_EQ(table.waters.size(), 10U);
  for (std::size_t i = 0; i < 10; ++i) {
    const InWater& water = table.waters[i];
    EXPECT_EQ(water.salinity, i < 5 ? 0 : 35);
    EXPECT_EQ(water.temperature_c, temperatures_c[i % 5]);
    EXPECT_NEAR(water.density_g_cm3, density_kg_m3[i] / 1000, 6e-8);
    EXPECT_NEAR(water.reserve_g, density_kg_m3[i] / 10 - 101, 6e-6);
  }
  // It suspends where it lacks or has no more than 1.01 g: in fresh water at 4 °C (1.0025 g), not
  // at 10 °C (1.0298 g), and in no sea water (at least 1.24 g in reserve).
  EXPECT_EQ(table.waters[0].state, State::suspends);
  EXPECT_EQ(table.waters[1].state, State::sinks);
  EXPECT_EQ(table.waters[4].state, State::sinks);
  EXPECT_EQ(table.waters[9].state, State::floats);
  EXPECT_TRUE(table.floats_in_sea_only);
  EXPECT_FALSE(table.floats_in_all);
  EXPECT_FALSE(table.sinks_in_all);
  EXPECT_TRUE(table.flips.empty());
  EXPECT_NEAR(table.hovers_in_g_cm3, 1.01, 1e-12);
}

// Source: as above; the water's density changes by 0.2 kg/m³ a degree at 20 °C, so that four
// decimals give the temperature to 5e-4 °C.
TEST(LureAsHeavyAsFreshWaterAtTwentyDegrees, FlipsThereAndFloatsInAllSeaWater) {
  const Boxed box;
  const WatersTable table = waters_table(box.with(99.82063));
  ASSERT_EQ(table.flips.size(), 1U);
  EXPECT_EQ(table.flips.front().salinity, 0);
  EXPECT_NEAR(table.flips.front().temperature_c, 20, 5e-4);
  EXPECT_FALSE(table.floats_in_all);
  EXPECT_FALSE(table.floats_in_sea_only);
  EXPECT_GT(table.waters[2].reserve_g, 0);
  EXPECT_LT(table.waters[4].reserve_g, 0);
}

TEST(LureAsHeavyAsSeaWaterAtFifteenDegrees, FlipsThereAndSinksInAllFreshWater) {
  const Boxed box;
  const WatersTable table = waters_table(box.with(102.59728));
  ASSERT_EQ(table.flips.size(), 1U);
  EXPECT_EQ(table.flips.front().salinity, 35);
  EXPECT_NEAR(table.flips.front().temperature_c, 15, 5e-4);
}

TEST(LightOrHeavyLure, FlipsInNoWater) {
  const Boxed box;
  const WatersTable light = waters_table(box.with(80));
  EXPECT_TRUE(light.floats_in_all);
  EXPECT_TRUE(light.flips.empty());
  const WatersTable heavy = waters_table(box.with(110));
  EXPECT_TRUE(heavy.sinks_in_all);
  EXPECT_TRUE(heavy.flips.empty());
}

TEST(Reserve, AtTheFlipIsNil) {
  const Boxed box;
  const Floater lure = box.with(99.9);
  const WatersTable table = waters_table(lure);
  ASSERT_EQ(table.flips.size(), 1U);
  const double density = rig::water_at(0, table.flips.front().temperature_c).density_g_cm3;
  const Floater there = in_water(lure, density);
  EXPECT_NEAR(there.displacement_full_g() - there.mass_g, 0, 1e-10);
}

// Lead added as it says makes the lure hover, whichever way it is counted.
TEST(MetalToHover, MakesAFloaterHoverInWoodAndOutside) {
  const geometry::ClosedMesh body = test_bodies::closed(test_bodies::box(100, 20, 50));
  const geometry::MomentTree tree(body);
  const geometry::Moments whole = geometry::moments(body);
  rig::Rig parts{.wood_density_g_cm3 = 0.37};
  parts.ballasts.push_back({.mass_g = 20, .density_g_cm3 = 11.34});
  parts.water = rig::water_at(0, 15);
  const Floater lure = floater(tree, rig::rigged(body, whole, parts));
  const ToHover lead = metal_to_hover(lure, 0.37, 11.34);
  EXPECT_TRUE(lead.add);
  EXPECT_LT(lead.net_g, lead.in_wood_g);
  EXPECT_LT(lead.in_wood_g, lead.outside_g);

  rig::Rig drilled = parts;
  drilled.ballasts.push_back(
      {.at_mm = {9, 0, 0}, .mass_g = lead.in_wood_g, .density_g_cm3 = 11.34});
  const rig::RiggedLure heavy = rig::rigged(body, whole, drilled);
  EXPECT_NEAR(heavy.mass_g, lure.displacement_full_g(), 1e-9);

  Floater wound = lure;
  wound.mass_g += lead.outside_g;
  wound.outside.push_back({.volume_mm3 = lead.outside_g / 11.34e-3, .below_mm = 1, .above_mm = 1});
  EXPECT_NEAR(wound.mass_g, wound.displacement_full_g(), 1e-9);
}

TEST(MetalToHover, TakesLeadOffASinker) {
  const Boxed box;
  const Floater lure = box.with(110);
  const ToHover lead = metal_to_hover(lure, 0.4, 11.34);
  EXPECT_FALSE(lead.add);
  EXPECT_NEAR(lead.net_g, 110 - 99.91016, 1e-9);
  EXPECT_NEAR(lead.in_wood_g, lead.net_g / (1 - 0.4 / 11.34), 1e-9);
}

// Closed form: a box barge that floats deeper in lighter water keeps its even keel.
TEST(TankView, TellsWhatTheLureDoesInTheTanksWater) {
  const Boxed box;
  const Floater sinker_at_home = in_water(box.with(101), 1.0259728);
  const TankView tank = tank_view(sinker_at_home, 0.9982063);
  EXPECT_EQ(tank.state, State::sinks);
  EXPECT_NEAR(tank.reserve_g, 99.82063 - 101, 1e-9);
  ASSERT_TRUE(tank.tail_down_deg.has_value());
  EXPECT_NEAR(*tank.tail_down_deg, 0, 1e-9);
  EXPECT_NEAR(tank.list_deg.value_or(99), 0, 1e-9);
  EXPECT_EQ(tank.pose_count, 1);
  // At sea the same lure floats.
  EXPECT_EQ(state_of(101, sinker_at_home.displacement_full_g() - 101), State::floats);
}

}  // namespace
}  // namespace trueblank::water
