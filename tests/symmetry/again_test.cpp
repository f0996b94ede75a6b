// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/again.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;
using test_bodies::moved;
using test_bodies::noisy;
using test_bodies::random_turn;

// What the scanner does to every scan: y grows by `sagitta` from the middle to both ends.
TriangleMesh bent(TriangleMesh mesh, double sagitta_mm) {
  const double low = mesh.positions_mm.row(0).minCoeff();
  const double half = (mesh.positions_mm.row(0).maxCoeff() - low) / 2;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const double off = (mesh.positions_mm(0, v) - low) / half - 1;
    mesh.positions_mm(1, v) += sagitta_mm * off * off;
  }
  return mesh;
}

Mat3 turned_over() { return Eigen::AngleAxisd(std::numbers::pi, Vec3::UnitX()).toRotationMatrix(); }

struct TwoScans {
  geometry::ClosedMesh first;
  geometry::ClosedMesh second;
};

// A blank scanned, turned over, scanned again; the second lies anyhow.
TwoScans two_scans(const TriangleMesh& blank, double bend_mm, double noise_mm) {
  return {closed(noisy(bent(blank, bend_mm), noise_mm, 1.5, 5)),
          closed(moved(
              noisy(bent(moved(blank, turned_over(), Vec3::Zero()), bend_mm), noise_mm, 1.5, 6),
              random_turn(8), Vec3(300, -20, 70)))};
}

double at_spot(const DeviationPart& part, const geometry::ClosedMesh& body, const Vec3& spot) {
  double least = 1e300;
  double value = 0;
  for (int v = 0; v < body.vertex_count(); ++v) {
    const double off = (body.positions_mm().col(v) - spot).norm();
    if (off >= least) continue;
    least = off;
    value = part.at_vertices_mm[static_cast<std::size_t>(v)];
  }
  return value;
}

Again of(const TwoScans& scans, const Plane& plane) {
  return told_apart(scans.first, plane, {}, scans.second, {});
}

TEST(Alignment, BringsAMovedBodyHomeToRounding) {
  for (const unsigned seed : {1U, 2U, 3U}) {
    const TriangleMesh mesh = test_bodies::glider(3000);
    const Mat3 turn = random_turn(seed);
    const Vec3 shift(400, -30, 90);
    const Alignment home = aligned(closed(mesh), {}, closed(moved(mesh, turn, shift)), {});
    EXPECT_LT(home.rms_mm, 1e-8) << seed;
    EXPECT_LT((home.motion.turn * turn - Mat3::Identity()).norm(), 1e-9) << seed;
    EXPECT_LT((home.motion(shift)).norm(), 1e-7) << seed;
    EXPECT_GT(home.runner_up_rms_mm, 0.1) << seed;
    EXPECT_EQ(home.motion.scale, 1);
  }
}

TEST(Alignment, FitsTheScaleWhenAsked) {
  const TriangleMesh mesh = test_bodies::needle(3000);
  const Alignment home =
      aligned(closed(mesh), {}, closed(moved(mesh, random_turn(2), {1, 2, 3}, 0.99)), {},
              {.fit_scale = true});
  EXPECT_NEAR(home.motion.scale, 1 / 0.99, 1e-9);
  EXPECT_LT(home.rms_mm, 1e-8);
}

TEST(Alignment, IsNotPulledByAFlawOnOneOfTheTwo) {
  const TriangleMesh mesh = test_bodies::pencil(4000);
  const TriangleMesh marred = test_bodies::bumped(mesh, 0.8, Vec3(60, 8, 0), 0.08);
  const Mat3 turn = random_turn(4);
  const Alignment home = aligned(closed(mesh), {}, closed(moved(marred, turn, {5, 6, 7})), {});
  EXPECT_LT((home.motion.turn * turn - Mat3::Identity()).norm(), 1e-5);
  EXPECT_LT(home.motion({5, 6, 7}).norm(), 1e-3);
}

// A bump of 0.6 mm on the blank's right flank stays with the body: proud there in both scans. A
// bend of 0.3 mm that the scanner puts into every scan turns round with the blank: it shows as
// y off by 0.3 mm at the ends less what the best plane takes up, and in the scanner's part only.
TEST(Again, TellsABumpOfTheBodyFromABendOfTheScanner) {
  const double noise_mm = 0.03;
  const TriangleMesh clean = test_bodies::glider(8000);
  const Vec3 spot(45, 9.5, 0);
  const TwoScans scans = two_scans(test_bodies::bumped(clean, 0.6, spot, 0.04), 0.3, noise_mm);
  const MirrorFit fit = fit_mirror(scans.first, {}, {.back = Vec3::UnitZ()});
  ASSERT_TRUE(fit.plane);
  const Again again = of(scans, *fit.plane);
  EXPECT_GT(again.alignment.runner_up_rms_mm, 2 * again.alignment.rms_mm);

  const TwoScans unbent = two_scans(test_bodies::bumped(clean, 0.6, spot, 0.04), 0, noise_mm);
  const Again body_alone = of(unbent, {Vec3::UnitY(), 0});
  const TwoScans unbumped = two_scans(clean, 0.3, noise_mm);
  const MirrorFit bent_fit = fit_mirror(unbumped.first, {}, {.back = Vec3::UnitZ()});
  ASSERT_TRUE(bent_fit.plane);
  const Again bend_alone = of(unbumped, *bent_fit.plane);
  // Each in its own part as if the other were not there, to the noise.
  EXPECT_NEAR(again.body.statistics.rms, body_alone.body.statistics.rms, noise_mm);
  EXPECT_NEAR(again.scanner.statistics.rms, bend_alone.scanner.statistics.rms, noise_mm);
  EXPECT_GT(again.scanner.statistics.p95, 0.15);
  EXPECT_LT(body_alone.scanner.statistics.rms, 1.5 * noise_mm);
  EXPECT_LT(bend_alone.body.statistics.rms, 1.5 * noise_mm);

  const double bump = at_spot(again.body, scans.first, spot);
  EXPECT_NEAR(std::abs(bump), 0.6, 4 * noise_mm);
  EXPECT_LT(std::abs(at_spot(again.scanner, scans.first, spot)), 0.2);
  EXPECT_NEAR(body_alone.first_noise.sigma_mm, noise_mm, 0.2 * noise_mm);
  EXPECT_NEAR(bend_alone.first_noise.sigma_mm, noise_mm, 0.3 * noise_mm);
  EXPECT_NEAR(bend_alone.second_noise.sigma_mm, noise_mm, 0.3 * noise_mm);
  // A bump no higher than the bend is no flaw that stands out, and its flanks count in part.
  EXPECT_LT(again.first_noise.sigma_mm, 2 * noise_mm);
}

TEST(Again, PutsNothingAnywhereForTwoCleanScansOfATrueBody) {
  const TwoScans scans = two_scans(test_bodies::needle(4000), 0, 0);
  const Again again = of(scans, {Vec3::UnitY(), 0});
  EXPECT_LT(again.body.statistics.rms, 1e-6);
  EXPECT_LT(again.scanner.statistics.rms, 1e-6);
  EXPECT_LT(again.alignment.rms_mm, 1e-8);
  EXPECT_EQ(again.first_noise.sigma_mm, 0);
}

}  // namespace
}  // namespace trueblank::symmetry
