// SPDX-License-Identifier: GPL-3.0-or-later
// What noise of a known height and correlation is worth in volume, and how well a scan tells it.
#include "body/noise_of_scan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "geometry/coat.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;
using geometry::Vec3;

ClosedMesh ellipsoid() { return test_bodies::closed(test_bodies::ellipsoid(60, 9, 12, 60, 40)); }

double volume_mm3(const ClosedMesh& body) { return geometry::moments(body).volume_mm3; }

// A sum of plane waves, each vertex moved along its normal: the covariance is
// sigma² exp(−d²/2·correlation²).
// Source: A. Rahimi, B. Recht, "Random features for large-scale kernel machines", NIPS 2007.
ClosedMesh noisy(const ClosedMesh& body, double sigma_mm, double correlation_mm, unsigned seed) {
  constexpr int waves = 100;
  std::mt19937 chance(seed);
  std::normal_distribution<double> normal(0, 1 / correlation_mm);
  std::uniform_real_distribution<double> phase(0, 2 * std::numbers::pi);
  Eigen::Matrix<double, waves, 3> way;
  Eigen::Matrix<double, waves, 1> from;
  for (int k = 0; k < waves; ++k) {
    for (int i = 0; i < 3; ++i) way(k, i) = normal(chance);
    from(k) = phase(chance);
  }
  const Eigen::Matrix3Xd out = geometry::outward_normals(body);
  TriangleMesh mesh = body.mesh();
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 p = body.positions_mm().col(v);
    double sum = 0;
    for (int k = 0; k < waves; ++k) sum += std::cos(way.row(k).dot(p) + from(k));
    mesh.positions_mm.col(v) += sigma_mm * std::sqrt(2.0 / waves) * sum * out.col(v);
  }
  return test_bodies::closed(std::move(mesh));
}

NoiseOfScan told(const ClosedMesh& body) {
  return noise_of_scan(body, geometry::moments(body), {}, geometry::serial_for);
}

// The variance of the integral of a field over a skin of area A is σ²·A·2π·correlation² where the
// skin is flat and wide beside the correlation; here it bends, which takes a little.
double expected_mm3(const ClosedMesh& body, double sigma_mm, double correlation_mm) {
  return sigma_mm * correlation_mm *
         std::sqrt(2 * std::numbers::pi * geometry::area_mm2(body.mesh()));
}

TEST(NoiseOfScan, ChangesVolumesByItsHeightItsCorrelationAndTheRootOfTheSkin) {
  const ClosedMesh body = ellipsoid();
  for (const double correlation_mm : {3.0, 5.0}) {
    constexpr int scans = 60;
    double squares = 0;
    for (unsigned seed = 1; seed <= scans; ++seed) {
      const double off = volume_mm3(noisy(body, 0.1, correlation_mm, seed)) - volume_mm3(body);
      squares += off * off / scans;
    }
    // Of sixty draws a deviation is known to a tenth.
    EXPECT_NEAR(std::sqrt(squares) / expected_mm3(body, 0.1, correlation_mm), 1, 0.3)
        << correlation_mm;
  }
}

TEST(NoiseOfScan, IsToldFromLeftAgainstRight) {
  const ClosedMesh body = ellipsoid();

  struct Noise {
    double sigma_mm;
    double correlation_mm;
  };

  int within = 0;
  int scans = 0;
  for (const Noise& noise : {Noise{0.05, 3}, Noise{0.1, 6}, Noise{0.2, 4}, Noise{0.3, 2.5}}) {
    const double expected = expected_mm3(body, noise.sigma_mm, noise.correlation_mm);
    double mean = 0;
    for (unsigned seed = 1; seed <= 6; ++seed) {
      const ClosedMesh scan = noisy(body, noise.sigma_mm, noise.correlation_mm, seed);
      const NoiseOfScan found = told(scan);
      EXPECT_GT(found.volume_mm3, 0.25 * expected) << noise.correlation_mm << ' ' << seed;
      EXPECT_LT(found.volume_mm3, 4 * expected) << noise.correlation_mm << ' ' << seed;
      mean += found.volume_mm3 / expected / 6;
      within += std::abs(volume_mm3(scan) - volume_mm3(body)) < 2 * found.volume_mm3 ? 1 : 0;
      ++scans;
    }
    EXPECT_GT(mean, 0.65) << noise.sigma_mm;
    EXPECT_LT(mean, 2) << noise.sigma_mm;
  }
  // Two standard deviations: nineteen of twenty, less what an estimate from one scan lacks.
  EXPECT_GE(within, scans * 5 / 6);
}

TEST(NoiseOfScan, IsNoneOnATrueBodyHoweverItLies) {
  const TriangleMesh glider = test_bodies::glider(4000);
  for (unsigned seed = 0; seed < 3; ++seed) {
    const ClosedMesh body = test_bodies::closed(
        test_bodies::moved(glider, test_bodies::random_turn(seed), Vec3(300, -200, 100)));
    EXPECT_LT(told(body).volume_mm3, 1e-5 * volume_mm3(body)) << seed;
  }
}

// Unlike by far more than noise is shape: the doubt stays within what half a millimetre is worth.
TEST(NoiseOfScan, IsNoMoreThanHalfAMillimetre) {
  const ClosedMesh body = test_bodies::closed(test_bodies::two_halves(60, 6, 14, 12, 60, 40));
  EXPECT_LE(told(body).sigma_mm, 0.5);
  EXPECT_LE(told(body).correlation_mm, 120.0 / 12 + 1e-9);
}

TEST(NoiseOfScan, OfABodyWithFewFacetsIsNone) {
  EXPECT_NEAR(told(test_bodies::closed(test_bodies::box(120, 30, 20))).volume_mm3, 0, 1e-6);
}

}  // namespace
}  // namespace trueblank::body
