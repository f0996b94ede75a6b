// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/mend.h"

#include <gmock/gmock.h>

#include <cmath>
#include <numbers>
#include <numeric>
#include <random>

#include "geometry/error.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::inside_out;
using test_bodies::joined;
using test_bodies::without;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TriangleMesh shifted(const TriangleMesh& mesh, const Vec3& by) {
  return test_bodies::moved(mesh, geometry::Mat3::Identity(), by);
}

TriangleMesh ball(double radius = 10, int rings = 16) {
  return test_bodies::ellipsoid(radius, radius, radius, rings, rings + rings / 4 * 2);
}

double volume(const TriangleMesh& mesh) { return geometry::signed_volume_mm3(mesh, Vec3::Zero()); }

/// Mends, and holds what mend promises of every result.
MendedMesh mended(const TriangleMesh& mesh, Mend how = Mend::holes) {
  MendedMesh out = mend(mesh, how, "lure.stl");
  EXPECT_EQ(out.vertex_measured.size(), static_cast<std::size_t>(out.mesh.vertex_count()));
  EXPECT_EQ(out.facet_measured.size(), static_cast<std::size_t>(out.mesh.facet_count()));
  EXPECT_TRUE(out.closed || how == Mend::none);
  EXPECT_EQ(out.closed, geometry::closed_mesh(out.mesh).has_value());
  return out;
}

int count_of(const MendedMesh& out, const std::string& what) {
  for (const Mended& m : out.mended) {
    if (m.what == what) return m.count;
  }
  return 0;
}

long made_up(const std::vector<std::uint8_t>& measured) {
  return std::count(measured.begin(), measured.end(), 0);
}

std::string refusal(const TriangleMesh& mesh, Mend how = Mend::holes) {
  try {
    (void)mend(mesh, how, "lure.stl");
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return {};
}

TEST(Mending, AWholeBodyStaysAsItIs) {
  const MendedMesh out = mended(ball());
  EXPECT_EQ(out.mesh.positions_mm, ball().positions_mm);
  EXPECT_EQ(out.mesh.facets, ball().facets);
  EXPECT_THAT(out.warnings, IsEmpty());
  EXPECT_THAT(out.mended, IsEmpty());
  EXPECT_EQ(made_up(out.facet_measured), 0);
}

TEST(Mending, AnInsideOutBodyIsTurned) {
  const MendedMesh out = mended(inside_out(ball()));
  EXPECT_DOUBLE_EQ(volume(out.mesh), volume(ball()));
  EXPECT_EQ(count_of(out, "turned inside out"), 1);
  EXPECT_THAT(out.warnings,
              ElementsAre("The mesh was inside out (its facets faced inward): turned."));
}

TEST(Mending, FacetsTurnedAtRandomAreTurnedBack) {
  std::mt19937 random(7);
  TriangleMesh mesh = ball();
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (random() % 3 == 0) std::swap(mesh.facets(0, f), mesh.facets(1, f));
  }
  const MendedMesh out = mended(mesh);
  EXPECT_NEAR(volume(out.mesh), volume(ball()), 1e-9);
  EXPECT_GT(count_of(out, "facets turned"), mesh.facet_count() / 5);
}

TEST(Mending, RepeatedAndDegenerateFacetsAreDropped) {
  TriangleMesh mesh = ball();
  const int n = mesh.facet_count();
  mesh.facets.conservativeResize(3, n + 4);
  mesh.facets.col(n) = mesh.facets.col(3);
  mesh.facets.col(n + 1) << mesh.facets(1, 8), mesh.facets(2, 8), mesh.facets(0, 8);
  mesh.facets.col(n + 2) << 5, 5, 6;
  mesh.facets.col(n + 3) << 5, 5, 5;
  const MendedMesh out = mended(mesh);
  EXPECT_EQ(count_of(out, "repeated facets dropped"), 2);
  EXPECT_EQ(count_of(out, "degenerate facets dropped"), 2);
  EXPECT_EQ(out.mesh.facets, ball().facets);
}

TEST(Mending, ABodyDrawnFromBothSidesIsOneBody) {
  const MendedMesh out = mended([] {
    TriangleMesh both = ball();
    const TriangleMesh inner = inside_out(ball());
    const int n = both.facet_count();
    both.facets.conservativeResize(3, 2 * n);
    both.facets.rightCols(n) = inner.facets;
    return both;
  }());
  EXPECT_NEAR(volume(out.mesh), volume(ball()), 1e-9);
  EXPECT_EQ(count_of(out, "repeated facets dropped"), ball().facet_count());
}

// Source: ellipsoid volume 4/3·π·abc; its polyhedron here lies 1.4 % below, and the whole one is
// the measure. A hole of a fifteenth of the skin: the cap over a flat filling is 1 % of the volume
// (a ball's cap of height h: π·h²·(r - h/3), h = 2·r/15 gives 1.3 %); what goes on smoothly must do
// several times better.
TEST(Mending, AHoleIsFilledSmoothlyAndWhatIsMadeUpIsFlagged) {
  const TriangleMesh whole = test_bodies::ellipsoid(40, 12, 15, 60, 48);
  const auto hole = [](const Vec3& p) { return p.z() < -13 && std::abs(p.x()) < 20; };
  const TriangleMesh open = without(whole, hole);
  ASSERT_LT(open.facet_count(), whole.facet_count());
  const MendedMesh out = mended(open);
  EXPECT_NEAR(volume(out.mesh) / volume(whole), 1, 0.003);
  EXPECT_EQ(count_of(out, "holes filled"), 1);
  ASSERT_EQ(out.warnings.size(), 1U);
  EXPECT_THAT(out.warnings[0], HasSubstr("The mesh was open: 1 hole filled, "));
  // What was read comes first, unchanged; what was made up lies where the hole was.
  EXPECT_EQ(out.mesh.facets.leftCols(open.facet_count()).cols(), open.facet_count());
  EXPECT_GT(made_up(out.facet_measured), 10);
  for (int f = 0; f < out.mesh.facet_count(); ++f) {
    const bool measured = f < open.facet_count();
    ASSERT_EQ(out.facet_measured[static_cast<std::size_t>(f)], measured ? 1 : 0);
    if (measured) continue;
    const Vec3 centre = (out.mesh.corner(f, 0) + out.mesh.corner(f, 1) + out.mesh.corner(f, 2)) / 3;
    EXPECT_LT(centre.z(), -11);
  }
  for (int v = 0; v < out.mesh.vertex_count(); ++v) {
    if (out.vertex_measured[static_cast<std::size_t>(v)] != 0) continue;
    EXPECT_LT(out.mesh.positions_mm(2, v), -12);
  }
}

TEST(Mending, AHoleWithARimOfManyEdgesIsFilledSmoothlyToo) {
  const TriangleMesh whole = test_bodies::ellipsoid(40, 12, 15, 300, 240);
  const TriangleMesh open =
      without(whole, [](const Vec3& p) { return p.z() < -13 && std::abs(p.x()) < 20; });
  const MendedMesh out = mended(open);
  EXPECT_NEAR(volume(out.mesh) / volume(whole), 1, 0.003);
  EXPECT_EQ(count_of(out, "holes filled"), 1);
}

TEST(Mending, AMissingFlatEndIsFilledFlat) {
  // A box without one side, a turned rod without one end: exact, to rounding.
  const TriangleMesh open_box =
      without(test_bodies::box(100, 20, 30), [](const Vec3& p) { return p.x() > 49; });
  ASSERT_EQ(open_box.facet_count(), 10);
  EXPECT_NEAR(volume(mended(open_box).mesh), 100 * 20 * 30, 1e-9);
  const TriangleMesh rod = test_bodies::turned({{8, 0}, {8, 50}, {8, 100}}, 64);
  const TriangleMesh open_rod = without(rod, [](const Vec3& p) { return p.z() > 99; });
  ASSERT_LT(open_rod.facet_count(), rod.facet_count());
  EXPECT_NEAR(volume(mended(open_rod).mesh), volume(rod), 1e-9);
}

TEST(Mending, ManySmallHolesAreFilled) {
  std::mt19937 random(3);
  TriangleMesh mesh = test_bodies::ellipsoid(40, 12, 15, 60, 48);
  const double whole = volume(mesh);
  const TriangleMesh open = without(mesh, [&](const Vec3&) { return random() % 20 == 0; });
  const MendedMesh out = mended(open);
  EXPECT_GT(count_of(out, "holes filled"), 50);
  EXPECT_NEAR(volume(out.mesh) / whole, 1, 0.002);
}

TEST(Mending, WithNoneAnOpenBodyStaysOpen) {
  const TriangleMesh open = without(ball(), [](const Vec3& p) { return p.x() > 9; });
  const MendedMesh out = mended(open, Mend::none);
  EXPECT_FALSE(out.closed);
  EXPECT_EQ(out.mesh.facets.cols(), open.facets.cols());
  EXPECT_THAT(out.warnings,
              ElementsAre("The mesh is open (1 hole) and stays so: it has no volume."));
  EXPECT_TRUE(mended(ball(), Mend::none).closed);
}

TEST(Mending, OfTwoBodiesTheOneOfGreaterVolumeIsKept) {
  const TriangleMesh small = shifted(ball(5), {30, 0, 0});
  for (const TriangleMesh& both : {joined(ball(), small), joined(small, ball())}) {
    const MendedMesh out = mended(both);
    EXPECT_DOUBLE_EQ(volume(out.mesh), volume(ball()));
    EXPECT_EQ(count_of(out, "pieces left out"), 1);
    EXPECT_THAT(out.warnings,
                ElementsAre("1 other piece left out, of 13 % of the kept one's volume."));
    ASSERT_EQ(out.left_out_mm3.size(), 1U);
    EXPECT_NEAR(out.left_out_mm3[0], volume(ball(5)), 1e-9);
  }
}

TEST(Mending, TheVolumeAfterFillingCounts) {
  // A ball cut off at x = 2 keeps 65 % of its volume (a cap of height 8 is gone), a ball of 0.9
  // times the radius has 73 %.
  const TriangleMesh open = without(ball(), [](const Vec3& p) { return p.x() > 2; });
  const TriangleMesh other = shifted(ball(9), {-40, 0, 0});
  const MendedMesh out = mended(joined(open, other));
  EXPECT_LT(out.mesh.positions_mm.row(0).minCoeff(), -30);
  const TriangleMesh nearly = without(ball(), [](const Vec3& p) { return p.x() > 9; });
  EXPECT_GT(mended(joined(nearly, other)).mesh.positions_mm.row(0).minCoeff(), -11);
}

TEST(Mending, AShellTurnedInwardInsideIsACavity) {
  const TriangleMesh hollow = joined(ball(), inside_out(ball(5)));
  for (const TriangleMesh& mesh : {hollow, inside_out(hollow)}) {
    const MendedMesh out = mended(mesh);
    EXPECT_NEAR(out.cavity_mm3, volume(ball(5)), 1e-9);
    EXPECT_NEAR(volume(out.mesh), volume(ball()) - volume(ball(5)), 1e-9);
    EXPECT_EQ(count_of(out, "pieces left out"), 0);
  }
}

TEST(Mending, AShellTurnedOutwardInsideIsAnotherPiece) {
  const MendedMesh out = mended(joined(ball(), ball(5)));
  EXPECT_EQ(out.cavity_mm3, 0);
  EXPECT_DOUBLE_EQ(volume(out.mesh), volume(ball()));
  ASSERT_EQ(out.warnings.size(), 2U);
  EXPECT_THAT(out.warnings[1], HasSubstr("inside the body and faces outward"));
}

TEST(Mending, AShellTurnedInwardBesideIsAnotherPiece) {
  const MendedMesh out = mended(joined(ball(), inside_out(shifted(ball(5), {30, 0, 0}))));
  EXPECT_EQ(out.cavity_mm3, 0);
  EXPECT_EQ(count_of(out, "pieces left out"), 1);
  EXPECT_EQ(out.warnings.size(), 1U);
}

TEST(Mending, TheCavityOfALoosePieceIsNotTheBodys) {
  const MendedMesh out = mended(joined(joined(ball(), ball(5)), inside_out(ball(2))));
  EXPECT_EQ(out.cavity_mm3, 0);
  EXPECT_EQ(count_of(out, "pieces left out"), 2);
}

TEST(Mending, ACavityWithAHoleIsFilledAndStays) {
  const TriangleMesh open_shell =
      without(inside_out(ball(5)), [](const Vec3& p) { return p.x() > 4.5; });
  const MendedMesh out = mended(joined(ball(), open_shell));
  EXPECT_NEAR(out.cavity_mm3 / volume(ball(5)), 1, 0.01);
  EXPECT_NEAR(volume(out.mesh) + out.cavity_mm3, volume(ball()), 1e-9);
}

TEST(Mending, AFinOnTheSkinIsAnotherPiece) {
  // One facet that stands on an edge of the body, and a wall across its inside.
  TriangleMesh mesh = ball();
  const int n = mesh.facet_count();
  mesh.positions_mm.conservativeResize(3, mesh.vertex_count() + 1);
  mesh.positions_mm.rightCols(1) << 0, 0, 30;
  mesh.facets.conservativeResize(3, n + 1);
  mesh.facets.col(n) << mesh.facets(0, n / 2), mesh.facets(1, n / 2), mesh.vertex_count() - 1;
  const MendedMesh out = mended(mesh);
  EXPECT_NEAR(volume(out.mesh), volume(ball()), 1e-9);
  EXPECT_EQ(out.mesh.facets.cols(), n);
  EXPECT_EQ(count_of(out, "pieces left out"), 1);
}

TEST(Mending, AWallInsideIsAnotherPiece) {
  // A fan across a ring of the skin, from a new vertex at its middle.
  TriangleMesh mesh = test_bodies::turned({{0, 0}, {8, 10}, {10, 30}, {7, 50}, {0, 60}}, 24);
  const double whole = volume(mesh);
  std::vector<int> ring;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    if (mesh.positions_mm(2, v) == 30) ring.push_back(v);
  }
  ASSERT_EQ(ring.size(), 24U);
  std::ranges::sort(ring, {}, [&mesh](int v) {
    return std::atan2(mesh.positions_mm(1, v), mesh.positions_mm(0, v));
  });
  const int n = mesh.facet_count();
  mesh.positions_mm.conservativeResize(3, mesh.vertex_count() + 1);
  mesh.positions_mm.rightCols(1) << 0, 0, 30;
  mesh.facets.conservativeResize(3, n + 24);
  for (int i = 0; i < 24; ++i) {
    mesh.facets.col(n + i) << ring[static_cast<std::size_t>(i)],
        ring[static_cast<std::size_t>((i + 1) % 24)], mesh.vertex_count() - 1;
  }
  const MendedMesh out = mended(mesh);
  EXPECT_NEAR(volume(out.mesh), whole, 1e-9);
  EXPECT_EQ(out.mesh.facets.cols(), n);
}

TEST(Mending, BodiesThatTouchInAVertexOrAnEdgeAreTwo) {
  const TriangleMesh a = test_bodies::box(2, 2, 2);
  for (const Vec3& by : {Vec3(2, 2, 2), Vec3(2, 2, 0)}) {
    TriangleMesh both = joined(a, shifted(a, by));
    for (int v = 8; v < 16; ++v) {  // weld
      for (int u = 0; u < 8; ++u) {
        if (both.positions_mm.col(u) != both.positions_mm.col(v)) continue;
        for (int& c : both.facets.reshaped()) c = c == v ? u : c;
      }
    }
    const MendedMesh out = mended(both);
    // Two apart, or both as one body that touches itself: the volume says which.
    EXPECT_TRUE(std::abs(volume(out.mesh) - 8) < 1e-12 || std::abs(volume(out.mesh) - 16) < 1e-12)
        << volume(out.mesh);
  }
}

/// A strip round a ring with `turns` half turns.
TriangleMesh strip(int turns) {
  constexpr int n = 40;
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, 2 * n);
  for (int i = 0; i < n; ++i) {
    const double angle = 2 * std::numbers::pi * i / n;
    const double tilt = turns * angle / 2;
    for (int side = 0; side < 2; ++side) {
      const double r = 20 + (side == 0 ? -5 : 5) * std::cos(tilt);
      mesh.positions_mm.col(2 * i + side) << r * std::cos(angle), r * std::sin(angle),
          (side == 0 ? -5 : 5) * std::sin(tilt);
    }
  }
  mesh.facets.resize(3, 2 * n);
  for (int i = 0; i < n; ++i) {
    const bool crossed = i + 1 == n && turns % 2 == 1;
    const int j = (i + 1) % n;
    const int a = 2 * i;
    const int b = 2 * i + 1;
    const int c = crossed ? 2 * j + 1 : 2 * j;
    const int d = crossed ? 2 * j : 2 * j + 1;
    mesh.facets.col(2 * i) << a, b, c;
    mesh.facets.col(2 * i + 1) << b, d, c;
  }
  return mesh;
}

TEST(Mending, ASurfaceWithOneSideIsRefused) {
  EXPECT_EQ(refusal(strip(1)),
            "lure.stl: the surface has one side only (it is twisted like a Möbius strip), so it "
            "encloses nothing; mend the mesh where it was made and export it again");
  EXPECT_FALSE(mended(strip(1), Mend::none).closed);
  // Beside a body it is another piece.
  EXPECT_NEAR(volume(mended(joined(ball(), shifted(strip(1), {99, 0, 0}))).mesh), volume(ball()),
              1e-9);
}

TEST(Mending, ASheetThatEnclosesNothingIsRefused) {
  TriangleMesh sheet = strip(0);
  EXPECT_EQ(refusal(sheet),
            "lure.stl: the surface encloses nothing (a flat sheet); export the whole body, closed "
            "all round");
  EXPECT_FALSE(mended(sheet, Mend::none).closed);
  TriangleMesh both_sides = joined(sheet, inside_out(sheet));
  EXPECT_EQ(refusal(both_sides), refusal(sheet));
}

TEST(Mending, NothingButDegenerateFacetsIsRefused) {
  TriangleMesh mesh;
  mesh.positions_mm.setRandom(3, 4);
  mesh.facets.setZero(3, 4);
  EXPECT_EQ(refusal(mesh), "lure.stl: no facets in the file; copy or export the file again");
}

TEST(Mending, IsTheSameHoweverTheFacetsAreShuffled) {
  const TriangleMesh open = without(test_bodies::ellipsoid(40, 12, 15, 40, 32), [](const Vec3& p) {
    return p.z() < -12 && std::abs(p.x()) < 20;
  });
  const double expected = volume(mended(open).mesh);
  for (const unsigned seed : {1U, 2U}) {
    EXPECT_NEAR(volume(mended(test_bodies::shuffled(open, seed)).mesh), expected, 1e-3 * expected);
  }
  const MendedMesh again = mended(open);
  EXPECT_EQ(again.mesh.positions_mm, mended(open).mesh.positions_mm);
  EXPECT_EQ(again.mesh.facets, mended(open).mesh.facets);
}

TEST(Mending, AVertexInWhichTheSkinMeetsItselfIsParted) {
  // Two vertices of a ball drawn into one: its facets around it make two rings.
  TriangleMesh pinched = ball(10, 40);
  const int a = pinched.vertex_count() / 2;
  const int b = a + 3;
  for (int& v : pinched.facets.reshaped()) v = v == b ? a : v;
  ASSERT_TRUE(geometry::closed_mesh(pinched).has_value());
  const MendedMesh out = mended(pinched);
  EXPECT_EQ(count_of(out, "vertices parted"), 1);
  EXPECT_EQ(out.mesh.vertex_count(), pinched.vertex_count());  // one was without a facet
  EXPECT_NEAR(volume(out.mesh), volume(pinched), 1e-9);
  EXPECT_EQ(made_up(out.vertex_measured), 0);
  EXPECT_EQ(count_of(mended(out.mesh), "vertices parted"), 0);
}

TEST(Mending, FiguresAreScaledWithTheMesh) {
  const TriangleMesh open = without(test_bodies::ellipsoid(40, 12, 15, 60, 48),
                                    [](const Vec3& p) { return p.z() < -13; });
  const MendedMesh in_mm = mended(open);
  MendedMesh in_cm =
      mended(test_bodies::moved(open, geometry::Mat3::Identity(), Vec3::Zero(), 0.1));
  scale(in_cm, 10);
  ASSERT_EQ(in_cm.holes.size(), 1U);
  EXPECT_NEAR(in_cm.holes[0].area_mm2, in_mm.holes[0].area_mm2, 1e-6);
  EXPECT_NEAR(in_cm.holes[0].bound_mm3, in_mm.holes[0].bound_mm3, 1e-6);
  EXPECT_LT((in_cm.holes[0].centre_mm - in_mm.holes[0].centre_mm).norm(), 1e-6);
  EXPECT_NEAR(in_cm.made_up_bound_mm3, in_mm.made_up_bound_mm3, 1e-6);
  EXPECT_NEAR(in_cm.mended.back().bound_mm3, in_mm.mended.back().bound_mm3, 1e-6);
  EXPECT_NEAR(in_cm.made_up_share, in_mm.made_up_share, 1e-9);
  EXPECT_NEAR(volume(in_cm.mesh), volume(in_mm.mesh), 1e-6);
}

// Source: inclusion and exclusion; the boxes' common part is a box.
TEST(Mending, OverlappingSolidsAreOneBody) {
  const TriangleMesh body = test_bodies::box(100, 20, 30);
  const TriangleMesh fin = shifted(test_bodies::box(20, 2, 40), {10.1, 0.3, 12.2});
  const double common = 20 * 2 * (15 - (12.2 - 20));
  for (const TriangleMesh& both : {joined(body, fin), joined(fin, body)}) {
    const MendedMesh out = mended(both);
    EXPECT_NEAR(volume(out.mesh), 100 * 20 * 30 + 20 * 2 * 40 - common, 1e-6);
    EXPECT_EQ(count_of(out, "overlapping shells united"), 1);
    EXPECT_EQ(count_of(out, "pieces left out"), 0);
    EXPECT_EQ(made_up(out.facet_measured), 0);
    EXPECT_EQ(made_up(out.vertex_measured), 0);
    ASSERT_EQ(out.mended.size(), 1U);
    EXPECT_NEAR(out.mended[0].bound_mm3, common, 1e-6);
    EXPECT_EQ(soundness(out.mesh).self_intersections, 0);
    EXPECT_EQ(soundness(out.mesh).pieces, 1);
    EXPECT_THAT(out.warnings, ElementsAre("1 overlapping shell united with the body."));
  }
}

TEST(Mending, ChainsOfSolidsAreUnitedStraySkinIsNot) {
  const TriangleMesh body = test_bodies::box(100, 20, 30);
  const TriangleMesh link = shifted(test_bodies::box(20, 5, 5), {55, 0.1, 0.2});
  const TriangleMesh end = shifted(test_bodies::box(10, 10, 10), {66, 0.3, 0.1});
  const TriangleMesh apart = shifted(test_bodies::box(10, 10, 10), {0, 40, 0});
  const TriangleMesh open = without(shifted(test_bodies::box(10, 10, 10), {0, 10.3, 0.2}),
                                    [](const Vec3& p) { return p.y() > 15; });
  const MendedMesh out = mended(joined(joined(joined(joined(body, link), end), apart), open));
  // The link runs from 45 to 65, the end from 61 to 71: 15 of the link outside the body, 4 in the
  // end.
  EXPECT_NEAR(volume(out.mesh), 60000 + 15 * 25 + 1000 - 4 * 25, 1e-6);
  EXPECT_EQ(count_of(out, "overlapping shells united"), 2);
  EXPECT_EQ(count_of(out, "pieces left out"), 2);
}

TEST(Mending, ASkinThatRunsThroughItselfIsOneSkin) {
  // Two boxes with a common part.
  const TriangleMesh a = test_bodies::box(60, 10, 10);
  TriangleMesh both = joined(a, shifted(test_bodies::box(60, 10, 10), {3.3, 6.1, 0.2}));
  // A tube of three vertices between a facet of each makes one piece of them.
  const int first = 0;
  const int second = both.facet_count() / 2;
  const Eigen::Vector3i from = both.facets.col(first);
  const Eigen::Vector3i to = both.facets.col(second);
  Eigen::Matrix3Xi facets(3, both.facet_count() + 4);
  int n = 0;
  for (int f = 0; f < both.facet_count(); ++f) {
    if (f != first && f != second) facets.col(n++) = both.facets.col(f);
  }
  // The tube runs from one hole to the other, in which the corners run the other way round.
  for (int k = 0; k < 3; ++k) {
    const int p = from(k);
    const int q = from((k + 1) % 3);
    const int r = to((3 - k) % 3);
    const int t = to((5 - k) % 3);
    facets.col(n++) << p, q, r;
    facets.col(n++) << q, t, r;
  }
  both.facets = facets;
  ASSERT_TRUE(geometry::closed_mesh(both).has_value());
  const MendedMesh out = mended(both);
  EXPECT_GT(count_of(out, "self-intersections resolved"), 3);
  EXPECT_LT(volume(out.mesh), volume(both) - 1000);
  EXPECT_EQ(soundness(out.mesh).self_intersections, 0);
}

/// The half with x below 0 and the rest, each with vertices of its own, the second moved a little.
TriangleMesh in_two(const TriangleMesh& whole, const Vec3& by) {
  return joined(without(whole, [](const Vec3& p) { return p.x() > 0; }),
                shifted(without(whole, [](const Vec3& p) { return p.x() <= 0; }), by));
}

// Two ways to close the gap between the halves, each drawn outright: the one half's rim moves onto
// the other's, or the other way round. The first is what sewing does; they differ by no more than
// it says.
TEST(Mending, RimsThatLieOnEachOtherAreSewn) {
  const TriangleMesh whole = test_bodies::ellipsoid(40, 12, 15, 60, 48);
  const Vec3 by(2e-4, -1e-4, 1e-4);
  const MendedMesh out = mended(in_two(whole, by));
  EXPECT_EQ(count_of(out, "seams sewn"), 48);
  EXPECT_EQ(count_of(out, "holes filled"), 0);
  EXPECT_EQ(count_of(out, "pieces left out"), 0);
  EXPECT_EQ(made_up(out.facet_measured), 0);
  ASSERT_EQ(out.mended.size(), 1U);
  TriangleMesh moved_on = whole;
  TriangleMesh moved_back = whole;
  for (int v = 0; v < whole.vertex_count(); ++v) {
    if (whole.positions_mm(0, v) > 1e-9) moved_on.positions_mm.col(v) += by;
    if (whole.positions_mm(0, v) > -1e-9) moved_back.positions_mm.col(v) += by;
  }
  EXPECT_NEAR(volume(out.mesh), volume(moved_on), 1e-9);
  EXPECT_NEAR(volume(moved_on), volume(moved_back), out.mended[0].bound_mm3);
  EXPECT_LT(out.mended[0].bound_mm3, 0.1);
  // Farther apart than a hundred-thousandth of the diagonal they are two bodies.
  EXPECT_EQ(count_of(mended(in_two(whole, {0.1, 0, 0})), "seams sewn"), 0);
}

TEST(Mending, SeamsOfAnyDensityAreSewnWhereTheEdgesAllowIt) {
  // Rim edges of 1e-4 or so: a gap of a tenth of them is no seam, though near against the body.
  TriangleMesh whole = test_bodies::ellipsoid(40, 1e-3, 1e-3, 60, 48);
  EXPECT_EQ(count_of(mended(in_two(whole, {2e-4, 0, 0})), "seams sewn"), 0);
}

/// A box whose top is drawn in a grid, while its walls have one edge along it.
TriangleMesh box_with_finer_top(int n) {
  const TriangleMesh whole = test_bodies::box(40, 20, 10);
  const TriangleMesh top = shifted(test_bodies::sheet(40, 20, n, n), {0, 0, 5});
  return joined(without(whole, [](const Vec3& p) { return p.z() > 4.9; }), top);
}

TEST(Mending, EdgesAlongSeveralOthersAreCutAtTheirVertices) {
  const MendedMesh out = mended(box_with_finer_top(5));
  EXPECT_EQ(count_of(out, "holes filled"), 0);
  EXPECT_EQ(count_of(out, "seams sewn"), 4);  // four corners weld, each long edge is sewn to five
  EXPECT_EQ(out.mesh.facet_count(), 10 + 2 * 25 + 4 * 4);
  EXPECT_NEAR(volume(out.mesh), 40 * 20 * 10, 1e-9);
  const Soundness sound = soundness(out.mesh);
  EXPECT_TRUE(sound.closed && sound.oriented);
  EXPECT_EQ(sound.self_intersections, 0);
}

// Whatever the soup: a closed body, or one clear line; never anything else.
TEST(Mending, RandomSoupsAreClosedOrRefused) {
  int closed = 0;
  for (unsigned seed = 0; seed < 60; ++seed) {
    std::mt19937 random(seed);
    TriangleMesh soup;
    const int vertices = 4 + static_cast<int>(random() % 8);
    soup.positions_mm.resize(3, vertices);
    for (double& x : soup.positions_mm.reshaped()) x = static_cast<double>(random() % 5);
    soup.facets.resize(3, 2 + static_cast<int>(random() % 30));
    for (int& c : soup.facets.reshaped()) c = static_cast<int>(random()) & 0x7fffffff;
    for (int& c : soup.facets.reshaped()) c %= vertices;
    if (refusal(soup).empty()) {
      (void)mended(soup);
      ++closed;
    }
    (void)refusal(soup, Mend::none);
  }
  EXPECT_GT(closed, 10);
}

}  // namespace
}  // namespace trueblank::intake
