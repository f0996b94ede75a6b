// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/mirror_plane.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <thread>
#include <vector>

#include "support/bodies.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using geometry::TriangleMesh;
using test_bodies::bumped;
using test_bodies::closed;
using test_bodies::moved;
using test_bodies::noisy;
using test_bodies::on_a_flank;
using test_bodies::random_turn;

// What is asked of a clean body is 0.001°; a body that is its own mirror image to the last bit is
// found to rounding, and 10 m away a millimetre keeps twelve digits.
void expect_exact(const std::string& name, const Planted& truth) {
  const MirrorFit fit = fit_mirror(closed(truth.body), {}, {});
  ASSERT_TRUE(fit.plane) << name;
  EXPECT_TRUE(fit.well_determined) << name;
  EXPECT_EQ(fit.from, PlaneFrom::shape) << name;
  EXPECT_LT(off_deg(*fit.plane, truth), 1e-6) << name;
  EXPECT_LT(std::abs(off_mm(*fit.plane, truth)), 1e-7) << name;
  EXPECT_LT(fit.candidates.front().rms_mm, 1e-8) << name;
}

TEST(MirrorPlane, OfACleanBodyIsFoundToRoundingHoweverItLies) {
  const Vec3 near(30, -20, 50);
  const Vec3 far(10000, -3000, 5000);
  expect_exact("pencil", planted(test_bodies::pencil(3000), random_turn(1), near));
  expect_exact("glider 10 m away", planted(test_bodies::glider(2000), random_turn(11), far));
  expect_exact("needle, facets shuffled",
               planted(test_bodies::shuffled(test_bodies::needle(4000), 1), random_turn(21), near));
}

TEST(MirrorPlane, ScalesWithTheBody) {
  const TriangleMesh glider = test_bodies::glider(2000);
  const Planted small = planted(glider, random_turn(5), Vec3::Zero(), 0.001);
  const MirrorFit fit = fit_mirror(closed(small.body), {}, {});
  ASSERT_TRUE(fit.plane);
  EXPECT_LT(off_deg(*fit.plane, small), 1e-6);
  EXPECT_LT(std::abs(off_mm(*fit.plane, small)), 1e-10);
}

// Asked for: 0.05° and 0.02 mm. Nine tenths of the skin are exactly alike, so the flaw is cut away
// whole and the plane is exact.
TEST(MirrorPlane, IsNotPulledByABumpOnOneSide) {
  for (const unsigned seed : {1U, 2U, 3U}) {
    const TriangleMesh pencil = test_bodies::pencil(4000);
    const TriangleMesh glider = test_bodies::glider(4000);
    for (const TriangleMesh& mesh : {pencil, glider}) {
      const Planted marred = planted(bumped(mesh, 0.6, on_a_flank(mesh, seed), 0.05),
                                     random_turn(seed), Vec3(5, 6, 7));
      const MirrorFit fit = fit_mirror(closed(marred.body), {}, {});
      ASSERT_TRUE(fit.plane) << "seed " << seed;
      EXPECT_LT(off_deg(*fit.plane, marred), 0.001) << "seed " << seed;
      EXPECT_LT(std::abs(off_mm(*fit.plane, marred)), 0.0005) << "seed " << seed;
      EXPECT_GT(fit.candidates.front().rms_mm, 0.01);
    }
  }
}

// On demand every point has the same say: the bump pulls, and the rms over the skin is less.
TEST(MirrorPlane, ByLeastSquaresIsPulledAndHasTheLesserRms) {
  const TriangleMesh glider = test_bodies::glider(6000);
  const Planted marred =
      planted(bumped(glider, 0.6, on_a_flank(glider, 1), 0.05), random_turn(1), Vec3(5, 6, 7));
  const MirrorFit robust = fit_mirror(closed(marred.body), {}, {});
  const MirrorFit least = fit_mirror(closed(marred.body), {}, {.kernel = Kernel::least_squares});
  ASSERT_TRUE(robust.plane && least.plane);
  EXPECT_GT(off_deg(*least.plane, marred), 0.02);
  EXPECT_LT(least.candidates.front().rms_mm, robust.candidates.front().rms_mm);
}

// A pencil turned on a lathe: any plane through its axis is as good, whatever its facets say.
TEST(RoundBody, IsRefusedWithAnyNumberOfSides) {
  for (const int sides : {16, 64}) {
    const MirrorFit fit =
        fit_mirror(closed(moved(lathe_pencil(sides), random_turn(3), {1, 2, 3})), {}, {});
    EXPECT_FALSE(fit.well_determined) << sides;
    EXPECT_TRUE(fit.round) << sides;
    EXPECT_FALSE(fit.plane) << sides;
    EXPECT_GE(fit.candidates.size(), 2U) << sides;
  }
}

TEST(RoundBody, IsRefusedUnderNoiseToo) {
  for (const double correlation_mm : {1.0, 20.0}) {
    const MirrorFit fit =
        fit_mirror(closed(noisy(lathe_pencil(48), 0.3, correlation_mm, 1)), {}, {});
    EXPECT_FALSE(fit.well_determined) << correlation_mm << " mm";
  }
}

TEST(RoundBody, TakesTheBackAsExact) {
  const Mat3 turn = random_turn(4);
  const geometry::ClosedMesh body = closed(moved(lathe_pencil(64), turn, {1, 2, 3}));
  const Vec3 back = turn * Vec3(0.6, 0.3, 1);
  const MirrorFit fit = fit_mirror(body, {}, {.back = back});
  ASSERT_TRUE(fit.plane);
  EXPECT_FALSE(fit.well_determined);
  EXPECT_EQ(fit.from, PlaneFrom::back);
  const Vec3 long_axis = turn * Vec3::UnitZ();  // what is turned is turned about z
  EXPECT_NEAR(fit.plane->normal.dot(long_axis), 0, 1e-9);
  const Vec3 square = back - back.dot(long_axis) * long_axis;
  EXPECT_NEAR(fit.plane->normal.dot(square.normalized()), 0, 1e-9);
  EXPECT_NEAR(fit.plane->height_mm({1, 2, 3}), 0, 1e-3);  // the axis, to the facets' height
}

// Four planes along a square bar: across its faces and across its edges.
TEST(SquareBar, HasFourPlanesAndNoneIsTaken) {
  const TriangleMesh bar = test_bodies::prism({{-6, -6}, {6, -6}, {6, 6}, {-6, 6}}, 120);
  const Mat3 turn = random_turn(6);
  const MirrorFit fit = fit_mirror(closed(moved(bar, turn, {1, 2, 3})), {}, {});
  EXPECT_FALSE(fit.well_determined);
  EXPECT_FALSE(fit.round);
  EXPECT_FALSE(fit.plane);
  int exact = 0;
  for (const Candidate& candidate : fit.candidates) exact += candidate.rms_mm < 1e-6;
  EXPECT_EQ(exact, 4);
  const MirrorFit hinted =
      fit_mirror(closed(moved(bar, turn, {1, 2, 3})), {}, {.back = turn * Vec3(0.1, 0.25, 1)});
  EXPECT_TRUE(hinted.well_determined);
  ASSERT_TRUE(hinted.plane);
  EXPECT_EQ(hinted.from, PlaneFrom::shape);
  EXPECT_NEAR(std::abs(hinted.plane->normal.dot(turn * Vec3::UnitY())), 1, 1e-12);
}

// Three unequal axes: two planes hold the long one, and the back chooses, up to 45° off.
TEST(Ellipsoid, HasTwoPlanesAndTheBackChooses) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(82.5, 11, 14, 30, 32));
  const MirrorFit open = fit_mirror(body, {}, {});
  EXPECT_FALSE(open.well_determined);
  EXPECT_FALSE(open.plane);
  ASSERT_GE(open.candidates.size(), 2U);
  EXPECT_LT(open.candidates[1].rms_mm, 1e-9);
  for (const double degrees : {-43.0, 43.0}) {
    const double turn = degrees * std::numbers::pi / 180;
    const Vec3 back(0.1, std::sin(turn), std::cos(turn));
    const MirrorFit upright = fit_mirror(body, {}, {.back = back});
    ASSERT_TRUE(upright.plane) << degrees;
    EXPECT_TRUE(upright.well_determined);
    EXPECT_NEAR(std::abs(upright.plane->normal.y()), 1, 1e-12) << degrees;
    const MirrorFit spanned = fit_mirror(body, {}, {.nose = Vec3(-1, 0.4, -0.5), .back = back});
    ASSERT_TRUE(spanned.plane) << degrees;
    EXPECT_NEAR(std::abs(spanned.plane->normal.y()), 1, 1e-12) << degrees;
  }
  const MirrorFit flat = fit_mirror(body, {}, {.back = Vec3(0, 1, 0.2)});
  ASSERT_TRUE(flat.plane);
  EXPECT_NEAR(std::abs(flat.plane->normal.z()), 1, 1e-12);
}

// A body that is the same fore and aft is not cut amidships.
TEST(MirrorPlane, HoldsTheLongAxis) {
  const MirrorFit fit = fit_mirror(closed(test_bodies::box(120, 10, 20)), {}, {});
  for (const Candidate& candidate : fit.candidates) {
    EXPECT_LT(std::abs(candidate.plane.normal.x()), 0.71);
  }
}

TEST(MirrorPlane, IsTakenAsGivenOrThroughTheSplitLine) {
  const geometry::ClosedMesh body = closed(test_bodies::pencil(1500));
  const Plane given{Vec3(0.1, 1, 0).normalized(), 0.7};
  const MirrorFit by_plane = fit_mirror(body, {}, {.given = given});
  ASSERT_TRUE(by_plane.plane);
  EXPECT_EQ(by_plane.from, PlaneFrom::given);
  EXPECT_EQ(by_plane.plane->normal, given.normal);
  EXPECT_EQ(by_plane.plane->offset_mm, 0.7);
  EXPECT_NEAR(by_plane.long_axis.dot(given.normal), 0, 1e-12);
  const std::array<Vec3, 3> line = {Vec3(0, 0.5, 0), Vec3(140, 0.5, 0), Vec3(70, 0.5, 9)};
  const MirrorFit by_line = fit_mirror(body, {}, {.split_line = line});
  ASSERT_TRUE(by_line.plane);
  EXPECT_EQ(by_line.from, PlaneFrom::split_line);
  for (const Vec3& p : line) EXPECT_NEAR(by_line.plane->height_mm(p), 0, 1e-12);
}

// Two eyes and a back fix a plane as three points do; the back need not be square to the wire.
TEST(MirrorPlane, IsTakenThroughTheWiresEyesHoldingTheBack) {
  const geometry::ClosedMesh body = closed(test_bodies::pencil(1500));
  const Vec3 nose(-2, 0.3, -1);
  const Vec3 tail(142, -0.2, 0.5);
  const Vec3 back(0.4, 0.1, 1);
  const MirrorFit fit = fit_mirror(body, {}, {.back = back, .eyes = std::pair(nose, tail)});
  ASSERT_TRUE(fit.plane);
  EXPECT_EQ(fit.from, PlaneFrom::split_line);
  EXPECT_NEAR(fit.plane->height_mm(nose), 0, 1e-12);
  EXPECT_NEAR(fit.plane->height_mm(tail), 0, 1e-12);
  EXPECT_NEAR(fit.plane->normal.dot(back), 0, 1e-12);
  const MirrorFit without_back = fit_mirror(body, {}, {.eyes = std::pair(nose, tail)});
  EXPECT_NE(without_back.from, PlaneFrom::split_line);
}

// A hole on one flank, filled flat, would pull a fit that took it for skin.
TEST(MirrorPlane, IsNotPulledByAFilledHole) {
  TriangleMesh mesh = test_bodies::pencil(6000);
  std::vector<std::uint8_t> filled(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    double& y = mesh.positions_mm(1, v);
    if (y > -4 || std::abs(mesh.positions_mm(0, v) - 60) > 25) continue;
    y = -4;
    filled[static_cast<std::size_t>(v)] = 1;
  }
  std::vector<std::uint8_t> measured(static_cast<std::size_t>(mesh.facet_count()), 1);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      if (filled[static_cast<std::size_t>(mesh.facets(k, f))] != 0) {
        measured[static_cast<std::size_t>(f)] = 0;
      }
    }
  }
  const MirrorFit fit = fit_mirror(closed(mesh), measured, {});
  ASSERT_TRUE(fit.plane);
  EXPECT_NEAR(std::abs(fit.plane->normal.y()), 1, 1e-12);
  EXPECT_NEAR(fit.plane->offset_mm, 0, 1e-6);
  EXPECT_LT(fit.candidates.front().rms_mm, 1e-6);
}

TEST(MirrorPlane, IsTheSameBytesForAnyNumberOfThreads) {
  const geometry::ClosedMesh body = closed(noisy(test_bodies::pencil(4000), 0.1, 4, 7));
  const auto backwards_on_threads = [](int count, const std::function<void(int)>& each) {
    std::vector<std::thread> threads;
    for (int t = 0; t < 3; ++t) {
      threads.emplace_back([&, t] {
        for (int i = count - 1 - t; i >= 0; i -= 3) each(i);
      });
    }
    for (std::thread& thread : threads) thread.join();
  };
  const MirrorFit one = fit_mirror(body, {}, {});
  const MirrorFit three = fit_mirror(body, {}, {}, backwards_on_threads);
  ASSERT_TRUE(one.plane && three.plane);
  EXPECT_EQ(one.plane->normal, three.plane->normal);
  EXPECT_EQ(one.plane->offset_mm, three.plane->offset_mm);
  ASSERT_EQ(one.candidates.size(), three.candidates.size());
  for (std::size_t i = 0; i < one.candidates.size(); ++i) {
    EXPECT_EQ(one.candidates[i].rms_mm, three.candidates[i].rms_mm);
  }
}

// The law: move the body, and the plane moves with it, noise and all. The last rounds run on all
// vertices, so what is left of the order of the facets is where the rounds stop.
TEST(MirrorPlane, FollowsTheBodyWhereverItGoes) {
  const TriangleMesh mesh =
      noisy(bumped(test_bodies::pencil(5000), 0.8, Vec3(60, 8, 0), 0.05), 0.06, 3, 9);
  const MirrorFit home = fit_mirror(closed(mesh), {}, {});
  ASSERT_TRUE(home.plane);
  for (const unsigned seed : {1U, 2U}) {
    const Mat3 turn = random_turn(seed);
    const Vec3 shift(100.0 * seed, -40, 9);
    const double scale = seed == 2 ? 0.02 : 1;
    const MirrorFit fit =
        fit_mirror(closed(moved(test_bodies::shuffled(mesh, seed), turn, shift, scale)), {}, {});
    ASSERT_TRUE(fit.plane) << seed;
    const Vec3 expected = turn * home.plane->normal;
    const double sign = expected.dot(fit.plane->normal) < 0 ? -1 : 1;
    EXPECT_LT((sign * fit.plane->normal - expected).norm(), 2e-5) << seed;
    const Vec3 on_it = turn * (scale * home.plane->offset_mm * home.plane->normal) + shift;
    EXPECT_NEAR(fit.plane->height_mm(on_it), 0, 1e-3 * scale) << seed;
  }
}

}  // namespace
}  // namespace trueblank::symmetry
