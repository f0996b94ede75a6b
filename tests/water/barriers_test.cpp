// SPDX-License-Identifier: GPL-3.0-or-later
// What holds a lure in its poses, held against closed forms. A uniform body's energy per mass is
// the height of its centre of mass over that of its buoyancy, so that wherever both are known by
// symmetry, at a pose and at a pass, the barrier between them is. Derived, each beside its test.
#include "water/barriers.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "geometry/moments.h"
#include "water/bars.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

constexpr double root2 = std::numbers::sqrt2;
constexpr double root3 = std::numbers::sqrt3;

struct SmoothEllipsoid {
  FormulaEllipsoid body;
  Floater lure;
  double mean_beta;  // of the closed form

  SmoothEllipsoid(const Vec3& semi_axes, double mass_g, const Vec3& G)
      : body(semi_axes.x(), semi_axes.y(), semi_axes.z()),
        mean_beta(ellipsoid_beta(mass_g / (body.volume_mm3() * 1e-3))) {
    lure.body = body.cut_body();
    lure.mass_g = mass_g;
    lure.centre_of_mass_mm = G;
  }

  SmoothEllipsoid(const SmoothEllipsoid&) = delete;
  SmoothEllipsoid& operator=(const SmoothEllipsoid&) = delete;

  [[nodiscard]] double energy_g_mm(const Vec3& up) const {
    return lure.mass_g * (lure.centre_of_mass_mm.dot(up) +
                          mean_beta * up.cwiseProduct(body.semi_axes_mm()).norm());
  }
};

const Vec3 table_axes(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);

// Source: 2·M·e = 180 g·mm for 30 g with G 3 mm low. The stiff axis never comes near the water, so
// it rolls over keel up. The hardest push on that way: the greatest of
// M·(e·sin φ + β·(b² − c²)·sin φ·cos φ/r), r² = b²·sin²φ + c²·cos²φ, on a fine table of φ.
TEST(EllipsoidBarrier, OfOnePoseIsTheWorkOfRollingItOverKeelUp) {
  const SmoothEllipsoid made(table_axes, 30, {0, 0, -3});
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 1U);
  ASSERT_TRUE(found.poses[0].barrier.has_value());
  const Barrier& barrier = *found.poses[0].barrier;
  EXPECT_NEAR(barrier.barrier_g_mm, 180, 1e-9);
  EXPECT_EQ(barrier.to, 0);
  EXPECT_LT(angle_deg(barrier.up, -Vec3::UnitZ()), 1e-6);
  EXPECT_EQ(barrier.tolerance_g_mm, 0);
  EXPECT_FALSE(found.poses[0].overturn_g_mm.has_value());
  double hardest = 0;
  for (int i = 0; i <= 18000; ++i) {
    const double sine = std::sin(i * 0.01 * degree);
    const double cosine = std::cos(i * 0.01 * degree);
    const double reach = std::hypot(ellipsoid_b_mm * sine, ellipsoid_c_mm * cosine);
    const double bend = ellipsoid_b_mm * ellipsoid_b_mm - ellipsoid_c_mm * ellipsoid_c_mm;
    hardest = std::max(hardest, 30 * (3 * sine + made.mean_beta * bend * sine * cosine / reach));
  }
  EXPECT_NEAR(barrier.hardest_push_g_mm, hardest, 1e-5);
}

// Source: the same ellipsoid half immersed, G 1 mm low: it lies at ±48.554802° of list, with
// 1.334572 g·mm to go over the upright.
TEST(EllipsoidBarrier, OfALureThatIsNearlyRightIsSmallOverTheUpright) {
  const SmoothEllipsoid made(table_axes, ellipsoid_half_g, {0, 0, -1});
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 2U);
  for (std::size_t i = 0; i < 2; ++i) {
    ASSERT_TRUE(found.poses[i].barrier.has_value());
    const Barrier& barrier = *found.poses[i].barrier;
    EXPECT_NEAR(barrier.barrier_g_mm, 1.334572, 5e-7);
    EXPECT_EQ(barrier.to, static_cast<int>(1 - i));
    EXPECT_LT(angle_deg(barrier.up, Vec3::UnitZ()), 1e-6);
    // The whole way back over keel up stands in righting_test.cpp.
    EXPECT_FALSE(found.poses[i].overturn_g_mm.has_value());
  }
}

// With G at the middle of half an ellipsoid, energies are M·β·(semi-axis) along the axes: the poses
// are the shortest axis up and down, the passes the middle one's two ends, and β = 3/8. Of these
// the one over the right flank is told, else the one over the tail, else the one that is back up.
TEST(EllipsoidBarrier, WithGAtItsMiddleLeadsOverTheMiddleAxis) {
  for (const auto& [axes, told] :
       {std::pair{Vec3(80, 10, 12), Vec3(0, 0, 1)}, std::pair{Vec3(20, 17, 18), Vec3(0, 0, 1)},
        std::pair{Vec3(14, 30, 22), Vec3(0, 0, 1)}, std::pair{Vec3(80, 12, 10), Vec3(0, -1, 0)},
        std::pair{Vec3(22, 14, 30), Vec3(-1, 0, 0)}}) {
    const double half_g = 2 * std::numbers::pi / 3 * axes.prod() * 1e-3;
    const SmoothEllipsoid made(axes, half_g, Vec3::Zero());
    std::array<double, 3> sorted = {axes.x(), axes.y(), axes.z()};
    std::sort(sorted.begin(), sorted.end());
    const Balance found = balance(made.lure);
    ASSERT_EQ(found.poses.size(), 2U) << described(found);
    for (std::size_t i = 0; i < 2; ++i) {
      const Barrier& barrier = found.poses[i].barrier.value();
      const double expected = half_g * 0.375 * (sorted[1] - sorted[0]);
      EXPECT_NEAR(barrier.barrier_g_mm, expected, 1e-9 * expected);
      EXPECT_NEAR(barrier.up.cwiseProduct(axes).norm(), sorted[1], 1e-9);
      EXPECT_LT(angle_deg(barrier.up, told), 1e-6);
      EXPECT_EQ(barrier.to, static_cast<int>(1 - i));
    }
  }
}

// A round block as long as wide and very light lies on its side or stands on either end. With its
// weight a little off its axis it rolls right round, on its side, by 2·M·e of work, which is far
// less than what it takes to set it on end; but round to itself is no way out.
TEST(RoundBlockBarrier, LeadsToAnEndThoughItRollsRoundMoreEasily) {
  const geometry::ClosedMesh block = along_x(test_bodies::turned({{20, 0}, {20, 40}}, 64));
  const double mass_g = 0.1e-3 * geometry::moments(block).volume_mm3;
  constexpr double low_mm = 0.2;
  const OwnedFloater made =
      floating(block, mass_g, geometry::moments(block).centroid_mm - Vec3(0, 0, low_mm));
  const Balance found = balance(made.lure);
  ASSERT_EQ(found.poses.size(), 3U) << described(found);
  for (std::size_t i = 0; i < 3; ++i) {
    const RestPose& pose = found.poses[i];
    const Barrier& barrier = pose.barrier.value();
    EXPECT_NE(barrier.to, static_cast<int>(i));
    if (std::abs(pose.tail_down_deg) > 45) continue;
    EXPECT_NEAR(pose.list_deg.value(), 0, 1e-6);
    EXPECT_GT(barrier.barrier_g_mm, 4 * mass_g * low_mm);
    EXPECT_NEAR(waterline_at(made.lure, -pose.up).energy_g_mm - pose.energy_g_mm,
                2 * mass_g * low_mm, 1e-9);
  }
}

// Passes that differ by less than counts are told apart as if they were of one height: G is so near
// the middle that the one that is told is higher by a few ten millionths.
TEST(EllipsoidBarrier, OfTwoPassesAlikeIsToldByTheirPlaceNotByWhichIsLower) {
  for (const auto& [axes, told] :
       {std::pair{Vec3(80, 10, 12), Vec3(0, 0, 1)}, std::pair{Vec3(80, 12, 10), Vec3(0, -1, 0)},
        std::pair{Vec3(22, 14, 30), Vec3(-1, 0, 0)}}) {
    const double half_g = 2 * std::numbers::pi / 3 * axes.prod() * 1e-3;
    const SmoothEllipsoid made(axes, half_g, 1e-8 * told);
    ASSERT_GT(made.energy_g_mm(told), made.energy_g_mm(-told));
    const Balance found = balance(made.lure);
    ASSERT_EQ(found.poses.size(), 2U) << described(found);
    for (const RestPose& pose : found.poses) {
      EXPECT_LT(angle_deg(pose.barrier.value().up, told), 1e-5);
    }
  }
}

// Wherever G is, the closed form says what a pass must be: level, its energy as told, falling off
// to two sides and rising to two. Of all directions on a fine net those below it that can be walked
// to from the pose hold no other pose: that is a long test (slow_barriers_test.cpp).
TEST(EllipsoidBarrier, IsAPassOfTheClosedFormWhereverGIs) {
  for (const EllipsoidRow& row : ellipsoid_rows()) {
    const SmoothEllipsoid made(table_axes, row.mass_g, row.G);
    for (const RestPose& pose : balance(made.lure).poses) {
      if (!pose.barrier) {
        // Nose up and nose down are a pose and the one summit: no way all round over a pass.
        EXPECT_GT(pose.tail_down_deg, 60);
        EXPECT_NEAR(pose.overturn_g_mm.value(),
                    made.energy_g_mm(-pose.up) - made.energy_g_mm(pose.up), 1e-8);
        continue;
      }
      const Vec3& up = pose.barrier->up;
      EXPECT_NEAR(pose.barrier->barrier_g_mm, made.energy_g_mm(up) - made.energy_g_mm(pose.up),
                  1e-8);
      const Vec3 pull = table_axes.cwiseProduct(table_axes.cwiseProduct(up));
      const Vec3 lever = row.G + made.mean_beta * pull / up.cwiseProduct(table_axes).norm();
      EXPECT_LT(up.cross(lever).norm(), 1e-9);
      int falling = 0;
      const TangentPair t = tangents(up);
      for (int i = 0; i < 360; ++i) {
        const Vec3 side = std::cos(i * degree) * t.first + std::sin(i * degree) * t.second;
        const bool falls = made.energy_g_mm(turned(up, 1e-3 * side)) < made.energy_g_mm(up);
        falling += falls ? 1 : 0;
      }
      EXPECT_GT(falling, 0);
      EXPECT_LT(falling, 360);
      EXPECT_GT(made.energy_g_mm(up), made.energy_g_mm(pose.up));
    }
  }
}

// Source: a ball's energy is −M·e·cos of the turn: one pose, one summit, no pass; upside down it is
// 2·M·e. With its centre of mass at its middle there is nothing to tell.
TEST(NoBarrier, WhereThereIsOneSummitAlone) {
  const SmoothEllipsoid ball({22, 22, 22}, 30, {0, 1, -4});
  const Balance found = balance(ball.lure);
  ASSERT_EQ(found.poses.size(), 1U);
  EXPECT_FALSE(found.poses[0].barrier.has_value());
  EXPECT_NEAR(found.poses[0].overturn_g_mm.value(), 2 * 30 * std::sqrt(17.0), 1e-9);
  const SmoothEllipsoid middle({22, 22, 22}, 30, {0, 0, 0});
  const Balance alike = balance(middle.lure);
  ASSERT_EQ(alike.poses.size(), 1U);
  EXPECT_TRUE(alike.poses[0].indifferent);
  EXPECT_FALSE(alike.poses[0].barrier.has_value());
  EXPECT_FALSE(alike.poses[0].overturn_g_mm.has_value());
}

// Source: a submerged body's energy is −D·BG·cos of the turn.
TEST(NoBarrier, UnderWater) {
  const OwnedFloater made =
      floating(test_bodies::closed(test_bodies::box(100, 20, 20)), 45, {3, 0.2, -2.5});
  const RestPose pose = balance(made.lure).poses.at(0);
  EXPECT_FALSE(pose.barrier.has_value());
  EXPECT_NEAR(pose.overturn_g_mm.value(), 2 * 40 * std::sqrt(9 + 0.04 + 6.25), 1e-9);
}

// A log lies indifferent in roll, and over its ends there are summits, no passes. A weight off its
// middle makes one pose of the ring, that rolls over with the weight on top: 2·M·e. Tolerance: 360
// sides.
TEST(NoBarrier, OfALogUntilAWeightIsInIt) {
  OwnedFloater made = uniform(along_x(test_bodies::turned({{10, 0}, {10, 60}}, 360)), 0.5);
  const Balance bare = balance(made.lure);
  ASSERT_EQ(bare.poses.size(), 1U);
  EXPECT_FALSE(bare.poses[0].barrier.has_value());
  EXPECT_FALSE(bare.poses[0].overturn_g_mm.has_value());
  EXPECT_FALSE(bare.poses[0].list_stiffness_g_mm_per_deg.has_value());
  made.lure.centre_of_mass_mm += Vec3(0, 1, -4);
  const Balance weighted = balance(made.lure);
  ASSERT_EQ(weighted.poses.size(), 1U);
  const Barrier& barrier = weighted.poses[0].barrier.value();
  EXPECT_EQ(barrier.to, 0);
  const double work = 2 * made.lure.mass_g * std::sqrt(17.0);
  EXPECT_NEAR(barrier.barrier_g_mm, work, 1e-3 * work);
  EXPECT_NEAR(barrier.hardest_push_g_mm, work / 2, 1e-3 * work);
}

// Source: two rings, leaning with either end up; between them it lies on its side, in all
// directions alike. Lying, its B is a half circle's centroid, 4r/(3π), below; leaning, by the
// wall-sided formula, the energy per mass is cos φ·(BG + ½·BM·tan²φ) with BG = L/4,
// BM = r²/(2L), tan²φ = 4(L/D)² − 2. Tolerance: 360 sides.
TEST(DiscBarrier, LeadsOverLyingOnItsSide) {
  const double r = 10;
  const double length = 15;
  const Balance found = balance(
      uniform(test_bodies::closed(test_bodies::turned({{r, -length / 2}, {r, length / 2}}, 360)),
              0.5)
          .lure);
  ASSERT_EQ(found.poses.size(), 2U);
  const double tan2 = length * length / (r * r) - 2;
  const double leaning = (length / 4 + r * r / (4 * length) * tan2) / std::sqrt(1 + tan2);
  const double expected = found.mass_g * (4 * r / (3 * std::numbers::pi) - leaning);
  for (std::size_t i = 0; i < 2; ++i) {
    const Barrier& barrier = found.poses[i].barrier.value();
    EXPECT_EQ(barrier.to, static_cast<int>(1 - i));
    EXPECT_NEAR(barrier.barrier_g_mm, expected, 2e-3 * expected);
    EXPECT_NEAR(barrier.up.z(), 0, 1e-4);
  }
}

double barrier_of(const Balance& found, std::size_t i) {
  return found.poses.at(i).barrier ? found.poses[i].barrier->barrier_g_mm : -1;
}

// By symmetry all barriers of a kind are equal, and each pose's leads to one of the other kind.
TEST(CubeBarriers, AreAlikeForAllFacesAndForAllCorners) {
  for (const double s : {0.17, 0.2, 0.211}) {
    const Balance found =
        balance(uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), s).lure);
    ASSERT_EQ(found.poses.size(), 14U) << described(found);
    for (std::size_t i = 0; i < found.poses.size(); ++i) {
      const bool corner = i >= 6;
      ASSERT_EQ(found.poses[i].up.cwiseAbs().maxCoeff() < 0.6, corner);
      EXPECT_NEAR(barrier_of(found, i), barrier_of(found, corner ? 6 : 0), 1e-9) << s;
      const int to = found.poses[i].barrier.value().to;
      EXPECT_EQ(to < 6, corner) << s;
      // Both climb to passes of one height.
      EXPECT_NEAR(found.poses[i].energy_g_mm + barrier_of(found, i),
                  found.poses[0].energy_g_mm + barrier_of(found, 0), 1e-9);
    }
    EXPECT_GT(barrier_of(found, 6), 0);
  }
}

// Source: at ½ the passes are the twelve edges up, B a triangle's centroid, √2/6 of the side below
// G; corner up B lies 13√3/96 below. At ¼ the water along a pass just reaches an edge: it cuts off
// a triangle of legs 1 and ½, whose centroid is (1/6, 1/3) from G, tilted by tan φ = ½; there the
// second derivatives jump.
TEST(CubeBarriers, LeadOverItsEdges) {
  const double side = 40;
  const auto cube = [&](double s) {
    return balance(uniform(test_bodies::closed(test_bodies::box(side, side, side)), s).lure);
  };
  const Balance half = cube(0.5);
  ASSERT_EQ(half.poses.size(), 8U);
  const Balance quarter = cube(0.25);
  ASSERT_EQ(quarter.poses.size(), 8U);
  const double tilted = (1.0 / 6 / 2 + 1.0 / 3) / std::sqrt(1.25);
  for (std::size_t i = 0; i < 8; ++i) {
    EXPECT_NEAR(barrier_of(half, i), half.mass_g * side * (root2 / 6 - 13 * root3 / 96), 1e-9);
    EXPECT_NEAR(quarter.poses[i].energy_g_mm + barrier_of(quarter, i),
                quarter.mass_g * side * tilted, 1e-9);
    EXPECT_NEAR(half.poses[i].barrier.value().up.cwiseAbs().minCoeff(), 0, 1e-6);
  }
}

// A ring counts as one pose: six rings and eight corners, a pass between each two neighbours.
TEST(CubeBarriers, OfARingCountFromIt) {
  const Balance found =
      balance(uniform(test_bodies::closed(test_bodies::box(40, 40, 40)), 0.22).lure);
  ASSERT_EQ(found.poses.size(), 14U);
  for (std::size_t i = 0; i < found.poses.size(); ++i) {
    const int to = found.poses[i].barrier.value().to;
    EXPECT_NE(found.poses[i].indifferent, found.poses[static_cast<std::size_t>(to)].indifferent);
    EXPECT_NEAR(barrier_of(found, i), barrier_of(found, found.poses[i].indifferent ? 0 : 6), 1e-6);
  }
}

// Source, per side and mass: flat, BG = (1 − s)/2; edge down below ½, an immersed triangle of depth
// √s: BG = √2/2 − 2√s/3; leaning, by the wall-sided formula, cos φ·(BG + ½·BM·tan²φ) with BM =
// 1/(12s). At 0.2 it lies flat with the edge as pass, at ½ the other way round, at 0.24 it leans
// with the flat as the lower pass.
TEST(SquareBarBarrier, IsTheClosedFormOfItsSection) {
  const auto expect_all = [](double s, std::size_t poses, double per_mass_and_side) {
    const Balance found = balance(square_bar(s).lure);
    ASSERT_EQ(found.poses.size(), poses);
    const double expected = found.mass_g * bar_side_mm * per_mass_and_side;
    for (std::size_t i = 0; i < poses; ++i) EXPECT_NEAR(barrier_of(found, i), expected, 1e-9) << s;
  };
  const auto flat = [](double s) { return (1 - s) / 2; };
  const auto edge = [](double s) { return root2 / 2 - 2 * std::sqrt(s) / 3; };
  expect_all(0.2, 4, edge(0.2) - flat(0.2));
  expect_all(0.5, 4, flat(0.5) - edge(0.5));
  const double s = 0.24;
  const double tan2 = 12 * s * (1 - s) - 2;
  const double leaning = (flat(s) + tan2 / (24 * s)) / std::sqrt(1 + tan2);
  expect_all(s, 8, flat(s) - leaning);
}

// Source, per mass, with h the height of the section: corner down, an immersed triangle of height
// h√s: BG = ⅔h(1 − √s); side down, the dry triangle above is of height h√(1−s), and s·BG is its
// moment: BG = ⅔h(1 − √(1−s))(1−s)/s. At 0.57 it lies corner down with the sides as passes, at 0.43
// the other way round.
TEST(TriangularBarBarrier, IsTheClosedFormOfItsSection) {
  const double h = bar_side_mm * root3 / 2;
  const auto corner = [&](double s) { return 2 * h / 3 * (1 - std::sqrt(s)); };
  const auto side = [&](double s) { return corner(1 - s) * (1 - s) / s; };
  for (const double s : {0.57, 0.43}) {
    const Balance found = balance(triangular_bar(s).lure);
    ASSERT_EQ(found.poses.size(), 3U);
    const double expected = found.mass_g * std::abs(side(s) - corner(s));
    for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(barrier_of(found, i), expected, 1e-9) << s;
  }
}

// Source: the box of breadth 12, draught 4, that lolls at 25°: GM = −½·BM·tan²25° = −0.326164, and
// M·∫GZ from the upright is M·(BG − cos φ·(BG + ½·BM·tan²φ)).
TEST(LollBarrier, IsTheWorkBackToTheUpright) {
  const double bm = 3;
  const double tan2 = std::pow(std::tan(25 * degree), 2);
  const double bg = bm + bm * tan2 / 2;
  const OwnedFloater made = floating(test_bodies::closed(test_bodies::box(120, 12, 40)),
                                     120 * 12 * 4 * 1e-3, {0, 0, 2 + bg - 20});
  const Balance found = balance(made.lure);
  int lolling = 0;
  for (std::size_t i = 0; i < found.poses.size(); ++i) {
    if (std::abs(std::abs(found.poses[i].list_deg.value()) - 25) > 1e-6) continue;
    ++lolling;
    const double work = bg - std::cos(25 * degree) * (bg + bm * tan2 / 2);
    EXPECT_NEAR(barrier_of(found, i), found.mass_g * work, 1e-9);
    EXPECT_LT(angle_deg(found.poses[i].barrier.value().up, Vec3::UnitZ()), 1e-6);
  }
  EXPECT_EQ(lolling, 2) << described(found);
}

}  // namespace
}  // namespace trueblank::water
