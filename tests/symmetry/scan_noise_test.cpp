// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/scan_noise.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::bumped;
using test_bodies::closed;
using test_bodies::noisy;

const Plane kMiddle{Vec3::UnitY(), 0};

ScanNoise noise_of(const TriangleMesh& mesh) { return scan_noise(closed(mesh), kMiddle, {}); }

TEST(ScanNoise, IsFoundWithItsCorrelation) {
  for (const double sigma_mm : {0.05, 0.3}) {
    for (const double correlation_mm : {2.0, 5.0}) {
      const ScanNoise found =
          noise_of(noisy(test_bodies::glider(12000), sigma_mm, correlation_mm, 3));
      EXPECT_NEAR(found.sigma_mm, sigma_mm, 0.15 * sigma_mm) << correlation_mm;
      EXPECT_NEAR(found.correlation_mm, correlation_mm, 0.3 * correlation_mm) << sigma_mm;
    }
  }
}

// Every vertex its own draw: the correlation can be no shorter than the vertices lie apart, and is
// found to be of that order.
TEST(ScanNoise, OfEachVertexForItselfShowsTheDistanceOfTheVertices) {
  const ScanNoise found = noise_of(noisy(test_bodies::pencil(12000), 0.1, 0.05, 3));
  EXPECT_NEAR(found.sigma_mm, 0.1, 0.015);
  EXPECT_LT(found.correlation_mm, 1.5);
}

TEST(ScanNoise, IsNotRaisedByABumpOnOneSide) {
  const TriangleMesh mesh = test_bodies::glider(12000);
  const ScanNoise plain = noise_of(noisy(mesh, 0.06, 2, 5));
  const ScanNoise marred = noise_of(noisy(bumped(mesh, 0.8, Vec3(45, 9.5, 0), 0.05), 0.06, 2, 5));
  EXPECT_NEAR(marred.sigma_mm, plain.sigma_mm, 0.2 * plain.sigma_mm);
}

// The law: what is measured in other units, lies elsewhere or is listed otherwise has the same
// noise.
TEST(ScanNoise, ScalesAndMovesWithTheBody) {
  const TriangleMesh mesh = noisy(test_bodies::pencil(6000), 0.1, 3, 4);
  const ScanNoise home = noise_of(mesh);
  const geometry::Mat3 turn = test_bodies::random_turn(3);
  const Vec3 shift(300, -20, 5);
  const Vec3 normal = turn * Vec3::UnitY();
  const ScanNoise away =
      scan_noise(closed(test_bodies::moved(test_bodies::shuffled(mesh, 2), turn, shift, 0.1)),
                 {-normal, -normal.dot(shift)}, {});
  EXPECT_NEAR(away.sigma_mm, 0.1 * home.sigma_mm, 1e-6 * home.sigma_mm);
  EXPECT_NEAR(away.correlation_mm, 0.1 * home.correlation_mm, 1e-6 * home.correlation_mm);
}

// A body with two unlike halves is smooth: all of its half millimetre is shape.
TEST(ScanNoise, OfTwoUnlikeHalvesIsNil) {
  TriangleMesh mesh = test_bodies::ellipsoid(82.5, 1, 14, 60, 80);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    double& y = mesh.positions_mm(1, v);
    y *= y > 0 ? 11.5 : 11.0;
  }
  EXPECT_LT(noise_of(mesh).sigma_mm, 0.01);
}

// Facets that lie otherwise on the two sides: a turned ellipsoid is true, its facets stand up to
// r·(π/n)²/2 = 11·(π/64)²/2 = 0.0133 mm off, on average two thirds of that.
TEST(ScanNoise, IsNotWhatFlatFacetsLeave) {
  TriangleMesh mesh = test_bodies::ellipsoid(82.5, 11, 11, 80, 64);
  const double turn = 0.4 * 2 * std::numbers::pi / 64;
  mesh = test_bodies::moved(mesh, Eigen::AngleAxisd(turn, Vec3::UnitX()).toRotationMatrix(),
                            Vec3::Zero());
  EXPECT_LT(noise_of(mesh).sigma_mm, 0.004);
}

TEST(ScanNoise, OfACleanBodyIsNil) { EXPECT_EQ(noise_of(test_bodies::needle(4000)).sigma_mm, 0); }

}  // namespace
}  // namespace trueblank::symmetry
