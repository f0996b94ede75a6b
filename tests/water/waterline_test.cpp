// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/waterline.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/moments.h"
#include "water/floating_bodies.h"
#include "water/sphere_grid.h"

namespace trueblank::water {
namespace {

// A glider with hanging parts of all lengths, so that at most directions some are partly wet.
OwnedFloater hooked_glider() {
  OwnedFloater made = floating(test_bodies::closed(test_bodies::glider(4000)), 30, {58, 0.3, -3});
  made.lure.water_density_g_cm3 = 1.0267;
  made.lure.outside = {{"belly treble", {40, 0, -16}, 1780, 40, 0},
                       {"tail treble", {124, 0, 2}, 900, 30, 0},
                       {"nose ring", {-3, 0, 1}, 40, 2, 0},
                       {"lip", {6, 1, -9}, 700, 5, 5}};
  return made;
}

std::vector<Vec3> directions(int count, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  std::vector<Vec3> found;
  for (int i = 0; i < count; ++i) {
    found.push_back(Vec3(normal(random), normal(random), normal(random)).normalized());
  }
  return found;
}

double displaced_g(const Floater& lure, const Vec3& up, double offset_mm) {
  double sum = lure.body.below({up, offset_mm}).volume_mm3;
  for (const rig::SpreadPart& part : lure.outside) {
    const double reach = offset_mm - up.dot(part.at_mm) + part.below_mm;
    sum += part.volume_mm3 * std::clamp(reach / (part.below_mm + part.above_mm), 0.0, 1.0);
  }
  return sum * lure.water_g_per_mm3();
}

// Source: Archimedes' principle, the definition of a waterline.
// Tolerance: the mass to 1e-12 of itself, a few times what rounding costs the volume.
TEST(Waterline, LiesWhereWeightEqualsBuoyancy) {
  OwnedFloater made = hooked_glider();
  for (const double part : {1e-6, 0.01, 0.3, 0.6, 0.99, 0.999999}) {
    made.lure.mass_g = part * made.lure.displacement_full_g();
    for (const Vec3& up : directions(40, 1)) {
      const Waterline line = waterline_at(made.lure, up);
      ASSERT_TRUE(line.converged);
      EXPECT_NEAR(displaced_g(made.lure, up, line.offset_mm), made.lure.mass_g,
                  1e-12 * made.lure.displacement_full_g())
          << "part " << part << " up " << up.transpose();
    }
  }
}

// Where only a hook reaches down far enough: 0.5 g hang from 40 mm of hook below a light body whose
// own first gram is wet later. By hand: 2 cm³ spread over 40 mm carry 0.05 g a millimetre.
TEST(Waterline, MayLieBelowTheBodyWhereOnlyAHookIsWet) {
  OwnedFloater made = floating(test_bodies::closed(test_bodies::box(80, 20, 20)), 0.5, {0, 0, 0});
  made.lure.outside = {{"hook", {0, 0, -10}, 2000, 40, 0}};
  const Waterline line = waterline_at(made.lure, Vec3::UnitZ());
  ASSERT_TRUE(line.converged);
  EXPECT_NEAR(line.offset_mm, -10 - 40 + 0.5 / 0.05, 1e-9);
  EXPECT_EQ(line.below.volume_mm3, 0);
}

// A start is a help, not an opinion. Tolerance: rounding of an offset of some 10 mm.
TEST(Waterline, IsTheSameFromAnyStart) {
  const OwnedFloater made = hooked_glider();
  for (const Vec3& up : directions(20, 2)) {
    const Waterline cold = waterline_at(made.lure, up);
    for (const double start : {-1e4, -20.0, 0.0, 7.0, 19.0, 1e4}) {
      const Waterline warm = waterline_at(made.lure, up, start);
      EXPECT_NEAR(warm.offset_mm, cold.offset_mm, 1e-10);
      EXPECT_NEAR(warm.energy_g_mm, cold.energy_g_mm, 1e-9);
    }
  }
}

// The tree and the plain loop over the facets are two ways to the same numbers.
// Tolerance: 1e-11 of the whole, what the tree promises, times the size for moments.
TEST(Waterline, IsTheSameByTreeAndByPlainLoop) {
  const OwnedFloater made = hooked_glider();
  Floater by_loop = made.lure;
  by_loop.body = CutBody(made.mesh.get());
  for (const Vec3& up : directions(30, 3)) {
    const Waterline tree = waterline_at(made.lure, up);
    const Waterline loop = waterline_at(by_loop, up);
    EXPECT_NEAR(tree.offset_mm, loop.offset_mm, 1e-9);
    EXPECT_NEAR(tree.energy_g_mm, loop.energy_g_mm, 1e-8);
    EXPECT_LT((tree.gradient_g_mm - loop.gradient_g_mm).norm(), 1e-8);
    EXPECT_LT((tree.hessian_g_mm - loop.hessian_g_mm).norm(), 1e-6);
  }
}

// Source: central differences of the energy. Step 1e-4 rad: the difference's own error is about
// 1e-8 × the third derivative (some 1e4 g·mm), rounding of the energy about 1e-9 / 1e-4.
TEST(Waterline, GradientIsTheSlopeOfTheEnergy) {
  const OwnedFloater made = hooked_glider();
  constexpr double step = 1e-4;
  for (const Vec3& up : directions(60, 4)) {
    const Waterline line = waterline_at(made.lure, up);
    const TangentPair t = tangents(up);
    for (const Vec3& towards : {t.first, t.second}) {
      const double ahead = waterline_at(made.lure, turned(up, step * towards)).energy_g_mm;
      const double behind = waterline_at(made.lure, turned(up, -step * towards)).energy_g_mm;
      EXPECT_NEAR((ahead - behind) / (2 * step), line.gradient_g_mm.dot(towards), 2e-3)
          << "up " << up.transpose();
    }
  }
}

// Source: central differences of the gradient along a great circle. The second derivatives have
// kinks where the water passes a vertex, more where a part's end comes out: the bound is for their
// step over 2e-5 rad, against second derivatives of 10 to 3000 g·mm.
TEST(Waterline, HessianIsTheSlopeOfTheGradient) {
  const OwnedFloater made = hooked_glider();
  constexpr double step = 1e-5;
  for (const Vec3& up : directions(60, 5)) {
    const Waterline line = waterline_at(made.lure, up);
    const TangentPair t = tangents(up);
    for (const Vec3& towards : {t.first, t.second, Vec3((t.first + t.second).normalized())}) {
      const auto slope_at = [&](double angle) {
        const Vec3 there = turned(up, angle * towards);
        const Vec3 along = std::cos(angle) * towards - std::sin(angle) * up;
        return waterline_at(made.lure, there).gradient_g_mm.dot(along);
      };
      const double second = (slope_at(step) - slope_at(-step)) / (2 * step);
      EXPECT_NEAR(second, towards.dot(line.hessian_g_mm * towards),
                  0.02 + 1e-4 * line.hessian_g_mm.norm())
          << "up " << up.transpose();
    }
  }
}

// The same with a partly wet hook alone to stiffen a ball whose own stiffness is M·e: 2 cm³ over
// 40 mm at 30 mm from the middle.
TEST(Waterline, PartlyWetHookStiffensLikeAPointOfWaterplane) {
  OwnedFloater made = floating(test_bodies::closed(test_bodies::box(60, 20, 20)), 12, {0, 0, -2});
  made.lure.outside = {{"hook", {30, 0, 5}, 2000, 40, 0}};
  const Vec3 up = turned(Vec3::UnitZ(), Vec3(0.05, 0.02, 0));
  const TangentPair t = tangents(up);
  const Waterline with = waterline_at(made.lure, up);
  const Waterline fixed_length = [&] {
    Floater unspread = made.lure;
    unspread.outside[0].below_mm = 4000;  // hardly any change of its wet part
    return waterline_at(unspread, up);
  }();
  EXPECT_GT(t.first.dot(with.hessian_g_mm * t.first) + t.second.dot(with.hessian_g_mm * t.second),
            t.first.dot(fixed_length.hessian_g_mm * t.first) +
                t.second.dot(fixed_length.hessian_g_mm * t.second));
  constexpr double step = 1e-5;
  for (const Vec3& towards : {t.first, t.second}) {
    const double ahead = waterline_at(made.lure, turned(up, step * towards))
                             .gradient_g_mm.dot(std::cos(step) * towards - std::sin(step) * up);
    const double behind = waterline_at(made.lure, turned(up, -step * towards))
                              .gradient_g_mm.dot(std::cos(step) * towards + std::sin(step) * up);
    // A box's energy is smooth here: only the differences' own rounding is left.
    EXPECT_NEAR((ahead - behind) / (2 * step), towards.dot(with.hessian_g_mm * towards), 1e-4);
  }
}

// The slope of the offset is the waterplane's centroid: Euler's theorem on planes that cut off
// equal volumes (L. Euler, Scientia navalis, 1749), with spread parts as points of waterplane.
TEST(Waterline, OffsetFollowsTheWaterplanesCentroid) {
  const OwnedFloater made = hooked_glider();
  constexpr double step = 1e-5;
  for (const Vec3& up : directions(30, 6)) {
    const Waterline line = waterline_at(made.lure, up);
    const TangentPair t = tangents(up);
    for (const Vec3& towards : {t.first, t.second}) {
      const double ahead = waterline_at(made.lure, turned(up, step * towards)).offset_mm;
      const double behind = waterline_at(made.lure, turned(up, -step * towards)).offset_mm;
      EXPECT_NEAR((ahead - behind) / (2 * step), line.offset_slope_mm.dot(towards), 2e-3);
    }
  }
}

// What may be left is a part of the mass, so that it is less the lighter the lure is.
TEST(Waterline, EndsWithinThePartOfTheMassThatIsAskedFor) {
  for (const double scale : {0.1, 1.0}) {
    const OwnedFloater made =
        uniform(test_bodies::closed(test_bodies::moved(test_bodies::glider(1000), Mat3::Identity(),
                                                       Vec3::Zero(), scale)),
                0.5);
    for (const Vec3& up : directions(30, 9)) {
      const Waterline exact = waterline_at(made.lure, up);
      for (const double part : {0.1, 0.01}) {
        const Waterline early = waterline_at(made.lure, up, exact.offset_mm + 3 * scale, part);
        EXPECT_TRUE(early.converged);
        EXPECT_LE(std::abs(early.residual_g), part * made.lure.mass_g);
      }
    }
  }
}

// Ending the search early leaves an error of the square of what was left.
TEST(Waterline, EarlyEndIsMadeGoodByDerivatives) {
  const OwnedFloater made = hooked_glider();
  for (const Vec3& up : directions(30, 7)) {
    const Waterline exact = waterline_at(made.lure, up);
    const Waterline early = waterline_at(made.lure, up, exact.offset_mm + 0.003, 1e-2);
    EXPECT_NEAR(early.offset_mm, exact.offset_mm, 1e-5);
    EXPECT_NEAR(early.energy_g_mm, exact.energy_g_mm, 1e-6);
    EXPECT_LT((early.gradient_g_mm - exact.gradient_g_mm).norm(), 1e-2);
  }
}

TEST(SphereGrid, IsEvenAndItsOwnMirrorImage) {
  const SphereGrid grid(3);
  ASSERT_EQ(grid.node_count(), SphereGrid::node_count_at(3));
  ASSERT_EQ(grid.face_count(), SphereGrid::face_count_at(3));
  double sum = 0;
  for (int f = 0; f < grid.face_count(); ++f) {
    const std::array<int, 3>& face = grid.face(f);
    const double angle = solid_angle(grid.node(face[0]), grid.node(face[1]), grid.node(face[2]));
    EXPECT_GT(angle, 0.6 * 4 * std::numbers::pi / grid.face_count());
    sum += angle;
  }
  EXPECT_NEAR(sum, 4 * std::numbers::pi, 1e-10);
  for (int axis = 0; axis < 3; ++axis) {
    for (int i = 0; i < grid.node_count(); ++i) {
      Vec3 image = grid.node(i);
      image(axis) = -image(axis);
      const SphereGrid::Spot spot = grid.locate(image);
      // Its image is a node too: one corner has all the weight.
      EXPECT_NEAR(spot.weights.maxCoeff(), 1, 1e-12);
    }
  }
}

TEST(SphereGrid, FindsTheFaceThatADirectionFallsIn) {
  const SphereGrid grid(4);
  for (const Vec3& direction : directions(200, 8)) {
    const SphereGrid::Spot spot = grid.locate(direction);
    EXPECT_GE(spot.weights.minCoeff(), -1e-12);
    const std::array<int, 3>& face = grid.face(spot.face);
    const Vec3 point = spot.weights(0) * grid.node(face[0]) + spot.weights(1) * grid.node(face[1]) +
                       spot.weights(2) * grid.node(face[2]);
    EXPECT_LT((point - spot.shrink * direction).norm(), 1e-12);
  }
}

}  // namespace
}  // namespace trueblank::water
