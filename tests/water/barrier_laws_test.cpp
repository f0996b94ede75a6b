// SPDX-License-Identifier: GPL-3.0-or-later
// What must hold of barriers on any body, and what finds them.
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <random>
#include <vector>

#include "geometry/moments.h"
#include "water/barriers.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"
#include "water/shares.h"
#include "water/steepest_way.h"

namespace trueblank::water {
namespace {

// A body with a flank to lie on to either side, its centre of mass a little off, with hooks that
// come out of the water one by one.
OwnedFloater hooked_glider(bool mirrored = false, double scale = 1) {
  const geometry::ClosedMesh body = test_bodies::closed(test_bodies::glider(1200));
  const geometry::Moments whole = geometry::moments(body);
  const geometry::ClosedMesh mesh =
      mirrored ? test_bodies::closed(test_bodies::mirrored_y(body.mesh())) : body;
  const Vec3 side(1, mirrored ? -1 : 1, 1);
  const double cube = scale * scale * scale;
  OwnedFloater made =
      floating(mesh.moved(Mat3::Identity(), Vec3::Zero(), scale), cube * 0.6e-3 * whole.volume_mm3,
               scale * (whole.centroid_mm + Vec3(4, 0.3, -0.4)).cwiseProduct(side));
  for (const auto& [name, eye, volume, length] :
       {std::tuple{"belly treble", Vec3(40, 0.4, -16), 1200.0, 40.0},
        std::tuple{"tail treble", Vec3(120, 0, 0), 600.0, 30.0}}) {
    made.lure.outside.push_back(
        {name, scale * eye.cwiseProduct(side), cube * volume, scale * length, 0});
  }
  return made;
}

void expect_same_barriers(const Balance& a, const Balance& b,
                          const std::function<Vec3(Vec3)>& image, double ratio) {
  ASSERT_EQ(a.poses.size(), b.poses.size());
  const auto nearest = [&](const Vec3& up) {
    return static_cast<std::size_t>(
        std::min_element(b.poses.begin(), b.poses.end(),
                         [&](const RestPose& left, const RestPose& right) {
                           return angle_deg(left.up, up) < angle_deg(right.up, up);
                         }) -
        b.poses.begin());
  };
  for (const RestPose& pose : a.poses) {
    const Barrier& one = pose.barrier.value();
    const Barrier& other = b.poses[nearest(image(pose.up))].barrier.value();
    EXPECT_NEAR(other.barrier_g_mm, ratio * one.barrier_g_mm, 1e-8 * ratio * one.barrier_g_mm);
    EXPECT_NEAR(other.hardest_push_g_mm, ratio * one.hardest_push_g_mm,
                1e-4 * ratio * one.hardest_push_g_mm);
    EXPECT_LT(angle_deg(other.up, image(one.up)), 1e-6);
    EXPECT_EQ(other.to,
              static_cast<int>(nearest(image(a.poses[static_cast<std::size_t>(one.to)].up))));
  }
}

TEST(BarrierLaws, MirroredBodyGoesOverTheOtherSide) {
  expect_same_barriers(
      balance(hooked_glider().lure), balance(hooked_glider(true).lure),
      [](const Vec3& up) { return Vec3(up.x(), -up.y(), up.z()); }, 1);
}

TEST(BarrierLaws, TwiceAsLargeABodyTakesSixteenTimesTheWork) {
  expect_same_barriers(
      balance(hooked_glider().lure), balance(hooked_glider(false, 2).lure),
      [](const Vec3& up) { return up; }, 16);
}

TEST(BarrierLaws, NumberOfThreadsDoesNotMatter) {
  const OwnedFloater made = hooked_glider();
  const Balance serial = balance(made.lure);
  for (const int threads : {2, 5}) {
    const Balance found = balance(made.lure, on_threads(threads));
    ASSERT_EQ(found.poses.size(), serial.poses.size());
    for (std::size_t i = 0; i < found.poses.size(); ++i) {
      const Barrier& a = found.poses[i].barrier.value();
      const Barrier& b = serial.poses[i].barrier.value();
      EXPECT_EQ(a.barrier_g_mm, b.barrier_g_mm);
      EXPECT_EQ(a.hardest_push_g_mm, b.hardest_push_g_mm);
      EXPECT_EQ(a.to, b.to);
      EXPECT_EQ(a.up, b.up);
    }
  }
}

// At the pass it is level and falls off; let go a thousandth of a radian to either side, it goes
// down to the two poses that are told, and nowhere higher than the pass.
TEST(BarrierLaws, FromThePassItGoesDownToThePosesTold) {
  const OwnedFloater glider = hooked_glider();
  const OwnedFloater cube = uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.2);
  for (const Floater* lure : {&glider.lure, &cube.lure}) {
    const Balance found = balance(*lure);
    for (std::size_t i = 0; i < found.poses.size(); ++i) {
      const RestPose& pose = found.poses[i];
      const Barrier& barrier = pose.barrier.value();
      const Waterline line = waterline_at(*lure, barrier.up);
      EXPECT_NEAR(line.energy_g_mm, pose.energy_g_mm + barrier.barrier_g_mm, 1e-9);
      EXPECT_LT((line.gradient_g_mm - barrier.up.dot(line.gradient_g_mm) * barrier.up).norm(),
                1e-6);
      const Curvatures k = curvatures(barrier.up, line.hessian_g_mm);
      EXPECT_LT(k.soft_g_mm, 0);
      EXPECT_GT(k.stiff_g_mm, 0);
      std::vector<std::size_t> ends;
      for (const double side : {1e-3, -1e-3}) {
        const Vec3 start = turned(barrier.up, side * k.soft_towards);
        EXPECT_LT(waterline_at(*lure, start).energy_g_mm, line.energy_g_mm);
        const Vec3 end = descend_truly(*lure, start, 0.2 * degree);
        for (std::size_t j = 0; j < found.poses.size(); ++j) {
          if (angle_deg(found.poses[j].up, end) < 0.1) ends.push_back(j);
        }
      }
      ASSERT_EQ(ends.size(), 2U);
      EXPECT_NE(std::find(ends.begin(), ends.end(), i), ends.end());
      EXPECT_NE(std::find(ends.begin(), ends.end(), static_cast<std::size_t>(barrier.to)),
                ends.end());
      EXPECT_NE(barrier.to, static_cast<int>(i));
    }
  }
}

// However long its steps, where the energy would turn they get shorter, and it comes to rest: what
// is left to go there by Newton's method is next to nothing.
TEST(SteepestWay, ComesToRestHoweverLongItsSteps) {
  const OwnedFloater glider = hooked_glider();
  const OwnedFloater cube = uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.2);
  const OwnedFloater plank = uniform(test_bodies::closed(test_bodies::box(100, 40, 12)), 0.35);
  for (const Floater* lure : {&glider.lure, &cube.lure, &plank.lure}) {
    const Balance found = balance(*lure);
    const Vec3 top = found.poses.at(0).barrier.value().up;
    const Pass pass = pass_near(*lure, top, 2 * degree).value();
    for (const double step_deg : {0.25, 1.0, 4.0, 10.0, 25.0, 60.0}) {
      for (const double side : {1.0, -1.0}) {
        const std::optional<Way> way =
            way_from(*lure, pass, side * pass.over, Steepest::descent, step_deg * degree);
        ASSERT_TRUE(way);
        const Waterline line = waterline_at(*lure, way->end);
        const Curvatures k = curvatures(way->end, line.hessian_g_mm);
        EXPECT_GT(k.soft_g_mm, 0) << step_deg;
        EXPECT_LT(newton_step(k, line.gradient_g_mm).norm(), 1e-6) << step_deg;
        EXPECT_NEAR(way->energy_g_mm, line.energy_g_mm, 1e-9);
      }
    }
  }
}

// No way between two poses stays below the barrier: here straight ones, and ones round by a third
// direction, sampled. The push on a straight way is no less than the work over the way's length.
TEST(BarrierLaws, NoWayBetweenPosesStaysLower) {
  const OwnedFloater made = hooked_glider();
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 2U);
  const Vec3& from = found.poses[0].up;
  const Vec3& to = found.poses[1].up;
  const double pass = found.poses[0].energy_g_mm + found.poses[0].barrier.value().barrier_g_mm;
  for (int way = 0; way < 60; ++way) {
    const Vec3 side = std::cos(way * 6 * degree) * Vec3::UnitX() +
                      std::sin(way * 6 * degree) * (from - to).cross(Vec3::UnitX()).normalized();
    for (const double bend : {0.5, 1.0, 3.0}) {
      double greatest = -HUGE_VAL;
      std::optional<double> offset_mm;
      for (int i = 0; i <= 100; ++i) {
        const double t = i / 100.0;
        const Vec3 up =
            ((1 - t) * from + t * to + bend * std::sin(t * std::numbers::pi) * side).normalized();
        const Waterline line = waterline_at(made.lure, up, offset_mm);
        offset_mm = line.offset_mm;
        greatest = std::max(greatest, line.energy_g_mm);
      }
      // Between samples, 2° and more apart, a way may rise by what a summit of the pass's height
      // and curvature does.
      EXPECT_GT(greatest, pass - 0.1) << way << " " << bend;
    }
  }
  for (const RestPose& pose : found.poses) {
    const double way = angle_deg(pose.up, pose.barrier->up) * degree;
    EXPECT_GT(pose.barrier->hardest_push_g_mm, pose.barrier->barrier_g_mm / way / 1.2);
  }
}

// Two ways to a pass: Newton's, and bisection that knows slopes alone; a smooth one and one where
// second derivatives have a kink (a cube of ¼, at the tilt at which its edge comes to the water).
// There the energy falls off with the third power of the turn only, some 17 g·mm/rad³, so that
// where the slope drowns in rounding (1e-11 g·mm) is known to a root of it, 1e-4°; the height is
// not the worse for that.
TEST(Passes, AreTheSameByNewtonAndByBisection) {
  const OwnedFloater glider = hooked_glider();
  const OwnedFloater cube = uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.25);
  for (const auto& [lure, within_deg] :
       {std::pair{&glider.lure, 1e-6}, std::pair{&cube.lure, 1e-4}}) {
    const Vec3 pass = balance(*lure).poses.at(0).barrier.value().up;
    for (const Vec3& off : {Vec3(0.01, 0.012, 0), Vec3(-0.02, 0.005, 0.015)}) {
      const Vec3 start = (pass + off).normalized();
      const std::optional<Pass> by_newton = pass_near(*lure, start, 4 * degree);
      const std::optional<Pass> by_bisection = bracketed_pass(*lure, start, 4 * degree);
      ASSERT_TRUE(by_newton.has_value());
      ASSERT_TRUE(by_bisection.has_value());
      EXPECT_LT(angle_deg(by_newton->at.up, pass), within_deg);
      EXPECT_LT(angle_deg(by_bisection->at.up, pass), within_deg);
      EXPECT_NEAR(by_bisection->at.line.energy_g_mm, by_newton->at.line.energy_g_mm,
                  1e-9 + by_bisection->tolerance_g_mm);
    }
  }
}

TEST(Passes, AreNotFoundWhereThereIsNone) {
  const OwnedFloater made = hooked_glider();
  const Balance found = balance(made.lure);
  for (const RestPose& pose : found.poses) {
    EXPECT_FALSE(pass_near(made.lure, pose.up, 3 * degree).has_value());
    EXPECT_FALSE(bracketed_pass(made.lure, pose.up, 3 * degree).has_value());
  }
}

// Of four blocks a table of twelve directions does not show the passes by itself. Where its nodes
// join at a height that no pass explains, one is sought: the barriers are those of the fine table.
TEST(PassLinks, FindWhatACoarseTableDoesNotShow) {
  for (const unsigned seed : {3U, 20U, 22U, 42U}) {
    std::mt19937_64 random(seed);
    const auto between = [&](double low, double high) {
      return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
    };
    const double a = between(20, 100);
    const double b = between(20, 60);
    const double c = between(20, 40);
    OwnedFloater made = uniform(test_bodies::closed(test_bodies::box(a, b, c)), between(0.1, 0.9));
    made.lure.centre_of_mass_mm.x() += between(-2, 2);
    made.lure.centre_of_mass_mm.y() += between(-1, 1);
    made.lure.centre_of_mass_mm.z() += between(-3, 3);
    const SphereGrid coarse(0);
    const EnergyField field(made.lure, coarse, geometry::serial_for);
    const Balance fine = balance(made.lure);
    RestPlaces places(made.lure);
    std::vector<int> pose_of_place;
    for (std::size_t i = 0; i < fine.poses.size(); ++i) {
      pose_of_place.push_back(places.offer(fine.poses[i].up).value());
      ASSERT_EQ(pose_of_place.back(), static_cast<int>(i));
    }
    PassLinks passes(made.lure, field, places);
    const std::vector<LinkedPass> links = passes.link(places);
    const std::vector<std::optional<Barrier>> found =
        barriers(made.lure, links, places.places(), pose_of_place);
    for (std::size_t i = 0; i < fine.poses.size(); ++i) {
      ASSERT_TRUE(found[i]) << i << " of " << described(fine);
      EXPECT_NEAR(found[i]->barrier_g_mm, fine.poses[i].barrier.value().barrier_g_mm, 1e-7);
      EXPECT_EQ(found[i]->to, fine.poses[i].barrier->to);
    }
  }
}

// Euler's number of the sphere: poses less passes plus summits are two. A cube of 0.2: 6 faces and
// 8 corners down, 24 passes between neighbours, 12 edges up as summits. At ½: 8 corners, the 12
// edges, and 6 faces as summits.
TEST(Passes, OfACubeAreAllThere) {
  const auto passes_of = [](double s) {
    const OwnedFloater made = uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), s);
    const SphereGrid grid(5);
    const EnergyField field(made.lure, grid, geometry::serial_for);
    return search_passes(made.lure, field, search_rest_places(made.lure, field)).size();
  };
  EXPECT_EQ(passes_of(0.2), 6U + 8 + 12 - 2);
  EXPECT_EQ(passes_of(0.5), 8U + 6 - 2);
}

TEST(Passes, ComeByRisingEnergyAndEachOnce) {
  const auto pass_at = [](const Vec3& up, double energy_g_mm) {
    Pass pass;
    pass.at.up = up.normalized();
    pass.at.line.energy_g_mm = energy_g_mm;
    return pass;
  };
  std::vector<Pass> passes;
  EXPECT_TRUE(add_pass(passes, pass_at({1, 0, 0}, 5)));
  EXPECT_TRUE(add_pass(passes, pass_at({0, 1, 0}, 2)));
  EXPECT_TRUE(add_pass(passes, pass_at({0, 0, 1}, 9)));
  EXPECT_TRUE(add_pass(passes, pass_at({0, -1, 0}, 7)));
  EXPECT_TRUE(add_pass(passes, pass_at({0, 1, 1}, 5)));
  EXPECT_FALSE(add_pass(passes, pass_at({1, 0.001, 0}, 1)));
  std::vector<double> energies;
  for (const Pass& pass : passes) energies.push_back(pass.at.line.energy_g_mm);
  EXPECT_EQ(energies, (std::vector<double>{2, 5, 5, 7, 9}));
  // Of those of one height that which came first.
  EXPECT_EQ(passes[1].at.up, Vec3::UnitX());
  EXPECT_TRUE(add_pass(passes, pass_at({1, 0.003, 0}, 1)));  // 0.17 degrees off
}

// A start that is a pose but for rounding converges to it, with a hook's end near the water too.
TEST(Settle, StaysWhereItStartsAtRest) {
  const OwnedFloater made = hooked_glider();
  for (const RestPose& pose : balance(made.lure).poses) {
    const TangentPair t = tangents(pose.up);
    for (const double off : {0.0, 1e-12, 1e-9, 3e-8, 1e-6, 1e-4}) {
      const Stationary found = settle(made.lure, turned(pose.up, off * (t.first + t.second)));
      EXPECT_TRUE(found.converged) << off;
      EXPECT_LT(angle_deg(found.up, pose.up), 1e-8) << off;
    }
  }
}

// Closed form: half a spheroid about an axis, c long along it and r across, whose G is e from its
// middle along the axis, tilts until c²·cos² + r²·sin² = (β·(c² − r²)·cos/e)², β = 3/8, to all
// sides alike. Such a ring goes round x where the axis is x, and nowhere else.
TEST(ValleyWalk, TellsARingAboutTheLongAxisFromOthers) {
  constexpr double c = 30;
  constexpr double r = 20;
  for (int axis = 0; axis < 3; ++axis) {
    Vec3 semi_axes = Vec3::Constant(r);
    semi_axes(axis) = c;
    const FormulaEllipsoid body(semi_axes.x(), semi_axes.y(), semi_axes.z());
    for (const double tilt_deg : {20.0, 45.0, 70.0, 88.0}) {
      const double cosine = std::cos(tilt_deg * degree);
      const double across = std::sqrt(r * r + (c * c - r * r) * cosine * cosine);
      Floater lure;
      lure.body = body.cut_body();
      lure.mass_g = body.volume_mm3() / 2000;
      lure.centre_of_mass_mm(axis) = -0.375 * (c * c - r * r) * cosine / across;
      const Vec3 to_side = Vec3::Unit((axis + 1) % 3);
      const Vec3 start = turned(Vec3::Unit(axis), (tilt_deg - 1) * degree * to_side);
      const Stationary at = settle(lure, start);
      ASSERT_TRUE(at.converged);
      EXPECT_NEAR(at.up(axis), cosine, 1e-6);
      const ValleyWalk walk = walk_valley(lure, at, 0.01);
      ASSERT_TRUE(walk.ring) << axis << " " << tilt_deg;
      EXPECT_EQ(walk.ring->about_long_axis, axis == 0) << axis << " " << tilt_deg;
      for (const Vec3& point : walk.ring->points) EXPECT_NEAR(point(axis), cosine, 1e-6);
    }
  }
}

// From all over, not only from where a table shows a low place, and in some dozen steps: the
// dearest start takes 36 cuts, on average it is 8 to 20. Downhill: never to more energy than it
// began with.
TEST(Settle, ComesToRestFromAllOver) {
  struct Row {
    OwnedFloater made;
    int most_on_average;
  };

  const std::vector<Row> rows = {
      {uniform(test_bodies::closed(test_bodies::glider(2000)), 0.6), 14},
      {uniform(test_bodies::closed(test_bodies::pencil(2000)), 0.75), 21},
      {uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.2), 12},
      {uniform(test_bodies::closed(test_bodies::ellipsoid(40, 25, 30, 24, 24)), 0.5), 9}};
  const SphereGrid grid(2);
  const Mat3 turn = test_bodies::random_turn(3);
  for (const auto& [made, most_on_average] : rows) {
    const CountedCuts counter{made.lure.body};
    const Floater lure = counted(made.lure, counter);
    int all = 0;
    for (int i = 0; i < grid.node_count(); ++i) {
      const Vec3 start = turn * grid.node(i);
      counter.cuts = 0;
      const Stationary found = settle(lure, start);
      EXPECT_TRUE(found.converged) << i;
      EXPECT_LE(counter.cuts, 36) << i;
      all += counter.cuts;
      EXPECT_LE(found.line.energy_g_mm, waterline_at(lure, start).energy_g_mm + 1e-9) << i;
    }
    EXPECT_LE(all, most_on_average * grid.node_count());
  }
}

// By way of a rough body it comes to the same places as without, as truly, and to each of them.
TEST(SettleFromAfar, ComesToTheBodysOwnPlaces) {
  const geometry::ClosedMesh mesh = ellipsoid_mesh(330);
  const geometry::MomentTree tree = geometry::MomentTree::with_rough(mesh);
  ASSERT_NE(tree.rough(), nullptr);
  Floater lure;
  lure.body = &tree;
  lure.mass_g = ellipsoid_half_g;
  lure.centre_of_mass_mm = {0.5, 0.1, -1};
  Floater plain = lure;
  const geometry::MomentTree alone(mesh);
  plain.body = &alone;
  const std::vector<RestPose> poses = balance(plain).poses;
  ASSERT_EQ(poses.size(), 2U);
  const SphereGrid grid(1);
  std::array<int, 2> come{};
  for (int i = 0; i < grid.node_count(); ++i) {
    const Stationary found = settle_from_afar(lure, grid.node(i));
    ASSERT_TRUE(found.converged) << i;
    for (std::size_t k = 0; k < 2; ++k) {
      if (angle_deg(found.up, poses[k].up) > 1e-6) continue;
      ++come[k];
      EXPECT_NEAR(found.line.energy_g_mm, poses[k].energy_g_mm, 1e-9);
    }
  }
  EXPECT_EQ(come[0] + come[1], grid.node_count());
  EXPECT_GT(std::min(come[0], come[1]), 10);
  EXPECT_EQ(balance(lure).poses.size(), 2U);
}

// The table's ellipsoid with a centre of buoyancy that jumps about by up to 0.2 mm from one
// direction to the next, as no body's does: there are low places, and none where it is level.
geometry::BelowPlane jumping_below(const void* body, const geometry::Plane& plane) {
  geometry::BelowPlane below = static_cast<const CutBody*>(body)->below(plane);
  const double scattered = std::abs(std::fmod(plane.normal.y() * 1e11, 1.0));
  below.first_moment_mm4.z() += 0.2 * (scattered - 0.5) * below.volume_mm3;
  below.first_moment_mm4.y() += 0.2 * (scattered - 0.5) * below.volume_mm3;
  return below;
}

TEST(Settle, ThatDoesNotConvergeMakesNoPose) {
  const FormulaEllipsoid ellipsoid(80, 10, 12);
  const CutBody whole = ellipsoid.cut_body();
  Floater lure;
  lure.body = CutBody(
      &whole, jumping_below,
      [](const void* body, const Vec3& direction) {
        return static_cast<const CutBody*>(body)->extent_mm(direction);
      },
      whole.volume_mm3(), whole.first_moment_mm4());
  lure.mass_g = 30;
  lure.centre_of_mass_mm = {0, 0.1, -3};
  const Balance found = balance(lure);
  EXPECT_TRUE(found.poses.empty()) << described(found);
  EXPECT_EQ(found.state, State::floats);
  lure.body = whole;
  EXPECT_EQ(balance(lure).poses.size(), 1U);
}

}  // namespace
}  // namespace trueblank::water
