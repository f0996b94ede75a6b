// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/comparison.h"
#include "symmetry/copied_bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::bumped;
using test_bodies::glider;
using test_bodies::noisy;

ScanNoise noise_of(const TriangleMesh& master, const TriangleMesh& copy) {
  return Pair(master, copy).compare().noise;
}

// Planted on either skin by its own draw: √(σ₁² + σ₂²) in the deviation. What a draw of the field
// truly holds is the deviation's own root mean square, for there is nothing else in it.
TEST(NoiseOfTwo, IsFoundWithItsCorrelation) {
  for (const double sigma_mm : {0.06, 0.3}) {
    for (const double correlation_mm : {2.0, 5.0}) {
      double mean_mm = 0;
      for (const unsigned seed : {3U, 13U}) {
        const Pair pair(noisy(glider(12000), sigma_mm, correlation_mm, seed),
                        noisy(glider(9000), sigma_mm, correlation_mm, seed + 1));
        const Comparison c = pair.compare();
        const double held_mm = c.copy.statistics.rms / std::numbers::sqrt2;
        EXPECT_NEAR(c.noise.sigma_mm, held_mm, 0.15 * held_mm) << correlation_mm;
        EXPECT_NEAR(c.noise.correlation_mm, correlation_mm, 0.3 * correlation_mm) << sigma_mm;
        mean_mm += c.noise.sigma_mm / 2;
      }
      EXPECT_NEAR(mean_mm, sigma_mm, 0.15 * sigma_mm) << correlation_mm;
    }
  }
}

// A scan held against a drawn master: all of the noise is the scan's, √½ of it each if shared.
TEST(NoiseOfTwo, AddsBySquares) {
  const ScanNoise found = noise_of(glider(9000), noisy(glider(12000), 0.06, 2, 4));
  EXPECT_NEAR(found.sigma_mm * std::numbers::sqrt2, 0.06, 0.15 * 0.06);
  const ScanNoise unlike =
      noise_of(noisy(glider(9000), 0.03, 2, 5), noisy(glider(12000), 0.12, 2, 6));
  const double both = std::hypot(0.03, 0.12);
  EXPECT_NEAR(unlike.sigma_mm * std::numbers::sqrt2, both, 0.15 * both);
}

// Of clean bodies, whatever their meshes and shapes, it is nil or next to it.
TEST(NoiseOfTwo, IsNilForCleanBodies) {
  const TriangleMesh one = glider(12000);
  EXPECT_LT(noise_of(one, glider(7000)).sigma_mm, 0.004);
  EXPECT_LT(
      noise_of(one, test_bodies::moved(glider(7000), Mat3::Identity(), {-1, 0, 0}, 1.018)).sigma_mm,
      0.004);
  EXPECT_LT(noise_of(one, bumped(glider(7000), 0.8, Vec3(45, 9.5, 0), 0.05)).sigma_mm, 0.004);
  EXPECT_LT(noise_of(one, cut_off(glider(7000), 117)).sigma_mm, 0.004);
  EXPECT_EQ(noise_of(one, bumped(one, 0.8, Vec3(45, 9.5, 0), 0.05)).sigma_mm, 0);
}

// Shape differences beside the noise don't raise it.
TEST(NoiseOfTwo, IsNotRaisedByADifferenceOfShape) {
  const TriangleMesh master = noisy(glider(12000), 0.06, 2, 3);
  const std::vector<TriangleMesh> copies = {
      bumped(glider(9000), 0.8, Vec3(45, 9.5, 0), 0.05), cut_off(glider(9000), 117),
      test_bodies::moved(glider(9000), Mat3::Identity(), {-1, 0, 0}, 1.018)};
  for (const TriangleMesh& copy : copies) {
    EXPECT_NEAR(noise_of(master, noisy(copy, 0.06, 2, 8)).sigma_mm, 0.06, 0.2 * 0.06);
  }
}

TEST(NoiseAlone, ShowsNoDifference) {
  int with_differences = 0;
  for (unsigned i = 0; i < 10; ++i) {
    const Comparison c =
        Pair(noisy(glider(5000), 0.06, 2, 100 + i), noisy(glider(6000), 0.06, 2, 200 + i))
            .compare();
    if (!c.differences.proud.empty() || !c.differences.shy.empty()) ++with_differences;
  }
  EXPECT_LE(with_differences, 1);
}

TEST(BumpUnderNoise, IsTheOnlyDifference) {
  const Vec3 at(45, 9.5, 0);
  const TriangleMesh clean = glider(9000);
  const TriangleMesh marred = bumped(clean, 0.8, at, 0.05);
  const double added = geometry::moments(test_bodies::closed(marred)).volume_mm3 -
                       geometry::moments(test_bodies::closed(clean)).volume_mm3;
  const Comparison c = Pair(noisy(glider(12000), 0.06, 2, 3), noisy(marred, 0.06, 2, 4)).compare();
  ASSERT_EQ(c.differences.proud.size(), 1U);
  EXPECT_TRUE(c.differences.shy.empty());
  // Noise alone has 0.085·√(400·2π·2²) = 8.5 mm³ on a patch of 400 mm², a twelfth of it: three
  // such.
  EXPECT_NEAR(c.differences.proud[0].patch.volume_mm3, added, 0.25 * added);
}

}  // namespace
}  // namespace trueblank::symmetry
