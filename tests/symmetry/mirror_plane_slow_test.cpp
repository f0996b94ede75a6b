// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "support/bodies.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::TriangleMesh;
using test_bodies::bumped;
using test_bodies::closed;
using test_bodies::noisy;
using test_bodies::on_a_flank;
using test_bodies::random_turn;

// Our own bodies with a planted plane: no published angular error was found to hold against.
// 0.03° and 0.015 mm are what is aimed for on a scan of 40 k facets with 0.06 mm of noise and a
// bump of 0.8 mm over a twentieth of the skin. That holds where the noise of neighbouring vertices
// is its own; noise that holds together over a millimetre leaves fewer independent spots: on these
// very seeds it turns the least-squares plane of the glider WITHOUT a bump by up to 0.031°.
TEST(ScannedGlider, IsTruedToThreeHundredthsOfADegreeDespiteABump) {
  for (const double correlation_mm : {0.3, 1.0}) {
    for (unsigned seed = 1; seed <= 6; ++seed) {
      const TriangleMesh mesh = test_bodies::glider(40000);
      const Planted scan = planted(
          noisy(bumped(mesh, 0.8, on_a_flank(mesh, seed), 0.05), 0.06, correlation_mm, seed),
          random_turn(seed), Vec3(5, 6, 7));
      const MirrorFit fit = fit_mirror(closed(scan.body), {}, {});
      ASSERT_TRUE(fit.plane) << seed;
      EXPECT_LT(off_deg(*fit.plane, scan), correlation_mm < 1 ? 0.03 : 0.05)
          << correlation_mm << " mm, seed " << seed;
      EXPECT_LT(std::abs(off_mm(*fit.plane, scan)), 0.015)
          << correlation_mm << " mm, seed " << seed;
    }
  }
}

// A nearly round section leaves the turn to the noise: with half axes of 11 and 14 mm a turn by 1°
// moves the skin by 0.1 mm at most, so 0.3° is what 0.06 mm of noise allows with the bump.
TEST(ScannedNeedle, IsTruedToAThirdOfADegreeDespiteABump) {
  for (const double correlation_mm : {1.0, 5.0}) {
    for (unsigned seed = 1; seed <= 4; ++seed) {
      const TriangleMesh mesh = test_bodies::needle(40000);
      const Planted scan = planted(
          noisy(bumped(mesh, 0.8, on_a_flank(mesh, seed), 0.05), 0.06, correlation_mm, seed),
          random_turn(seed), Vec3(5, 6, 7));
      const MirrorFit fit =
          fit_mirror(closed(scan.body), {}, {.back = random_turn(seed) * Vec3(0, 0, 1)});
      ASSERT_TRUE(fit.plane) << seed;
      EXPECT_LT(off_deg(*fit.plane, scan), 0.4) << correlation_mm << " mm, seed " << seed;
      EXPECT_LT(std::abs(off_mm(*fit.plane, scan)), 0.02) << correlation_mm << " mm, seed " << seed;
    }
  }
}

TEST(ScannedGlider, KeepsItsPlaneUnderNoiseOfAnyCorrelation) {
  for (const double correlation_mm : {1.0, 3.0, 10.0, 40.0}) {
    const TriangleMesh mesh = test_bodies::glider(20000);
    const Planted scan =
        planted(noisy(mesh, 0.1, correlation_mm, 3), random_turn(3), Vec3(5, 6, 7));
    const MirrorFit fit =
        fit_mirror(closed(scan.body), {}, {.back = random_turn(3) * Vec3(0, 0, 1)});
    ASSERT_TRUE(fit.plane) << correlation_mm;
    // Noise of long correlation looks just like a bent blank: a tenth of a millimetre over a half
    // height of 19 mm is 0.3°.
    EXPECT_LT(off_deg(*fit.plane, scan), 0.3) << correlation_mm;
    EXPECT_LT(std::abs(off_mm(*fit.plane, scan)), 0.05) << correlation_mm;
  }
}

TEST(CleanBody, IsExactForManyTurns) {
  for (unsigned seed = 1; seed <= 12; ++seed) {
    const TriangleMesh mesh = seed % 3 == 0   ? test_bodies::pencil(8000)
                              : seed % 3 == 1 ? test_bodies::glider(8000)
                                              : test_bodies::needle(8000);
    const Planted body = planted(test_bodies::shuffled(mesh, seed), random_turn(seed + 100),
                                 Vec3(1000.0 * seed, -50, 7));
    const MirrorFit fit = fit_mirror(closed(body.body), {}, {});
    ASSERT_TRUE(fit.plane) << seed;
    EXPECT_LT(off_deg(*fit.plane, body), 1e-6) << seed;
  }
}

TEST(BumpedBody, KeepsItsPlaneForManySeeds) {
  for (unsigned seed = 10; seed <= 24; ++seed) {
    const TriangleMesh mesh = seed % 3 == 0   ? test_bodies::pencil(10000)
                              : seed % 3 == 1 ? test_bodies::glider(10000)
                                              : test_bodies::needle(10000);
    const Planted marred =
        planted(bumped(mesh, 0.6, on_a_flank(mesh, seed), 0.05), random_turn(seed), Vec3(5, 6, 7));
    const MirrorFit fit = fit_mirror(closed(marred.body), {}, {});
    ASSERT_TRUE(fit.plane) << seed;
    EXPECT_LT(off_deg(*fit.plane, marred), 0.05) << seed;
    EXPECT_LT(std::abs(off_mm(*fit.plane, marred)), 0.02) << seed;
  }
}

TEST(RoundBody, IsRefusedWithAnyNumberOfSides) {
  for (const int sides : {12, 16, 17, 24, 31, 48, 100, 200}) {
    const MirrorFit fit = fit_mirror(
        closed(test_bodies::moved(lathe_pencil(sides), random_turn(3), {1, 2, 3})), {}, {});
    EXPECT_FALSE(fit.well_determined) << sides;
    EXPECT_TRUE(fit.round) << sides;
  }
}

TEST(NoisyRoundBody, IsNeverCalledWellDetermined) {
  for (const double noise_mm : {0.05, 0.3}) {
    for (const double correlation_mm : {1.0, 5.0, 20.0, 40.0}) {
      for (unsigned seed = 1; seed <= 4; ++seed) {
        const MirrorFit fit =
            fit_mirror(closed(noisy(lathe_pencil(64), noise_mm, correlation_mm, seed)), {}, {});
        EXPECT_FALSE(fit.well_determined)
            << noise_mm << " mm over " << correlation_mm << " mm, seed " << seed;
      }
    }
  }
}

// A back chooses among planes that a shape has; a round body has none, whatever its noise looks
// like about one turn or another.
TEST(NoisyRoundBody, IsNotCalledWellDeterminedThoughTheBackIsTold) {
  unsigned seed = 0;
  for (const double noise_mm : {0.05, 0.3}) {
    for (const double correlation_mm : {0.1, 1.0, 2.0, 5.0, 12.0, 40.0}) {
      for (int i = 0; i < 4; ++i) {
        ++seed;
        const double turn = 2.4 * seed;
        const MirrorFit fit =
            fit_mirror(closed(noisy(lathe_pencil(64), noise_mm, correlation_mm, seed)), {},
                       {.back = geometry::Vec3(std::cos(turn), std::sin(turn), 0)});
        EXPECT_FALSE(fit.well_determined)
            << noise_mm << " mm over " << correlation_mm << " mm, seed " << seed;
      }
    }
  }
}

// A pencil that is higher than wide by some tenths of a millimetre only, under noise that holds
// together over long distances: the plane may be refused, but must not be told for certain and
// wrong. 10° is over three of the greatest standard deviation with which a turn is told at all.
TEST(NearlyRoundPencil, IsRefusedOrToldRightUnderSlowNoise) {
  int told = 0;
  for (unsigned seed = 1; seed <= 30; ++seed) {
    const double taller_mm = 0.1 * (1 + seed % 10);
    const double noise_mm = seed % 2 == 0 ? 0.1 : 0.25;
    const double correlation_mm = 5.0 * (1 + seed % 7);
    const auto blunt = [](double t) { return std::pow(4 * t * (1 - t), 0.25) * (1.1 - 0.35 * t); };
    const TriangleMesh mesh = test_bodies::lofted(
        140, [&](double t) { return 8.5 * blunt(t); },
        [&](double t) { return (8.5 + taller_mm) * blunt(t); }, [](double) { return 0.0; }, 70, 56);
    const Planted scan =
        planted(noisy(mesh, noise_mm, correlation_mm, seed), random_turn(seed), Vec3(5, 6, 7));
    const MirrorFit fit =
        fit_mirror(closed(scan.body), {}, {.back = random_turn(seed) * Vec3(0, 0.1, 1)});
    ASSERT_TRUE(fit.plane) << seed;
    if (!fit.well_determined) continue;
    ++told;
    EXPECT_LT(off_deg(*fit.plane, scan), 10)
        << "taller by " << taller_mm << " mm, noise " << noise_mm << " mm over " << correlation_mm
        << " mm, seed " << seed;
  }
  EXPECT_GE(told, 10);
}

}  // namespace
}  // namespace trueblank::symmetry
