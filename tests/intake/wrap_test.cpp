// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/wrap.h"

#include <gmock/gmock.h>

#include <cmath>
#include <numeric>
#include <random>

#include "geometry/moments.h"
#include "intake/mend.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

std::vector<std::uint8_t> all_measured(const TriangleMesh& mesh) {
  return std::vector<std::uint8_t>(static_cast<std::size_t>(mesh.facet_count()), 1);
}

double volume(const TriangleMesh& mesh) { return geometry::signed_volume_mm3(mesh, Vec3::Zero()); }

/// Wraps, and holds what wrap promises of every result that is not refused.
Wrapped wrapped(const TriangleMesh& mesh) {
  const auto out = wrap(mesh, all_measured(mesh));
  EXPECT_TRUE(out.has_value());
  if (!out) return {};
  EXPECT_FALSE(out->refused);
  const Soundness sound = topology(out->mesh);
  EXPECT_TRUE(sound.closed && sound.oriented && sound.outward);
  EXPECT_NEAR(out->before_mm3, volume(mesh), 1e-9 * volume(mesh));
  EXPECT_NEAR(out->wrapped_mm3, volume(out->mesh), 1e-9 * volume(mesh));
  EXPECT_LE(std::abs(out->wrapped_mm3 - out->before_mm3), out->bound_mm3);
  return *out;
}

/// Noise of so many mm on each vertex by itself: where facets are smaller than that, the skin
/// folds and crosses itself.
TriangleMesh noisy(TriangleMesh mesh, double noise_mm) {
  std::mt19937 chance(7);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    for (int k = 0; k < 3; ++k) {
      const double part = static_cast<double>(chance()) / 4294967296.0;
      mesh.positions_mm(k, v) += noise_mm * std::sqrt(12.0) * (part - 0.5);
    }
  }
  return mesh;
}

// Source: the volume of the polyhedron by signed tetrahedra. The wrap's chords are not the body's,
// so a few hundredths of a per cent are left.
TEST(Wrap, TakesItsOwnThicknessOffAgain) {
  const TriangleMesh mesh = test_bodies::pencil(3000);
  const Wrapped out = wrapped(mesh);
  EXPECT_NEAR(out.wrapped_mm3 / out.before_mm3, 1, 3e-4);
  EXPECT_GT(out.thickness_mm, 0);
  EXPECT_LT(std::abs(out.left_on_mm), 0.05 * out.thickness_mm);
  EXPECT_LT(out.bound_mm3, 2e-3 * out.before_mm3) << "a bound that says something";
  EXPECT_EQ(soundness(out.mesh).self_intersections, 0);
  EXPECT_THAT(out.facet_measured, testing::Each(1));
}

// Source: the flat faces of a box lie at the offset, which is a twentieth of the ball, from the
// wrap's; only near the edges do chords cut a corner.
TEST(Wrap, MeasuresTheThicknessThatItAdds) {
  const Wrapped out = wrapped(test_bodies::box(60, 30, 20));
  EXPECT_NEAR(out.thickness_mm, out.finest_mm / 20, 0.1 * out.finest_mm / 20);
  EXPECT_NEAR(out.wrapped_mm3, 36000, 36000 * 3e-4);
}

TEST(Wrap, DrawsASkinWithoutFoldsOverOneThatCrossesItself) {
  const TriangleMesh clean = test_bodies::ellipsoid(60, 10, 12, 200, 60);
  const TriangleMesh broken = noisy(clean, 0.1);
  const int crossings = soundness(broken).self_intersections;
  ASSERT_GT(crossings, 100);
  const Wrapped out = wrapped(broken);
  EXPECT_LT(soundness(out.mesh).self_intersections, crossings / 100);
  EXPECT_LE(std::abs(out.wrapped_mm3 - volume(clean)), out.bound_mm3);
}

// A wall or a loose shell inside counts twice in the given volume; the wrap leaves it out. Source:
// the ball's own volume.
TEST(Wrap, LeavesOutWhatLiesInside) {
  const TriangleMesh ball = test_bodies::ellipsoid(20, 20, 20, 30, 40);
  const Wrapped out = wrapped(test_bodies::joined(ball, test_bodies::box(8, 8, 8)));
  EXPECT_NEAR(out.before_mm3, volume(ball) + 512, 1e-6);
  EXPECT_NEAR(out.wrapped_mm3, volume(ball), 3e-4 * volume(ball));
  EXPECT_GE(out.bound_mm3, 500);
}

TEST(Wrap, KeepsACavityFacetByFacet) {
  const TriangleMesh inside = test_bodies::inside_out(test_bodies::ellipsoid(8, 8, 8, 12, 16));
  const TriangleMesh hollow =
      test_bodies::joined(test_bodies::ellipsoid(20, 20, 20, 30, 40), inside);
  const Wrapped out = wrapped(hollow);
  EXPECT_NEAR(out.wrapped_mm3 / volume(hollow), 1, 3e-4);
  EXPECT_EQ(out.mesh.positions_mm.rightCols(inside.vertex_count()), inside.positions_mm);
}

// Two boxes that overlap by more than a twentieth: the given volume counts that part twice.
TEST(Wrap, IsRefusedWhereItChangesTheVolumeByMuch) {
  const TriangleMesh box = test_bodies::box(20, 20, 20);
  const TriangleMesh both =
      test_bodies::joined(box, test_bodies::moved(box, geometry::Mat3::Identity(), Vec3(15, 3, 2)));
  const auto out = wrap(both, all_measured(both));
  ASSERT_TRUE(out.has_value());
  EXPECT_TRUE(out->refused);
  EXPECT_EQ(out->mesh.facet_count(), 0);
  EXPECT_NEAR(out->before_mm3, 16000, 1e-6);
  EXPECT_NEAR(out->wrapped_mm3, 16000 - 5 * 17 * 18, 16000 * 1e-3);
}

TEST(Wrap, TakesNoOpenScan) {
  const TriangleMesh open = test_bodies::without(test_bodies::ellipsoid(30, 10, 12, 20, 24),
                                                 [](const Vec3& p) { return p.x() > 25; });
  EXPECT_FALSE(wrap(open, all_measured(open)).has_value());
}

// A slit narrower than the ball, 8 deep and 60 long, is bridged: the wrap encloses its
// 0.1 · 8 · 60 mm³ too, and the bound says so.
TEST(Wrap, BridgesANarrowSlitAndItsBoundSaysSo) {
  const TriangleMesh slit = test_bodies::prism(
      {{-20, -10}, {20, -10}, {20, 10}, {0.05, 10}, {0, 2}, {-0.05, 10}, {-20, 10}}, 60);
  const double taken_out = 0.1 * 8 / 2 * 60;
  ASSERT_NEAR(volume(slit), 40 * 20 * 60 - taken_out, 1e-6);
  const Wrapped out = wrapped(slit);
  EXPECT_GT(out.finest_mm, 0.1);
  EXPECT_NEAR(out.wrapped_mm3, 48000, 48000 * 3e-4);
  EXPECT_GE(out.bound_mm3, std::abs(out.wrapped_mm3 - volume(slit)));
}

TEST(Wrap, CarriesWhatIsMeasured) {
  const TriangleMesh mesh = test_bodies::ellipsoid(30, 10, 10, 40, 40);
  std::vector<std::uint8_t> measured;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    measured.push_back(mesh.corner(f, 0).x() < 0 ? 1 : 0);
  }
  const auto out = wrap(mesh, measured);
  ASSERT_TRUE(out.has_value() && !out->refused);
  for (int f = 0; f < out->mesh.facet_count(); ++f) {
    const double x =
        (out->mesh.corner(f, 0) + out->mesh.corner(f, 1) + out->mesh.corner(f, 2)).x() / 3;
    if (std::abs(x) < 3) continue;  // facets of the body are up to 2.4 mm long there
    ASSERT_EQ(out->facet_measured[static_cast<std::size_t>(f)], x < 0 ? 1 : 0) << x;
  }
}

// Laws: the same bytes again; a body far away, turned and in metres has the same volume.
TEST(Wrap, GivesTheSameAgainAndFarAway) {
  const TriangleMesh mesh = test_bodies::ellipsoid(30, 8, 10, 30, 30);
  const Wrapped first = wrapped(mesh);
  const Wrapped second = wrapped(mesh);
  EXPECT_EQ(first.mesh.positions_mm, second.mesh.positions_mm);
  EXPECT_EQ(first.mesh.facets, second.mesh.facets);
  const auto far =
      wrap(test_bodies::moved(mesh, test_bodies::random_turn(3), Vec3(10, -5, 2), 1e-3),
           all_measured(mesh));
  ASSERT_TRUE(far.has_value() && !far->refused);
  EXPECT_NEAR(far->wrapped_mm3 * 1e9 / first.wrapped_mm3, 1, 3e-4);
}

}  // namespace
}  // namespace trueblank::intake
