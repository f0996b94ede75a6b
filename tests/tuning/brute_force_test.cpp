// SPDX-License-Identifier: GPL-3.0-or-later
// A fine grid over all that one weight may do never finds a lighter plan than the solver: 20
// bodies, woods and wishes, drawn.
#include <gmock/gmock.h>

#include <cmath>
#include <numbers>

#include "tuning/bench_lure.h"
#include "water/near_pose.h"
#include "water/random_numbers.h"

namespace trueblank::tests {
namespace {

struct Case {
  BenchLure lure;
  rig::Wishes wishes;
};

Case drawn(std::uint32_t row) {
  const auto unit = [&](std::uint32_t column) {
    const double normal = water::normal_pair(7, row, column)[0];
    return 0.5 * std::erfc(-normal / std::sqrt(2.0));  // even over 0..1
  };
  const double a = 50 + 40 * unit(0);
  const double b = 9 + 4 * unit(1);
  const double c = b * (1.1 + 0.6 * unit(2));
  const double wood = 0.3 + 0.35 * unit(3);
  BenchLure lure = ellipsoid_lure(a, b, c, wood, 24, 24);
  lure.rig.hooks.push_back({.name = "belly treble",
                            .eye_mm = {a * (0.7 + 0.2 * unit(4)), 0, -c},
                            .mass_g = 3 + 5 * unit(5),
                            .density_g_cm3 = 7.85,
                            .hang_mm = 15});
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .tail_down_deg = 4 + 6 * unit(6),
                                .tail_down_tolerance_deg = 2,
                                .least_stiffness_min_g_mm_per_deg = 1 + 1.5 * unit(7)},
                     .places = {{.name = "belly",
                                 .x_mm = {0.6 * a, 1.6 * a},
                                 .height_mm = rig::Range{-0.6 * c, -0.3 * c},
                                 .mass_g = {0, 30},
                                 .density_g_cm3 = lead_g_cm3}}};
  return {std::move(lure), std::move(wishes)};
}

// The grid's own judge: the pose that the water room finds, held against the wishes.
bool meets(const Case& one, double x, double z, double mass_g) {
  // A ball of so much lead, all of it in the wood.
  const double radius_mm = std::cbrt(mass_g / lead_g_cm3 * 1000 * 3 / (4 * std::numbers::pi));
  if (one.lure.skin.nearest({x, 0, z}).signed_distance_mm > -(radius_mm + 0.03)) return false;
  rig::Rig rig = one.lure.rig;
  rig.ballasts.push_back(
      {.name = "w", .at_mm = {x, 0, z}, .mass_g = mass_g, .density_g_cm3 = lead_g_cm3});
  const water::Floater lure = water::floater(
      one.lure.tree,
      rig::add_up(rig::assemble(one.lure.body, one.lure.whole, rig, one.lure.whole)));
  const double reserve_g = lure.displacement_full_g() - lure.mass_g;
  if (reserve_g <= 0.011 * lure.mass_g) return false;
  const auto pose =
      water::pose_near(lure, geometry::Vec3::UnitZ(), {.start_mm = {}, .look_for_rings = false});
  if (!pose || !pose->list_deg) return false;
  const rig::Target& target = one.wishes.target;
  return std::abs(pose->tail_down_deg - *target.tail_down_deg) <=
             target.tail_down_tolerance_deg - 0.1 &&
         std::abs(*pose->list_deg) < 1 &&
         pose->least_stiffness_g_mm_per_deg >
             *target.least_stiffness_min_g_mm_per_deg * (1 + 0.003);
}

TEST(BruteForce, NeverBeatsTheSolverByMoreThanItsRounding) {
  int with_a_plan = 0;
  for (std::uint32_t row = 0; row < 20; ++row) {
    const Case one = drawn(row);
    const tuning::FoundWeights found = one.lure.find(one.wishes);
    const double solver_g = found.plan.met ? found.plan.added_g : HUGE_VAL;
    with_a_plan += found.plan.met ? 1 : 0;
    const rig::WeightPlace& place = one.wishes.places[0];
    constexpr double mass_step_g = 0.1;
    for (int ix = 0; ix <= 40; ++ix) {
      for (int iz = 0; iz <= 6; ++iz) {
        const double x = place.x_mm.low + (place.x_mm.high - place.x_mm.low) * ix / 40;
        const double z =
            place.height_mm->low + (place.height_mm->high - place.height_mm->low) * iz / 6;
        // From the lightest up to just under the solver's.
        for (double mass = 0; mass < std::min(solver_g - 0.03, 30.0); mass += mass_step_g) {
          ASSERT_FALSE(meets(one, x, z, mass)) << "body " << row << ": " << mass << " g at " << x
                                               << ", " << z << " beats " << solver_g;
        }
      }
    }
  }
  EXPECT_GE(with_a_plan, 12);  // else little was tried
}

}  // namespace
}  // namespace trueblank::tests
