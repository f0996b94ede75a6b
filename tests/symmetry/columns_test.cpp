// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/columns.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "geometry/inside.h"
#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::serial_for;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;

// The judge: lines through the body by geometry's own winding numbers, one at a time.
TEST(ColumnRaster, LiesInsideWhereLinesThroughTheBodyDo) {
  for (const test_bodies::NamedMesh& named : test_bodies::closed_bodies()) {
    const ClosedMesh body = closed(named.mesh);
    const Vec3 low = body.positions_mm().rowwise().minCoeff();
    const Vec3 high = body.positions_mm().rowwise().maxCoeff();
    const ColumnRaster raster(body, (high - low).maxCoeff() / 17.3);
    for (int r = 0; r < raster.rows(); ++r) {
      const ColumnRow row = raster.row(r);
      for (int i = 0; i < raster.columns(); ++i) {
        const double reach = high.y() - low.y() + 1;
        const Vec3 from(raster.x_mm(i), low.y() - 0.5, raster.z_mm(r));
        double inside = 0;
        for (const auto& [a, b] :
             geometry::inside_parts(body, from, from + reach * Vec3::UnitY())) {
          inside += (b - a) * reach;
        }
        double ours = 0;
        for (const Interval& part : row.column(i)) ours += part.to_y_mm - part.from_y_mm;
        ASSERT_NEAR(ours, inside, 1e-9 * (high - low).norm()) << named.name << ' ' << i << ' ' << r;
      }
    }
  }
}

// A prism's columns along x are all alike but for z, where they are as wide as the polygon.
TEST(OneSided, IsExactForABoxThatReachesFurtherToOneSide) {
  const ClosedMesh body =
      closed(test_bodies::moved(test_bodies::box(40, 8, 10), Mat3::Identity(), {20, 1, 0}));
  // y from -3 to 5: the right side has 2 mm by 40 by 10 that the left has not.
  const OneSided sides = one_sided(body, {}, serial_for, 1000);
  EXPECT_NEAR(sides.right_mm3, 800, 1e-9);
  EXPECT_EQ(sides.left_mm3, 0);
  EXPECT_NEAR(sides.whole_mm3, 3200, 1e-9);
}

TEST(OneSided, TakesABodyOnOneSideOfThePlaneWhole) {
  const ClosedMesh body =
      closed(test_bodies::moved(test_bodies::box(40, 4, 10), Mat3::Identity(), {20, -7, 0}));
  const OneSided sides = one_sided(body, {}, serial_for, 1000);
  EXPECT_NEAR(sides.left_mm3, 1600, 1e-9);
  EXPECT_EQ(sides.right_mm3, 0);
}

TEST(OneSided, SwapsItsSidesInTheMirrorAndGrowsWithTheCubeOfTheSize) {
  const TriangleMesh mesh = test_bodies::noisy(test_bodies::pencil(4000), 0.3, 6, 7);
  const OneSided sides = one_sided(closed(mesh), {}, serial_for, 40'000);
  const OneSided mirrored =
      one_sided(closed(test_bodies::mirrored_y(mesh)), {}, serial_for, 40'000);
  EXPECT_GT(sides.left_mm3, 10);
  EXPECT_NEAR(mirrored.right_mm3, sides.left_mm3, 1e-9 * sides.left_mm3);
  EXPECT_NEAR(mirrored.left_mm3, sides.right_mm3, 1e-9 * sides.right_mm3);
  const OneSided greater = one_sided(
      closed(test_bodies::moved(mesh, Mat3::Identity(), Vec3::Zero(), 3)), {}, serial_for, 40'000);
  EXPECT_NEAR(greater.both_mm3(), 27 * sides.both_mm3(), 1e-9 * greater.both_mm3());
}

TEST(OneSided, ComesNearerWithMoreColumns) {
  const ClosedMesh body = closed(test_bodies::noisy(test_bodies::pencil(8000), 0.3, 6, 8));
  const double volume = geometry::moments(body).volume_mm3;
  const OneSided coarse = one_sided(body, {}, serial_for, 10'000);
  const OneSided fine = one_sided(body, {}, serial_for);
  const OneSided finer = one_sided(body, {}, serial_for, 4'000'000);
  EXPECT_NEAR(coarse.whole_mm3, volume, 1e-3 * volume);
  EXPECT_NEAR(fine.whole_mm3, volume, 3e-5 * volume);
  EXPECT_NEAR(coarse.both_mm3(), finer.both_mm3(), 3e-3 * finer.both_mm3());
  EXPECT_NEAR(fine.both_mm3(), finer.both_mm3(), 1e-3 * finer.both_mm3());
}

TEST(OneSided, LeavesOutColumnsThroughMadeUpSkin) {
  const ClosedMesh body =
      closed(test_bodies::moved(test_bodies::box(40, 8, 10), Mat3::Identity(), {20, 1, 0}));
  const std::vector<std::uint8_t> none(static_cast<std::size_t>(body.facet_count()), 0);
  const OneSided sides = one_sided(body, none, serial_for, 1000);
  EXPECT_EQ(sides.both_mm3(), 0);
  EXPECT_NEAR(sides.whole_mm3, 3200, 1e-9);
}

TEST(OneSided, IsTheSameBytesForAnyOrderOfRows) {
  const ClosedMesh body = closed(test_bodies::noisy(test_bodies::glider(4000), 0.3, 6, 9));
  const auto backwards = [](int count, const std::function<void(int)>& each) {
    for (int i = count - 1; i >= 0; --i) each(i);
  };
  const OneSided one = one_sided(body, {}, serial_for);
  const OneSided other = one_sided(body, {}, backwards);
  EXPECT_EQ(one.left_mm3, other.left_mm3);
  EXPECT_EQ(one.right_mm3, other.right_mm3);
}

}  // namespace
}  // namespace trueblank::symmetry
