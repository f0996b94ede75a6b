// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <numbers>

#include "rig/wood_taken.h"
#include "rigs.h"

namespace trueblank::rig {
namespace {

using std::numbers::pi;

constexpr double left = 0.3e-3;  // g/mm³
constexpr double right = 0.5e-3;
constexpr WoodDensity unlike{.left_g_mm3 = left, .right_g_mm3 = right};

Rig halved(double left_g, double right_g) {
  Rig rig = bare();
  rig.halves = Halves{.left_g = left_g, .right_g = right_g};
  return rig;
}

// Source: each half of the plank is a box whose middle is 5 mm from the split: 11 g to the left,
// 13 g to the right, so the middle of all is at (13 − 11)·5/24.
TEST(Halves, WeighEachOnItsOwnSide) {
  const RiggedLure lure = rigged(plank(), halved(11, 13));
  ASSERT_EQ(lure.parts.size(), 1U);
  EXPECT_EQ(lure.parts[0].name, "wood");
  EXPECT_NEAR(lure.mass_g, 24, 1e-13);
  EXPECT_NEAR(lure.undrilled_wood_g, 24, 1e-13);
  EXPECT_LT((lure.centre_of_mass_mm - Vec3(0, 10. / 24, 0)).norm(), 1e-12);
}

// Source: the centroid of half an ellipsoid is 3/8 of its half width from the flat side. A body of
// two halves, 11 and 11.5 mm wide, its plane given; the facets lie inside by (π/200)²/2 = 1e-4 of
// the width.
TEST(HalvesOfUnlikeWidth, EachFillTheirOwnVolume) {
  geometry::TriangleMesh mesh = test_bodies::ellipsoid(80, 11, 14, 200, 200);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    if (mesh.positions_mm(1, v) > 0) mesh.positions_mm(1, v) *= 11.5 / 11;
  }
  const RiggedLure lure = rigged(test_bodies::closed(mesh), halved(12, 10));
  const double y = 3. / 8 * (10 * 11.5 - 12 * 11) / 22;
  EXPECT_NEAR(lure.centre_of_mass_mm.y(), y, 3e-4 * 11);
  EXPECT_NEAR(lure.mass_g, 22, 1e-12);
}

// A law: two halves of one density are an even blank, whatever is in them.
TEST(HalvesOfOneDensity, AreAnEvenBlank) {
  Rig even = full_rig();
  Rig rig = even;
  rig.halves = Halves{.left_g = 12, .right_g = 12};
  rig.ballasts[0].at_mm.y() = 0;
  even.ballasts[0].at_mm.y() = 0;
  expect_alike(rigged(plank(), rig), rigged(plank(), even));
}

// A law: mirrored left for right, the lure is the mirrored one.
TEST(Halves, MirrorWithTheRig) {
  Rig rig = full_rig();
  rig.halves = Halves{.left_g = 11, .right_g = 13};
  Rig mirror = rig;
  mirror.halves = Halves{.left_g = 13, .right_g = 11};
  const auto flip = [](Vec3& p) { p.y() = -p.y(); };
  for (Vec3& point : mirror.wires[0].path_mm) flip(point);
  for (Ballast& part : mirror.ballasts) flip(part.at_mm);
  for (Pocket& part : mirror.pockets) flip(part.at_mm);
  const RiggedLure a = rigged(plank(), rig);
  const RiggedLure b = rigged(plank(), mirror);
  EXPECT_NEAR(a.mass_g, b.mass_g, 1e-12);
  Vec3 flipped = b.centre_of_mass_mm;
  flip(flipped);
  EXPECT_LT((a.centre_of_mass_mm - flipped).norm(), 1e-11);
}

TEST(PartsInOneHalf, TakeThatHalfsWood) {
  Rig rig = halved(9, 15);  // 0.3 and 0.5 g/cm³
  rig.ballasts = {{.name = "b", .at_mm = {0, -6, 0}, .mass_g = 2, .density_g_cm3 = 10}};
  EXPECT_NEAR(rigged(plank(), rig).parts[0].mass_g, 24 - 0.2 * 0.3, 1e-12);
  rig.ballasts[0].at_mm.y() = 6;
  EXPECT_NEAR(rigged(plank(), rig).parts[0].mass_g, 24 - 0.2 * 0.5, 1e-12);
  rig.ballasts.clear();
  rig.pockets = {{.name = "p",
                  .at_mm = {0, 5, 0},
                  .diameter_mm = 4,
                  .depth_mm = 10,
                  .axis = HoleAxis::upright}};
  EXPECT_NEAR(rigged(plank(), rig).parts[0].mass_g, 24 - 0.5e-3 * 40 * pi, 1e-12);
}

// A second, slower way: the sum over thin slices parallel to the split; slice by slice the ball's
// section is a disc, its middle on the ball's axis.
Heap sliced_ball(const Vec3& centre, double volume) {
  const double radius = std::cbrt(3 * volume / (4 * pi));
  constexpr int slices = 400'000;
  Heap heap;
  for (int i = 0; i < slices; ++i) {
    const double from_middle = radius * (2 * (i + 0.5) / slices - 1);
    const double y = centre.y() + from_middle;
    const double area = pi * (radius * radius - from_middle * from_middle);
    heap.add((y < 0 ? left : right) * area * 2 * radius / slices, {centre.x(), y, centre.z()});
  }
  return heap;
}

TEST(BallOnTheSplitLine, TakesOfEachHalfWhatLiesInIt) {
  const double volume = 790;  // 5.74 mm in radius
  for (const double y : {-5.8, -5.7, -3.0, -0.1, 0.0, 1.0, 4.0, 5.73, 5.75, 9.0}) {
    const Vec3 centre(7, y, -2);
    const Heap taken = unlike.in_ball(centre, volume);
    const Heap slow = sliced_ball(centre, volume);
    // A slice that the split divides is counted to one side: 2/400 000 of the middle section.
    EXPECT_NEAR(taken.mass_g, slow.mass_g, 1e-6 * slow.mass_g) << y;
    EXPECT_LT((taken.centre_mm(centre) - slow.centre_mm(centre)).norm(), 1e-5) << y;
  }
  EXPECT_NEAR(unlike.in_ball({0, 0, 0}, volume).mass_g, volume * (left + right) / 2, 1e-15);
}

// Likewise a rod that runs along the split line at a distance: slices of it are rectangles.
Heap sliced_rod(double y0, double radius, double length) {
  constexpr int slices = 400'000;
  Heap heap;
  for (int i = 0; i < slices; ++i) {
    const double from_middle = radius * (2 * (i + 0.5) / slices - 1);
    const double y = y0 + from_middle;
    const double width = 2 * std::sqrt(radius * radius - from_middle * from_middle);
    heap.add((y < 0 ? left : right) * width * length * 2 * radius / slices, {0, y, 0});
  }
  return heap;
}

TEST(RodAlongTheSplitLine, TakesOfEachHalfWhatLiesInIt) {
  for (const double y : {-4.0, -3.9, -2.0, -0.3, 0.0, 0.3, 3.5, 4.0, 6.0}) {
    const Heap taken = unlike.in_rod({-15, y, 0}, {15, y, 0}, 8);
    const Heap upright = unlike.in_rod({0, y, -15}, {0, y, 15}, 8);
    const Heap slow = sliced_rod(y, 4, 30);
    EXPECT_NEAR(taken.mass_g, slow.mass_g, 1e-5 * slow.mass_g) << y;
    EXPECT_LT((taken.centre_mm(Vec3::Zero()) - slow.centre_mm(Vec3::Zero())).norm(), 1e-4) << y;
    EXPECT_NEAR(upright.mass_g, taken.mass_g, 1e-15) << y;
    EXPECT_NEAR(upright.centre_mm(Vec3::Zero()).y(), taken.centre_mm(Vec3::Zero()).y(), 1e-12);
  }
}

// Source: a rod whose axis meets the plane well away from its ends is divided as its axis is, since
// the wedges beyond and short of that point are alike.
TEST(RodThroughTheSplitLine, IsDividedWhereItsAxisMeetsIt) {
  const Vec3 a(0, -6, 1);
  const Vec3 b(30, 12, -4);
  const double volume = pi * (b - a).norm();  // 2 mm thick
  const Heap taken = unlike.in_rod(a, b, 2);
  EXPECT_NEAR(taken.mass_g, volume * (left / 3 + right * 2 / 3), 1e-14);
  const Vec3 at_split = a + (b - a) / 3;
  const Vec3 middle = (left / 3 * (a + at_split) / 2 + right * 2 / 3 * (at_split + b) / 2) /
                      (left / 3 + right * 2 / 3);
  EXPECT_LT((taken.centre_mm(a) - middle).norm(), 1e-12);
  const Heap across = unlike.in_rod({0, -2, 0}, {0, 1, 0}, 9);
  EXPECT_NEAR(across.mass_g, pi * 4.5 * 4.5 * (2 * left + right), 1e-14);
}

// Definition: at a slant each piece is divided as its middle section is, here in slices of that
// disc that are parallel to the split.
TEST(RodAtASlant, IsDividedAsItsMiddleSectionIs) {
  constexpr int slices = 400'000;
  constexpr double radius = 6;
  for (const Vec3& b : {Vec3(6, 6.5, 0), Vec3(-3, 5.5, 9), Vec3(20, 0.6, -5), Vec3(4, -6, 3)}) {
    const Vec3 a(0, b.y() > 0 ? 0.5 : -0.5, 0);
    const Vec3 middle = (a + b) / 2;
    const Vec3 axis = (b - a).normalized();
    const Vec3 across = (Vec3::UnitY() - axis.y() * axis).normalized();
    Heap slow;
    for (int i = 0; i < slices; ++i) {
      const double from_middle = radius * (2 * (i + 0.5) / slices - 1);
      const Vec3 at = middle + from_middle * across;
      const double width = 2 * std::sqrt(radius * radius - from_middle * from_middle);
      slow.add((at.y() < 0 ? left : right) * width * 2 * radius / slices * (b - a).norm(), at);
    }
    const Heap taken = unlike.in_rod(a, b, 2 * radius);
    EXPECT_NEAR(taken.mass_g, slow.mass_g, 1e-5 * slow.mass_g) << b.transpose();
    EXPECT_LT((taken.centre_mm(a) - slow.centre_mm(a)).norm(), 1e-4) << b.transpose();
    EXPECT_LT(std::abs(middle.y()), radius * across.y());  // the split does divide it
  }
}

// A law: what is taken changes without a jump as a part is moved over the split line or turned out
// of it. A wire at a slant is counted by the middle section of each piece; so 1e-3 of it.
TEST(WoodTaken, HasNoJumpAtTheSplitLine) {
  double last_ball = unlike.in_ball({0, -7, 0}, 790).mass_g;
  double last_rod = unlike.in_rod({-15, -7, 0}, {15, -7, 0}, 8).mass_g;
  for (int i = 1; i <= 1400; ++i) {
    const double y = -7 + 0.01 * i;
    const double ball = unlike.in_ball({0, y, 0}, 790).mass_g;
    const double rod = unlike.in_rod({-15, y, 0}, {15, y, 0}, 8).mass_g;
    EXPECT_GE(ball, last_ball - 1e-15);
    EXPECT_LT(ball - last_ball, 1e-3 * ball);
    EXPECT_LT(rod - last_rod, 2e-3 * rod);
    last_ball = ball;
    last_rod = rod;
  }
  const double along = unlike.in_rod({-15, 0, 0}, {15, 0, 0}, 2).mass_g;
  for (const double tilt : {1e-12, 1e-6, 1e-3}) {
    EXPECT_NEAR(unlike.in_rod({-15, -tilt, 0}, {15, tilt, 0}, 2).mass_g, along, 1e-3 * along);
    EXPECT_NEAR(unlike.in_rod({-15, 0, 0}, {15, tilt, 0}, 2).mass_g, along, 1e-3 * along);
  }
}

}  // namespace
}  // namespace trueblank::rig
