// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/comparison.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/copied_bodies.h"
#include "symmetry/lopsided.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;

constexpr double pi = std::numbers::pi;

double greatest_size(const Comparison& c) {
  return std::max({c.copy.statistics.max_proud, -c.copy.statistics.max_shy,
                   c.master.statistics.max_proud, -c.master.statistics.max_shy});
}

TEST(SameBodies, DifferByNothingAtAll) {
  for (const TriangleMesh& mesh :
       {test_bodies::glider(6000), test_bodies::box(40, 8, 10), test_bodies::needle(3000),
        test_bodies::noisy(test_bodies::pencil(5000), 0.1, 2, 3)}) {
    const Comparison same = Pair(mesh, mesh).compare({.stations = {.step_mm = 10}});
    EXPECT_EQ(greatest_size(same), 0);
    EXPECT_EQ(same.copy.statistics.rms, 0);
    EXPECT_EQ(same.noise.sigma_mm, 0);
    EXPECT_TRUE(same.differences.proud.empty());
    EXPECT_TRUE(same.differences.shy.empty());
    EXPECT_NEAR(same.copy.compared_share, 1, 1e-12);
    EXPECT_EQ(same.changes.volume_mm3, 0);
    EXPECT_EQ(same.changes.centroid_shift_mm.norm(), 0);
    EXPECT_EQ(same.changes.balance_mm3, 0);
    for (const StationPair& at : same.stations) EXPECT_EQ(at.area_change_mm2, 0);
  }
}

// Source: spheres of 20 and 20.5 mm: 0.5 mm apart everywhere, volumes 4/3·π·r³, areas 4·π·r². The
// facets stand up to r·(π/n)²/2 off the sphere along and around: 20.5·(π/160)²/2·2 = 0.008 mm.
TEST(ConcentricSpheres, AreTheDifferenceOfTheirRadiiApart) {
  const Pair pair(test_bodies::ellipsoid(20, 20, 20, 160, 160),
                  test_bodies::ellipsoid(20.5, 20.5, 20.5, 160, 160));
  const Comparison c = pair.compare();
  EXPECT_NEAR(c.copy.statistics.rms, 0.5, 0.008);
  EXPECT_NEAR(c.copy.statistics.p95, 0.5, 0.008);
  EXPECT_NEAR(c.copy.statistics.mean_abs, 0.5, 0.008);
  EXPECT_NEAR(c.master.statistics.max_shy, -0.5, 0.008);
  EXPECT_NEAR(c.copy.statistics.max_shy, 0, 0);
  const double volume = 4 * pi / 3 * (std::pow(20.5, 3) - std::pow(20.0, 3));
  // A polyhedron of n bands has 1 − (π/n)²·… of the ball: 4e-4 here, alike for both.
  EXPECT_NEAR(c.changes.volume_mm3, volume, 1e-3 * volume);
  EXPECT_NEAR(c.changes.volume_percent, 100 * (std::pow(1.025, 3) - 1), 1e-9);
  EXPECT_NEAR(c.changes.area_percent, 100 * (std::pow(1.025, 2) - 1), 1e-9);
  EXPECT_NEAR(c.changes.size_mm.x(), 1, 1e-12);
  ASSERT_EQ(c.differences.proud.size(), 1U);
  EXPECT_TRUE(c.differences.shy.empty());
  EXPECT_NEAR(c.differences.proud[0].patch.volume_mm3, volume, 2e-3 * volume);
  EXPECT_NEAR(c.differences.proud[0].patch.greatest_mm, 0.5, 0.008);
}

// Exact arithmetic: a box 40 × 8 × 10 within one of 41 × 8.5 × 10.6. The outer one's corners are
// √(0.5² + 0.25² + 0.3²) from the inner one's, the inner one's 0.25 from the nearest outer face.
TEST(BoxWithinABox, IsWhatTheirSidesSay) {
  const Comparison c = Pair(test_bodies::box(40, 8, 10), test_bodies::box(41, 8.5, 10.6)).compare();
  EXPECT_NEAR(c.copy.statistics.max_proud, std::sqrt(0.4025), 1e-12);
  EXPECT_NEAR(c.copy.statistics.rms, std::sqrt(0.4025), 1e-12);
  EXPECT_NEAR(c.master.statistics.max_shy, -0.25, 1e-12);
  ASSERT_TRUE(c.copy.extremes.proudest);
  EXPECT_EQ(c.copy.extremes.proudest->at_mm.cwiseAbs(), Vec3(20.5, 4.25, 5.3));
  EXPECT_NEAR(c.changes.volume_mm3, 41 * 8.5 * 10.6 - 40 * 8 * 10, 1e-9);
  EXPECT_NEAR((c.changes.size_mm - Vec3(1, 0.5, 0.6)).norm(), 0, 1e-12);
}

// Exact arithmetic: a box shifted by (1, 0.5, −0.2), its right side longer by 0.5 where it lies
// now.
TEST(ShiftedBox, HasItsStationsItsShiftAndItsBalance) {
  const TriangleMesh box = test_bodies::box(40, 8, 10);
  const Pair pair(test_bodies::moved(box, Mat3::Identity(), {20, 0, 0}),
                  test_bodies::moved(box, Mat3::Identity(), {21, 0.5, -0.2}));
  const Comparison c = pair.compare({.stations = {.step_mm = 10}, .heights = {.z_mm = {0}}});
  EXPECT_NEAR((c.changes.centroid_shift_mm - Vec3(1, 0.5, -0.2)).norm(), 0, 1e-12);
  EXPECT_NEAR(c.changes.balance_mm3, 40 * 10 * (4.5 - 3.5), 1e-9);
  EXPECT_NEAR(c.changes.volume_mm3, 0, 1e-9);
  ASSERT_EQ(c.stations.size(), 4U);  // at 10, 20, 30 and 40: the copy reaches to 41
  const StationPair& at = c.stations[1];
  EXPECT_EQ(at.master.section.x_mm, 20);
  EXPECT_EQ(at.copy.section.x_mm, 20);
  EXPECT_NEAR(at.width_change_mm, 0, 1e-12);
  EXPECT_NEAR(at.left_half_width_change_mm, -0.5, 1e-12);
  EXPECT_NEAR(at.right_half_width_change_mm, 0.5, 1e-12);
  EXPECT_NEAR(at.height_change_mm, 0, 1e-12);
  EXPECT_NEAR(at.belly_change_mm, 0.2, 1e-12);
  EXPECT_NEAR(at.back_change_mm, -0.2, 1e-12);
  ASSERT_EQ(at.copy.half_widths.size(), 1U);
  EXPECT_NEAR(at.copy.half_widths[0].right_mm, 4.5, 1e-12);
  EXPECT_EQ(c.stations[3].master.section.right_area_mm2, 0);
  EXPECT_NEAR(c.stations[3].area_change_mm2, 80, 1e-9);
}

// The formulas of sphere and ellipsoid, integrated on a grid, judge.
TEST(CapOnACopy, IsFoundWithItsVolumeAndMass) {
  const test_bodies::Capped capped = test_bodies::capped_ellipsoid({70, 4, 3}, 9.5, 240, 240);
  const Pair pair(plain_ellipsoid(240, 240), capped.mesh);
  const Comparison c = pair.compare({.density_g_cm3 = 1.1});
  ASSERT_EQ(c.differences.proud.size(), 1U);
  EXPECT_TRUE(c.differences.shy.empty());
  const Difference& cap = c.differences.proud[0];
  EXPECT_EQ(cap.patch.name, "right flank, 63 to 76 mm from the nose, above the middle");
  EXPECT_EQ(cap.seen_on, SeenOn::copy);
  EXPECT_NEAR(cap.patch.volume_mm3, capped.volume_mm3, 2e-3 * capped.volume_mm3);
  EXPECT_NEAR(*cap.patch.mass_g, 1.1e-3 * cap.patch.volume_mm3, 1e-12);
  EXPECT_EQ(c.copy.patches.proud.size(), 1U);
  EXPECT_FALSE(cap.patch.partner);
  EXPECT_NEAR(c.changes.volume_mm3, capped.volume_mm3, 2e-3 * capped.volume_mm3);
}

// What the master has and the copy lacks is the same place, by the other sign.
TEST(CapOnAMaster, IsShyOnItsCopy) {
  const test_bodies::Capped capped = test_bodies::capped_ellipsoid({70, 4, 3}, 9.5, 240, 240);
  const Comparison c = Pair(capped.mesh, plain_ellipsoid(240, 240)).compare();
  ASSERT_EQ(c.differences.shy.size(), 1U);
  EXPECT_TRUE(c.differences.proud.empty());
  EXPECT_NEAR(c.differences.shy[0].patch.volume_mm3, -capped.volume_mm3, 2e-2 * capped.volume_mm3);
  EXPECT_LT(c.differences.shy[0].patch.greatest_mm, 0);
}

// On other meshes, whose facets don't meet facets of their own, the volume is the same.
TEST(CapOnACopy, HasItsVolumeWhateverTheMesh) {
  const test_bodies::Capped capped = test_bodies::capped_ellipsoid({70, 4, 3}, 9.5, 240, 240);
  const Comparison c = Pair(plain_ellipsoid(150, 120), capped.mesh).compare();
  ASSERT_EQ(c.differences.proud.size(), 1U);
  EXPECT_NEAR(c.differences.proud[0].patch.volume_mm3, capped.volume_mm3, 0.02 * capped.volume_mm3);
  EXPECT_LT(c.noise.sigma_mm, 0.004);
}

// Source: what an ellipsoid has beyond a plane x = d from its middle, π·b·c·(a−d)²·(2a+d)/(3a²);
// the tip is a − d from the plane.
TEST(LostTail, IsSeenFromTheMasterWithItsVolume) {
  const double d = 82.5 - 10;
  const double lost = pi * 11 * 14 * 10 * 10 * (2 * 82.5 + d) / (3 * 82.5 * 82.5);
  const TriangleMesh whole = plain_ellipsoid(240, 200);
  const Comparison c = Pair(whole, cut_off(whole, 155)).compare();
  ASSERT_EQ(c.differences.shy.size(), 1U);
  EXPECT_TRUE(c.differences.proud.empty());
  const Difference& tail = c.differences.shy[0];
  EXPECT_EQ(tail.seen_on, SeenOn::master);
  EXPECT_EQ(tail.patch.place, Place::tail);
  EXPECT_NEAR(tail.patch.from_station_mm, 155, 1);
  EXPECT_NEAR(tail.patch.to_station_mm, 165, 1e-9);
  EXPECT_NEAR(tail.patch.volume_mm3, -lost, 0.01 * lost);
  EXPECT_NEAR(tail.patch.greatest_mm, -10, 1e-9);
  EXPECT_NEAR(c.changes.volume_mm3, -lost, 0.01 * lost);
}

TEST(MadeUpSkin, IsNotCompared) {
  const TriangleMesh whole = plain_ellipsoid(120, 80);
  // The copy's scan ends at a ring of vertices near 100 mm; what closes it was made up.
  double end_mm = 0;
  for (int v = 0; v < whole.vertex_count(); ++v) {
    const double x = whole.positions_mm(0, v);
    if (x < 100) end_mm = std::max(end_mm, x);
  }
  TriangleMesh half = cut_off(whole, end_mm);
  std::vector<std::uint8_t> measured(static_cast<std::size_t>(half.facet_count()), 1);
  for (int f = 0; f < half.facet_count(); ++f) {
    bool flat = true;
    for (int k = 0; k < 3; ++k) flat = flat && half.corner(f, k).x() >= end_mm;
    if (flat) measured[static_cast<std::size_t>(f)] = 0;
  }
  const ClosedMesh master = closed(whole);
  const ClosedMesh copy = closed(half);
  const ComparisonSkin of_master(master);
  const ComparisonSkin of_copy(copy, measured);
  const Comparison c = compared(of_master, of_copy);
  EXPECT_EQ(greatest_size(c), 0);
  EXPECT_TRUE(c.differences.shy.empty());
  // Measured skin of the whole up to 100 mm: the part of an ellipsoid's area, by the facets.
  double ahead = 0;
  for (int f = 0; f < whole.facet_count(); ++f) {
    const Vec3 a = whole.corner(f, 0);
    const Vec3 cross = (whole.corner(f, 1) - a).cross(whole.corner(f, 2) - a);
    if (std::max({a.x(), whole.corner(f, 1).x(), whole.corner(f, 2).x()}) < end_mm + 1e-6) {
      ahead += cross.norm() / 2;
    }
  }
  EXPECT_NEAR(c.master.compared_share, ahead / geometry::area_mm2(whole), 0.02);
  EXPECT_GT(c.copy.compared_share, 0.9);
  EXPECT_LT(c.copy.compared_share, 1);
}

// A second way: the copy is moved there and back by a little and measured again.
TEST(AlignmentDoubt, IsWhatAMovedCopyChanges) {
  const TriangleMesh whole = plain_ellipsoid(240, 200);
  const Vec3 centre(82.5, 0, 0);
  const ClosedMesh master = closed(whole);
  const ComparisonSkin of_master(master);
  int probe = 0;  // a place that feels all six
  for (int v = 0; v < master.vertex_count(); ++v) {
    if ((master.positions_mm().col(v) - Vec3(115, 7, 9)).norm() <
        (master.positions_mm().col(probe) - Vec3(115, 7, 9)).norm()) {
      probe = v;
    }
  }
  const Vec3 at = master.positions_mm().col(probe);
  const Vec3 normal = of_master.normals().col(probe);
  for (int k = 0; k < 6; ++k) {
    AlignmentDoubt doubt;
    doubt.at_mm = centre;
    const double by = k == 0 ? 0.02 : k < 3 ? 0.002 : 0.1;  // rad, mm
    doubt.covariance(k, k) = by * by;
    const auto deviation_when = [&](double sign) {
      const Mat3 turn = k < 3 ? Mat3(Eigen::AngleAxisd(sign * by, Vec3::Unit(k)).toRotationMatrix())
                              : Mat3(Mat3::Identity());
      const Vec3 shift = k < 3 ? Vec3(Vec3::Zero()) : Vec3(sign * by * Vec3::Unit(k - 3));
      const ClosedMesh copy =
          closed(test_bodies::moved(whole, turn, centre - turn * centre + shift));
      const ComparisonSkin of_copy(copy);
      return deviation_onto(of_copy, of_master).deviation_mm[static_cast<std::size_t>(probe)];
    };
    const double changed = std::abs(deviation_when(1) - deviation_when(-1)) / 2;
    EXPECT_NEAR(alignment_doubt_mm(doubt, at, normal), changed, 0.05 * changed + 0.001) << k;
    EXPECT_GT(changed, 0.005) << k;
  }
  AlignmentDoubt scale;
  scale.at_mm = centre;
  scale.scale = 0.01;
  EXPECT_NEAR(alignment_doubt_mm(scale, {82.5, 11, 0}, Vec3::UnitY()), 0.11, 1e-12);
}

// More of it in comparison_noise_slow_test.
TEST(NoiseOnBoth, IsFoundAndIsNoDifference) {
  const Comparison c = Pair(test_bodies::noisy(test_bodies::glider(5000), 0.06, 2, 5),
                            test_bodies::noisy(test_bodies::glider(4000), 0.06, 2, 6))
                           .compare();
  EXPECT_NEAR(c.noise.sigma_mm, 0.06, 0.15 * 0.06);
  EXPECT_TRUE(c.differences.proud.empty());
  EXPECT_TRUE(c.differences.shy.empty());
}

TEST(Comparison, IsTheSameBytesForAnyNumberOfThreads) {
  const TriangleMesh mesh = test_bodies::glider(5000);
  const Pair pair(
      test_bodies::noisy(mesh, 0.06, 2, 3),
      test_bodies::noisy(test_bodies::bumped(mesh, 0.8, {45, 9.5, 0}, 0.05), 0.06, 2, 9));
  const Comparison one = pair.compare();
  for (const int threads : {2, 7}) {
    const geometry::ParallelFor loop = on_threads(threads);
    const ComparisonSkin master(pair.master, {}, loop);
    const ComparisonSkin copy(pair.copy, {}, loop);
    const Comparison other = compared(master, copy, {}, loop);
    const auto same = [](const std::vector<double>& a, const std::vector<double>& b) {
      return a.size() == b.size() &&
             std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
    };
    EXPECT_TRUE(same(one.copy.field.deviation_mm, other.copy.field.deviation_mm));
    EXPECT_TRUE(same(one.master.field.deviation_mm, other.master.field.deviation_mm));
    EXPECT_TRUE(same(one.copy.patches.volumes_mm3, other.copy.patches.volumes_mm3));
    EXPECT_EQ(one.noise.sigma_mm, other.noise.sigma_mm);
    EXPECT_EQ(one.copy.patches.labels, other.copy.patches.labels);
  }
}

}  // namespace
}  // namespace trueblank::symmetry
