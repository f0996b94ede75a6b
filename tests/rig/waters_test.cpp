// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/waters.h"

#include <gtest/gtest.h>

namespace trueblank::rig {
namespace {

struct Printed {
  double salinity;
  double temperature_c;
  double density_kg_m3;
};

// Source: Fofonoff & Millard, Unesco Technical Papers in Marine Science 44, 1983, section 3, p. 19,
// as carried in the test suites of several oceanography libraries. Half of the last printed digit.
// The two at salinity 35 catch the copies that have 1.0277e-4 for 1.0227e-4 (off by 5e-4, 2.6e-3).
TEST(WaterDensity, MeetsThePrintedCheckValues) {
  for (const Printed& row : {Printed{0, 5, 999.96675}, Printed{0, 25, 997.04796},
                             Printed{35, 5, 1027.67547}, Printed{35, 25, 1023.34306}}) {
    EXPECT_NEAR(water_density_kg_m3(row.salinity, row.temperature_c), row.density_kg_m3, 1e-5)
        << row.salinity << " " << row.temperature_c;
  }
}

// Source: the same equations reckoned in Python by hand of the printed coefficients, four decimals.
TEST(WaterDensity, MeetsTheTableOfFreshAndSeaWater) {
  constexpr double temperatures_c[] = {0, 4, 8, 10, 12, 15, 16, 20, 24, 28, 30};
  constexpr double fresh_kg_m3[] = {999.8426, 999.9750, 999.8509, 999.7021, 999.4996, 999.1016,
                                    998.9450, 998.2063, 997.2994, 996.2371, 995.6511};
  constexpr double sea_kg_m3[] = {1028.1063, 1027.7863, 1027.2742, 1026.9524, 1026.5897, 1025.9728,
                                  1025.7485, 1024.7630, 1023.6431, 1022.3968, 1021.7286};
  for (int i = 0; i < 11; ++i) {
    EXPECT_NEAR(water_density_kg_m3(0, temperatures_c[i]), fresh_kg_m3[i], 5.1e-5);
    EXPECT_NEAR(water_density_kg_m3(sea_salinity, temperatures_c[i]), sea_kg_m3[i], 5.1e-5);
  }
}

// Source: the maximum of the same polynomial, 999.97496 at 3.98 °C.
TEST(FreshWater, IsDensestJustBelowFourDegrees) {
  EXPECT_NEAR(water_density_kg_m3(0, 3.98), 999.97496, 1e-5);
  EXPECT_LT(water_density_kg_m3(0, 3.9), water_density_kg_m3(0, 3.98));
  EXPECT_LT(water_density_kg_m3(0, 4.06), water_density_kg_m3(0, 3.98));
}

TEST(WaterDensity, RisesWithSaltAndIsPlainWaterWithoutIt) {
  for (double t = -2; t <= 40; t += 1) {
    for (double s = 0; s < 42; s += 1) {
      EXPECT_LT(water_density_kg_m3(s, t), water_density_kg_m3(s + 1, t));
    }
  }
}

TEST(WaterAt, TellsWhatItIsInGramsPerCubicCentimetre) {
  const Water sea = water_at(sea_salinity, 15);
  EXPECT_DOUBLE_EQ(sea.density_g_cm3, water_density_kg_m3(35, 15) / 1000);
  EXPECT_EQ(sea.salinity, 35);
  EXPECT_EQ(sea.temperature_c, 15);
  EXPECT_FALSE(sea.density_given);
}

}  // namespace
}  // namespace trueblank::rig
