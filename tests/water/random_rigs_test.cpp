// SPDX-License-Identifier: GPL-3.0-or-later
// Two dozen small lures drawn at random against the energy's own laws; ten thousand in
// random_rigs_slow_test.cpp.
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "geometry/moments.h"
#include "water/floating_bodies.h"
#include "water/plain_energy.h"
#include "water/rig_laws.h"

namespace trueblank::water {
namespace {

// The judge itself, before it judges. A box of 60 × 20 × 10 mm and half the water's density, its
// centre of mass 2 mm below its middle, lies 5 mm deep when flat: its weight of 6 g is 2 mm under
// the surface, and 6 g of water were lifted by 2.5 mm from the middle of the lower half:
// E = 6·(−2) + 6·2.5 = 3 g·mm.
TEST(PlainEnergy, OfABoxLyingFlatIsThatOfTwoMassesLifted) {
  const geometry::ClosedMesh box = test_bodies::closed(test_bodies::box(60, 20, 10));
  rig::RiggedLure lure;
  lure.mass_g = 6;
  lure.centre_of_mass_mm = {0, 0, -2};
  lure.water_density_g_cm3 = 1;
  const judge::PlainEnergy energy(box, lure);
  const judge::Afloat flat = energy.at(Vec3::UnitZ());
  EXPECT_NEAR(flat.level_mm, 0, 1e-12);
  EXPECT_NEAR(flat.energy_g_mm, 3, 1e-12);
  EXPECT_LT(flat.couple_g_mm.norm(), 1e-12);
  EXPECT_NEAR(energy.displaced_full_g(), 12, 1e-12);

  // With a part of 1 cm³ outside, from 4 mm under the surface to 2 mm over it, and 2/3 g more: of
  // the part 2/3 g are displaced, 2 mm deep in the middle.
  lure.mass_g += 2 / 3.0;
  lure.outside = {{"part", {0, 0, 0}, 1000, 4, 2}};
  const judge::Afloat with_part = judge::PlainEnergy(box, lure).at(Vec3::UnitZ());
  EXPECT_NEAR(with_part.level_mm, 0, 1e-12);
  EXPECT_NEAR(with_part.energy_g_mm, (6 + 2 / 3.0) * -2 + 6 * 2.5 + 2 / 3.0 * 2, 1e-12);
}

// The couple is the slope of the energy: central differences of 1e-4 rad, whose error is that
// squared times the third derivative (of the energy's own size).
TEST(PlainEnergy, ItsSlopeOverTurnsIsTheCouple) {
  const geometry::ClosedMesh mesh = test_bodies::closed(test_bodies::glider(800));
  const geometry::Moments whole = geometry::moments(mesh);
  rig::RiggedLure lure;
  lure.mass_g = 0.6e-3 * whole.volume_mm3;
  lure.centre_of_mass_mm = whole.centroid_mm + Vec3(4, 0.3, -2);
  lure.water_density_g_cm3 = 1.01;
  lure.outside = {{"treble", {60, 0, -20}, 800, 40, 0}};
  const judge::PlainEnergy energy(mesh, lure);
  for (const Vec3& up : judge::even_directions(30, test_bodies::random_turn(3))) {
    const Vec3 towards = up.unitOrthogonal();
    const judge::Afloat here = energy.at(up);
    const double more = energy.at(judge::tilted(up, towards, 1e-4)).energy_g_mm;
    const double less = energy.at(judge::tilted(up, towards, -1e-4)).energy_g_mm;
    EXPECT_NEAR((more - less) / 2e-4, here.couple_g_mm.dot(towards), 1e-6 * energy.scale_g_mm());
    // And it is what holds in each pose that a descent finds: nil, and no neighbour is lower.
    const judge::Ended ended = judge::downhill(energy, up);
    EXPECT_LE(ended.there.energy_g_mm, here.energy_g_mm);
    EXPECT_LT(ended.there.couple_g_mm.norm(), 1e-8 * energy.scale_g_mm());
  }
}

TEST(RandomRigs, TwoDozenKeepTheLawsOfEnergy) { expect_laws_of_all(1'000'000, 24, 40, 300, 900); }

// Square in section and long: one of its descents leads over a broad hump.
TEST(RandomRigs, ALongSquareOneKeepsTheLawsOfEnergy) {
  RigCount count;
  expect_laws(1'000'045, 40, 300, 900, count);
  EXPECT_EQ(count.descents, 40);
}

}  // namespace
}  // namespace trueblank::water
