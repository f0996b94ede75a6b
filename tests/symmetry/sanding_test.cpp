// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/sanding.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/moments.h"
#include "geometry/section.h"
#include "support/bodies.h"
#include "symmetry/columns.h"
#include "symmetry/lopsided.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/planted_plane.h"
#include "symmetry/scan_noise.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::serial_for;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;

const Plane y_zero{Vec3::UnitY(), 0};

struct Sanded {
  ClosedMesh body;
  DeviationField field;
  Patches patches;
  Sanding sanding;

  explicit Sanded(TriangleMesh mesh, const ScanNoise& noise = {})
      : body(closed(std::move(mesh))),
        field(deviation_field(body, y_zero, {}, serial_for)),
        patches(find_patches(body, field, {}, {.noise = noise})),
        sanding(symmetry::sanding(body, {}, patches, 0.37)) {}

  /// With the noise that the scan shows.
  explicit Sanded(const ClosedMesh& scan) : Sanded(scan.mesh(), scan_noise(scan, y_zero, {})) {}
};

TriangleMesh bumped_pencil(double height_mm, double noise_mm, unsigned seed) {
  const TriangleMesh clean = test_bodies::pencil(12000);
  return test_bodies::noisy(test_bodies::bumped(clean, height_mm, Vec3(55, 9, 3), 0.08), noise_mm,
                            3, seed);
}

DeviationStatistics trueness(const TriangleMesh& mesh) {
  const ClosedMesh body = closed(mesh);
  return deviation_statistics(body, deviation_mm(body, y_zero, serial_for), {});
}

/// What sanding takes off by the deviation as it is at every vertex, noise and all.
struct RawSanding {
  double left_mm3 = 0;
  double right_mm3 = 0;

  [[nodiscard]] double both_mm3() const { return left_mm3 + right_mm3; }
};

// Vertices that are proud are moved onto the mirror image: the volume that their facets sweep.
RawSanding raw_sanding(const ClosedMesh& body) {
  const DeviationField field = deviation_field(body, y_zero, {}, serial_for);
  Eigen::Matrix3Xd moves = field.mirror_image_mm - body.positions_mm();
  for (std::size_t v = 0; v < field.deviation_mm.size(); ++v) {
    if (!(field.deviation_mm[v] > 0)) moves.col(static_cast<Eigen::Index>(v)).setZero();
  }
  const std::vector<double> gained = swept_volumes_mm3(body, moves);
  RawSanding result;
  for (std::size_t v = 0; v < gained.size(); ++v) {
    const bool left = body.positions_mm()(1, static_cast<Eigen::Index>(v)) < 0;
    (left ? result.left_mm3 : result.right_mm3) -= gained[v];
  }
  return result;
}

int turned_over(const ClosedMesh& before, const TriangleMesh& after) {
  int count = 0;
  for (int f = 0; f < before.facet_count(); ++f) {
    const auto area = [f](const TriangleMesh& mesh) -> Vec3 {
      return (mesh.corner(f, 1) - mesh.corner(f, 0)).cross(mesh.corner(f, 2) - mesh.corner(f, 0));
    };
    count += area(before.mesh()).dot(area(after)) < 0;
  }
  return count;
}

// Source: ⅔π·a·c·|b_r − b_l| = 1209.513172 mm³ for a 82.5, c 14, b 11 and 11.5; plane y = 0.
TEST(SandingTwoHalfEllipsoids, TakesOffTheDifferenceOfTheirVolumes) {
  const Sanded halves(test_bodies::two_halves(11, 11.5, 240, 240));
  // The polyhedron's own halves differ by 1.5e-4 less.
  EXPECT_NEAR(halves.sanding.remove_raw_mm3, 1209.513172, 3e-4 * 1209.5);
  EXPECT_NEAR(halves.sanding.remove_mm3, 1209.513172, 1e-3 * 1209.5);
  EXPECT_NEAR(halves.sanding.right_mm3, halves.sanding.remove_mm3, 1e-9);
  EXPECT_NEAR(halves.sanding.left_mm3, 0, 1e-9);
  EXPECT_NEAR(halves.sanding.deepest_mm, 0.5, 1e-3);
  ASSERT_TRUE(halves.sanding.deepest_at_mm);
  EXPECT_NEAR(halves.sanding.deepest_at_mm->y(), 11.5, 1e-9);
  // What is left is twice the lesser half: 2·⅔π·82.5·11·14.
  const double after = 4 * std::numbers::pi / 3 * 82.5 * 11 * 14;
  EXPECT_NEAR(halves.sanding.volume_after_mm3, after, 4e-4 * after);
  EXPECT_NEAR(*halves.sanding.mass_after_g, 0.37e-3 * halves.sanding.volume_after_mm3, 1e-9);
  EXPECT_NEAR(*halves.sanding.remove_g, 0.37e-3 * halves.sanding.remove_mm3, 1e-9);
}

// Three ways that share nothing but the mesh: vertices moved onto the mirror image and the volume
// that their facets sweep; columns from flank to flank; and, for a body whose one side contains the
// other's mirror image, the difference of the sides' volumes, by sections or by a cut.
TEST(RawSanding, IsHalfTheVolumeBetweenBodyAndMirrorImageByIndependentWays) {
  const ClosedMesh body = closed(test_bodies::two_halves(11, 11.5, 240, 240));
  const RawSanding swept = raw_sanding(body);
  const OneSided columns = one_sided(body, {}, serial_for);
  const SideVolumes cut = side_volumes(body);
  double sections = 0;
  constexpr int slices = 2000;
  for (int i = 0; i < slices; ++i) {
    const double x = -82.5 + (i + 0.5) * 165 / slices;
    const geometry::Section section = geometry::section_at(body, x);
    sections += std::abs(section.right_area_mm2 - section.left_area_mm2) * 165 / slices;
  }
  const double exact = cut.right_mm3 - cut.left_mm3;  // of this polyhedron
  EXPECT_NEAR(columns.both_mm3(), exact, 2e-4 * exact);
  EXPECT_NEAR(sections, exact, 2e-4 * exact);
  // Moved vertices miss that facets lie inside the skin between them: 0.3 % here.
  EXPECT_NEAR(swept.both_mm3(), exact, 5e-3 * exact);
}

// On a skin that is proud and shy all over, the ways agree as well as facets allow: the sides'
// whole volumes tell nothing here.
TEST(RawSanding, AgreesWithColumnsOnARoughSkin) {
  for (unsigned seed = 1; seed <= 3; ++seed) {
    const ClosedMesh body = closed(test_bodies::noisy(test_bodies::pencil(40000), 0.3, 6, seed));
    const RawSanding swept = raw_sanding(body);
    const OneSided columns = one_sided(body, {}, serial_for);
    EXPECT_NEAR(swept.both_mm3(), columns.both_mm3(), 0.02 * columns.both_mm3()) << seed;
    EXPECT_NEAR(swept.left_mm3, columns.left_mm3, 0.02 * columns.both_mm3()) << seed;
    EXPECT_NEAR(swept.right_mm3, columns.right_mm3, 0.02 * columns.both_mm3()) << seed;
  }
}

TEST(Sanding, OfASphericalCapIsTheCap) {
  const test_bodies::Capped capped = test_bodies::capped_ellipsoid({70, 4, 3}, 9.5, 240, 240);
  const Sanded body(capped.mesh);
  EXPECT_NEAR(body.sanding.remove_mm3, capped.volume_mm3, 2e-3 * capped.volume_mm3);
  EXPECT_NEAR(body.sanding.remove_raw_mm3, capped.volume_mm3, 2e-3 * capped.volume_mm3);
  ASSERT_EQ(body.sanding.patch_mm3.size(), 1U);
  EXPECT_NEAR(body.sanding.patch_mm3[0], body.sanding.remove_mm3, 1e-9);
}

// The least of two noisy skins lies below either nearly everywhere.
TEST(Sanding, AsksForNextToNothingOfATrueBodyWithNoise) {
  const Sanded body(test_bodies::noisy(test_bodies::glider(12000), 0.3, 3, 12), {0.3, 3});
  const double volume = geometry::moments(body.body).volume_mm3;
  EXPECT_LT(body.sanding.remove_mm3, 1e-3 * volume);
  EXPECT_GT(body.sanding.remove_raw_mm3, 1e-2 * volume);
}

// As a maker has it: plane fitted, noise read off the scan, over up to a twelfth of the length.
TEST(Sanding, AsksForNextToNothingOfScansOfATrueBody) {
  for (const double correlation_mm : {1.0, 10.0}) {
    const ClosedMesh scan =
        closed(test_bodies::noisy(test_bodies::glider(6000), 0.3, correlation_mm, 21));
    const Sanded body(upright(scan, fit_mirror(scan, {}, {.back = Vec3(0, 0.1, 1)}).plane));
    EXPECT_LT(body.sanding.remove_mm3, 1e-3 * geometry::moments(body.body).volume_mm3)
        << correlation_mm << " mm";
  }
}

// What was put on is asked to come off: the mean of eight scans.
TEST(Sanding, FindsABumpInNoise) {
  const double put_on = geometry::moments(closed(bumped_pencil(1.5, 0, 1))).volume_mm3 -
                        geometry::moments(closed(test_bodies::pencil(12000))).volume_mm3;
  double asked = 0;
  constexpr unsigned scans = 8;
  for (unsigned seed = 1; seed <= scans; ++seed) {
    const Sanded body(bumped_pencil(1.5, 0.1, seed), {0.1, 3});
    ASSERT_FALSE(body.sanding.patch_mm3.empty()) << seed;
    asked += body.sanding.remove_mm3 / scans;
  }
  // The rim stays below the noise; that much is left on.
  EXPECT_GT(asked, 0.8 * put_on);
  EXPECT_LT(asked, 1.1 * put_on);
}

TEST(SandedMesh, IsClosedAndTrueAndLessByWhatIsTakenOff) {
  const Sanded body(test_bodies::capped_ellipsoid({70, 4, 3}, 9.5, 160, 160).mesh);
  const SandedMesh target = sanded(body.body, body.field, body.patches);
  EXPECT_EQ(target.held_back, 0);
  EXPECT_EQ(turned_over(body.body, target.mesh), 0);
  const double taken =
      geometry::moments(body.body).volume_mm3 - geometry::moments(closed(target.mesh)).volume_mm3;
  EXPECT_NEAR(taken, body.sanding.remove_mm3, 5e-3 * taken);
  // A facet of 1.5 mm on a skin of 10 mm radius stands off by 0.03 mm.
  EXPECT_LT(trueness(target.mesh).rms, 0.001);
  EXPECT_LT(trueness(target.mesh).max_proud, 0.03);
  EXPECT_GT(trueness(body.body.mesh()).max_proud, 3);
}

TEST(SandedMesh, IsTrueToAFractionOfTheNoise) {
  const Sanded body(bumped_pencil(1.5, 0.2, 3), {0.2, 3});
  const SandedMesh target = sanded(body.body, body.field, body.patches);
  EXPECT_EQ(turned_over(body.body, target.mesh), 0);
  EXPECT_LT(trueness(target.mesh).rms, 0.1 * 0.2);
  EXPECT_GT(trueness(body.body.mesh()).rms, 0.2);
}

TEST(SandedMesh, NeverPutsWoodOnWhereNoiseIsLeftAlone) {
  const Sanded body(bumped_pencil(1.5, 0.1, 4), {0.1, 3});
  const SandedMesh target = sanded(body.body, body.field, body.patches, NoisySkin::left_alone);
  EXPECT_EQ(turned_over(body.body, target.mesh), 0);
  for (int v = 0; v < body.body.vertex_count(); ++v) {
    const Vec3 move = target.mesh.positions_mm.col(v) - body.body.positions_mm().col(v);
    if (body.patches.labels[static_cast<std::size_t>(v)] <= 0) {
      EXPECT_EQ(move.norm(), 0) << v;
    }
  }
  EXPECT_LT(geometry::moments(closed(target.mesh)).volume_mm3,
            geometry::moments(body.body).volume_mm3);
}

TEST(Sanding, SwapsSidesInTheMirror) {
  const TriangleMesh mesh = bumped_pencil(1.5, 0.1, 5);
  const Sanded one(mesh, {0.1, 3});
  const Sanded other(test_bodies::mirrored_y(mesh), {0.1, 3});
  EXPECT_GT(one.sanding.right_mm3, 0);
  EXPECT_NEAR(one.sanding.right_mm3, other.sanding.left_mm3, 1e-6 * one.sanding.remove_mm3);
  EXPECT_NEAR(one.sanding.left_mm3, other.sanding.right_mm3, 1e-6 * one.sanding.remove_mm3);
  EXPECT_NEAR(one.sanding.remove_raw_mm3, other.sanding.remove_raw_mm3,
              1e-9 * one.sanding.remove_raw_mm3);
}

}  // namespace
}  // namespace trueblank::symmetry
