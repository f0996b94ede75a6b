// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/patches.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <thread>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/lopsided.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::serial_for;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;

const Plane y_zero{Vec3::UnitY(), 0};

Patches patches_of(const ClosedMesh& body, const PatchOptions& options = {}) {
  return find_patches(body, deviation_field(body, y_zero, {}, serial_for), {}, options);
}

TriangleMesh halves(double left_mm, double right_mm, int rings, int around) {
  return test_bodies::moved(test_bodies::two_halves(left_mm, right_mm, rings, around),
                            Mat3::Identity(), {82.5, 0, 0});
}

// Source: half ellipsoids, ⅔π·82.5·14·(11.5 − 11) = 1209.513172 mm³; 0.5 mm at the widest place.
TEST(TwoHalfEllipsoids, AreProudOnTheWiderSideByTheirDifference) {
  const Patches patches = patches_of(closed(halves(11, 11.5, 240, 240)));
  ASSERT_EQ(patches.proud.size(), 1U);
  ASSERT_EQ(patches.shy.size(), 1U);
  const Patch& proud = patches.proud[0];
  EXPECT_EQ(proud.name, "right flank, 0 to 165 mm from the nose, over the whole height");
  EXPECT_EQ(proud.side, Side::right);
  EXPECT_EQ(proud.place, Place::flank);
  EXPECT_EQ(proud.partner, 0);
  // The polyhedron has 1.5e-4 less volume than the ellipsoid; the deviation that is not followed,
  // less than a hundredth of a millimetre next to y = 0, is some 1e-4 of the whole.
  EXPECT_NEAR(proud.volume_mm3, 1209.513172, 1e-3 * 1209.5);
  EXPECT_NEAR(patches.shy[0].volume_mm3, -1209.513172, 1e-3 * 1209.5);
  EXPECT_NEAR(proud.greatest_mm, 0.5, 1e-3);
  EXPECT_NEAR((proud.greatest_at_mm - Vec3(82.5, 11.5, 0)).norm(), 0, 1e-9);
  EXPECT_EQ(patches.shy[0].side, Side::left);
}

// Coarse facets that don't meet mirror images of their own are no wood.
TEST(TwoHalfEllipsoids, HaveTheirVolumeOnACoarseMeshToo) {
  const Patches patches = patches_of(closed(halves(11, 11.5, 60, 60)));
  ASSERT_EQ(patches.proud.size(), 1U);
  // The polyhedron's half volumes differ by 2.5e-3 less than the ellipsoids' (1206.5).
  EXPECT_NEAR(patches.proud[0].volume_mm3, 1206.5, 3e-3 * 1206.5);
}

// The formulas of sphere and ellipsoid, integrated on a grid, judge.
TEST(SphericalCap, IsFoundWhereItIsWithItsVolume) {
  const Vec3 centre(70, 4, 3);
  const test_bodies::Capped capped = test_bodies::capped_ellipsoid(centre, 9.5, 240, 240);
  const ClosedMesh body = closed(capped.mesh);
  const Patches patches = patches_of(body, {.wood_density_g_cm3 = 0.4});
  ASSERT_EQ(patches.proud.size(), 1U);
  const Patch& cap = patches.proud[0];
  EXPECT_EQ(cap.name, "right flank, 63 to 76 mm from the nose, above the middle");
  EXPECT_NEAR(cap.volume_mm3, capped.volume_mm3, 2e-3 * capped.volume_mm3);
  EXPECT_NEAR(*cap.mass_g, 0.4e-3 * cap.volume_mm3, 1e-12);
  // The distance to a body is less than the way along y: at the top the flank is slanted.
  EXPECT_LT(cap.greatest_mm, capped.greatest_mm);
  EXPECT_GT(cap.greatest_mm, 0.9 * capped.greatest_mm);
  EXPECT_LT(cap.from_station_mm, 65);
  EXPECT_GT(cap.to_station_mm, 74);
  // What a body gains in first moment is its cap's volume by the cap's middle.
  const geometry::Moments with = geometry::moments(body);
  const geometry::Moments without = geometry::moments(closed(test_bodies::moved(
      test_bodies::ellipsoid(82.5, 11, 14, 240, 240), Mat3::Identity(), {82.5, 0, 0})));
  const Vec3 gained = with.volume_mm3 * with.centroid_mm - without.volume_mm3 * without.centroid_mm;
  const Vec3 middle = gained / (with.volume_mm3 - without.volume_mm3);
  EXPECT_NEAR((cap.centroid_mm - middle).norm(), 0, 0.05);
}

TEST(Patches, SwapSidesInTheMirror) {
  const TriangleMesh mesh = test_bodies::noisy(
      test_bodies::bumped(test_bodies::pencil(8000), 1, Vec3(50, 8, 4), 0.05), 0.05, 3, 3);
  const PatchOptions options{.noise = {0.05, 3}};
  const Patches one = patches_of(closed(mesh), options);
  const Patches other = patches_of(closed(test_bodies::mirrored_y(mesh)), options);
  ASSERT_GE(one.proud.size(), 1U);
  ASSERT_EQ(one.proud.size(), other.proud.size());
  EXPECT_EQ(one.proud[0].side, Side::right);
  EXPECT_EQ(other.proud[0].side, Side::left);
  EXPECT_NEAR(one.proud[0].volume_mm3, other.proud[0].volume_mm3, 1e-6 * one.proud[0].volume_mm3);
  EXPECT_EQ(one.proud[0].name.substr(6), "flank" + one.proud[0].name.substr(11));
  EXPECT_EQ("left " + one.proud[0].name.substr(6), other.proud[0].name);
}

TEST(Patches, GrowWithTheBody) {
  const TriangleMesh mesh = test_bodies::noisy(
      test_bodies::bumped(test_bodies::pencil(8000), 1, Vec3(50, 8, 4), 0.05), 0.05, 3, 4);
  const TriangleMesh twice = test_bodies::moved(mesh, Mat3::Identity(), Vec3::Zero(), 2);
  const Patches one = patches_of(closed(mesh), {.noise = {0.05, 3}});
  const Patches other = patches_of(closed(twice), {.noise = {0.1, 6}});
  ASSERT_GE(one.proud.size(), 1U);
  ASSERT_EQ(one.proud.size(), other.proud.size());
  EXPECT_NEAR(other.proud[0].volume_mm3, 8 * one.proud[0].volume_mm3,
              1e-6 * other.proud[0].volume_mm3);
  EXPECT_NEAR(other.proud[0].area_mm2, 4 * one.proud[0].area_mm2, 1e-6 * other.proud[0].area_mm2);
  EXPECT_NEAR(other.limit_mm, 2 * one.limit_mm, 1e-9);
}

TEST(Patches, AreTheSameBytesForAnyOrderOfThreads) {
  const ClosedMesh body = closed(test_bodies::noisy(
      test_bodies::bumped(test_bodies::glider(6000), 1, Vec3(50, 8, 4), 0.05), 0.1, 3, 5));
  const DeviationField field = deviation_field(body, y_zero, {}, serial_for);
  const auto on_threads = [](int count, const std::function<void(int)>& each) {
    std::vector<std::thread> threads;
    threads.reserve(3);
    for (int t = 0; t < 3; ++t) {
      threads.emplace_back([&, t] {
        for (int i = count - 1 - t; i >= 0; i -= 3) each(i);
      });
    }
    for (std::thread& thread : threads) thread.join();
  };
  const PatchOptions options{.noise = {0.1, 3}};
  const Patches one = find_patches(body, field, {}, options);
  const Patches three = find_patches(body, field, {}, options, on_threads);
  EXPECT_EQ(one.labels, three.labels);
  ASSERT_EQ(one.volumes_mm3.size(), three.volumes_mm3.size());
  EXPECT_EQ(std::memcmp(one.volumes_mm3.data(), three.volumes_mm3.data(),
                        one.volumes_mm3.size() * sizeof(double)),
            0);
}

TEST(Patches, HoldTheirOwnSumsAndLabels) {
  const ClosedMesh body = closed(test_bodies::noisy(
      test_bodies::bumped(test_bodies::pencil(8000), 1.2, Vec3(50, 8, 4), 0.08), 0.1, 4, 6));
  const Patches patches = patches_of(body, {.noise = {0.1, 4}});
  ASSERT_FALSE(patches.proud.empty());
  std::vector<double> volumes(patches.proud.size(), 0.0);
  for (std::size_t v = 0; v < patches.labels.size(); ++v) {
    const int label = patches.labels[v];
    EXPECT_EQ(label > 0, patches.deviation_mm[v] > 0);
    EXPECT_EQ(label < 0, patches.deviation_mm[v] < 0);
    if (label > 0) volumes[static_cast<std::size_t>(label) - 1] += patches.volumes_mm3[v];
  }
  for (std::size_t i = 0; i < volumes.size(); ++i) {
    EXPECT_NEAR(volumes[i], patches.proud[i].volume_mm3, 1e-9 * volumes[0]);
    if (i == 0) continue;
    EXPECT_LE(patches.proud[i].volume_mm3, patches.proud[i - 1].volume_mm3);
  }
}

// Two bumps of 3 mm radius whose rims are 4 mm apart: one flaw to noise that holds together over
// 6 mm, two to noise of 1 mm.
TEST(Patches, AreOneOverGapsOfLessThanACorrelationLength) {
  const auto shown = [](double correlation_mm) {
    TriangleMesh mesh = test_bodies::moved(test_bodies::ellipsoid(82.5, 11, 14, 240, 160),
                                           Mat3::Identity(), {82.5, 0, 0});
    for (int v = 0; v < mesh.vertex_count(); ++v) {
      const Vec3 p = mesh.positions_mm.col(v);
      if (p.y() <= 0) continue;
      for (const double x : {75.0, 85.0}) {
        if (std::hypot(p.x() - x, p.z()) < 3) mesh.positions_mm(1, v) += 0.6;
      }
    }
    return patches_of(closed(mesh), {.noise = {0.01, correlation_mm}}).proud.size();
  };
  EXPECT_EQ(shown(1), 2U);
  EXPECT_EQ(shown(6), 1U);
}

// A belly hollow that was filled flat must not make the other side proud.
TEST(Patches, LeaveOutWhatMeetsMadeUpSkin) {
  TriangleMesh mesh = test_bodies::moved(test_bodies::ellipsoid(82.5, 11, 14, 100, 80),
                                         Mat3::Identity(), {82.5, 0, 0});
  std::vector<std::uint8_t> flat(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    if (mesh.positions_mm(1, v) > -9 || std::abs(mesh.positions_mm(0, v) - 80) > 15) continue;
    mesh.positions_mm(1, v) = -9;
    flat[static_cast<std::size_t>(v)] = 1;
  }
  std::vector<std::uint8_t> measured(static_cast<std::size_t>(mesh.facet_count()), 1);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      if (flat[static_cast<std::size_t>(mesh.facets(k, f))] != 0) {
        measured[static_cast<std::size_t>(f)] = 0;
      }
    }
  }
  const ClosedMesh body = closed(mesh);
  EXPECT_GT(patches_of(body).proud.at(0).greatest_mm, 1);
  const DeviationField field = deviation_field(body, y_zero, measured, serial_for);
  for (const Patch& patch : find_patches(body, field, measured, {}).proud) {
    EXPECT_LT(patch.greatest_mm, 0.15) << patch.name;
  }
}

TEST(Patches, AreNoneOnABodyThatIsItsOwnMirrorImage) {
  const Patches patches = patches_of(closed(test_bodies::glider(5000)));
  EXPECT_TRUE(patches.proud.empty());
  EXPECT_TRUE(patches.shy.empty());
}

// A bump on each part of a lure; the names say where.
TEST(PatchNames, SayWhereInPlainWords) {
  const auto name_of_bump = [](const Vec3& at_mm) {
    TriangleMesh mesh = test_bodies::moved(test_bodies::ellipsoid(82.5, 11, 14, 160, 120),
                                           Mat3::Identity(), {82.5, 0, 0});
    for (int v = 0; v < mesh.vertex_count(); ++v) {
      const Vec3 p = mesh.positions_mm.col(v);
      const double off = (p - at_mm).norm();
      if (off < 5) mesh.positions_mm.col(v) += (1 - off / 5) * 1.5 * Vec3(0, p.y(), p.z()) / 14;
    }
    const Patches patches = patches_of(closed(mesh));
    return patches.proud.empty() ? std::string() : patches.proud[0].name;
  };
  EXPECT_EQ(name_of_bump({60, -10.6, -1}).substr(0, 12), "left flank, ");
  EXPECT_EQ(name_of_bump({80, 3, 13.5}).substr(0, 27), "back, right of the middle, ");
  EXPECT_EQ(name_of_bump({80, -3, -13.5}).substr(0, 27), "belly, left of the middle, ");
  EXPECT_EQ(name_of_bump({3, 3, 0}).substr(0, 27), "nose, right of the middle, ");
  EXPECT_EQ(name_of_bump({162, -3, 0}).substr(0, 26), "tail, left of the middle, ");
}

}  // namespace
}  // namespace trueblank::symmetry
