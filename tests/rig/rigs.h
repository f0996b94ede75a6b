// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <gtest/gtest.h>

#include "geometry/coat.h"
#include "rig/assembly.h"
#include "support/bodies.h"

// Rigs on a plank, for tests of the mass model.
namespace trueblank::rig {

using geometry::ClosedMesh;
using geometry::Mat3;

/// A box 100 × 20 × 30 mm (60 cm³) of 0.4 g/cm³: 24 g; its middle at the origin.
inline ClosedMesh plank() { return test_bodies::closed(test_bodies::box(100, 20, 30)); }

inline Rig bare() { return {.wood_density_g_cm3 = 0.4, .water = water_at(0, 15)}; }

/// A part of every kind, the wire wholly inside.
inline Rig full_rig() {
  Rig rig = bare();
  rig.finish = Finish{.thickness_mm = 0.3, .density_g_cm3 = 1.15};
  rig.wires = {{.name = "wire",
                .density_g_cm3 = 7.9,
                .diameter_mm = 1.6,
                .path_mm = {{-40, 1, 2}, {0, 0.5, 1}, {45, -1, 3}}}};
  rig.ballasts = {{.name = "belly", .at_mm = {10, 3, -6}, .mass_g = 9, .density_g_cm3 = 11.34},
                  {.name = "tail", .at_mm = {38, -2, 1}, .mass_g = 2, .density_g_cm3 = 7.29}};
  rig.pockets = {{.name = "rattle",
                  .at_mm = {-20, 4, -3},
                  .diameter_mm = 8,
                  .depth_mm = 12,
                  .axis = HoleAxis::upright},
                 {.name = "wet slot",
                  .at_mm = {-5, -4, 0},
                  .diameter_mm = 5,
                  .depth_mm = 10,
                  .axis = HoleAxis::along,
                  .filling_density_g_cm3 = 1,
                  .filled_with_water = true}};
  rig.hooks = {{.name = "treble",
                .eye_mm = {12, 0, -16},
                .mass_g = 8,
                .density_g_cm3 = 7.85,
                .hang_mm = 17}};
  rig.outsides = {{.name = "lip", .at_mm = {-55, 0, -12}, .mass_g = 3, .density_g_cm3 = 1.2}};
  return rig;
}

inline Assembly laid_out(const ClosedMesh& body, const Rig& rig) {
  const geometry::Moments whole = geometry::moments(body);
  if (!rig.finish) return assemble(body, whole, rig, whole);
  const std::optional<ClosedMesh> coat = geometry::coated(body, rig.finish->thickness_mm);
  EXPECT_TRUE(coat);
  return assemble(body, whole, rig, coat ? geometry::moments(*coat) : whole);
}

inline RiggedLure rigged(const ClosedMesh& body, const Rig& rig) {
  return rig::rigged(body, geometry::moments(body), rig);
}

/// Mass by mass and place by place; `grams` and `mm` are the tolerances.
inline void expect_alike(const RiggedLure& a, const RiggedLure& b, double grams = 1e-11,
                         double mm = 1e-9) {
  ASSERT_EQ(a.parts.size(), b.parts.size());
  for (std::size_t i = 0; i < a.parts.size(); ++i) {
    EXPECT_EQ(a.parts[i].name, b.parts[i].name);
    EXPECT_EQ(a.parts[i].kind, b.parts[i].kind);
    EXPECT_NEAR(a.parts[i].mass_g, b.parts[i].mass_g, grams) << a.parts[i].name;
    EXPECT_LT((a.parts[i].centre_mm - b.parts[i].centre_mm).norm(), mm) << a.parts[i].name;
  }
  EXPECT_NEAR(a.mass_g, b.mass_g, grams);
  EXPECT_LT((a.centre_of_mass_mm - b.centre_of_mass_mm).norm(), mm);
  ASSERT_EQ(a.outside.size(), b.outside.size());
  for (std::size_t i = 0; i < a.outside.size(); ++i) {
    EXPECT_EQ(a.outside[i].name, b.outside[i].name);
    EXPECT_LT((a.outside[i].at_mm - b.outside[i].at_mm).norm(), mm) << a.outside[i].name;
    EXPECT_NEAR(a.outside[i].volume_mm3, b.outside[i].volume_mm3, 1e3 * grams);
    EXPECT_NEAR(a.outside[i].below_mm, b.outside[i].below_mm, mm);
    EXPECT_NEAR(a.outside[i].above_mm, b.outside[i].above_mm, mm);
  }
  EXPECT_NEAR(a.outside_volume_mm3, b.outside_volume_mm3, 1e3 * grams);
  EXPECT_EQ(a.water_density_g_cm3, b.water_density_g_cm3);
  EXPECT_NEAR(a.undrilled_wood_g, b.undrilled_wood_g, grams);
  EXPECT_NEAR(a.dry_mass_g, b.dry_mass_g, grams);
  EXPECT_NEAR(a.dry_balance_mm, b.dry_balance_mm, mm);
  EXPECT_NEAR(a.blank_balance_mm, b.blank_balance_mm, mm);
  EXPECT_NEAR(a.ratio_g_per_100g_wood, b.ratio_g_per_100g_wood, 1e2 * grams);
  EXPECT_NEAR(a.ratio_without_hooks_g_per_100g_wood, b.ratio_without_hooks_g_per_100g_wood,
              1e2 * grams);
}

}  // namespace trueblank::rig
