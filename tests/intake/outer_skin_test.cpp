// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/outer_skin.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

namespace bodies = test_bodies;
using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;

TriangleMesh shifted(const TriangleMesh& mesh, const Vec3& by) {
  return bodies::moved(mesh, Mat3::Identity(), by);
}

double volume(const TriangleMesh& mesh) {
  return geometry::signed_volume_mm3(mesh, mesh.positions_mm.rowwise().mean());
}

/// The answer, which must be there, closed and outward, and tell rightly where it comes from.
OuterSkin sound_skin(const TriangleMesh& shells) {
  std::optional<OuterSkin> skin = united_skin(shells);
  if (!skin) {
    ADD_FAILURE() << "refused";
    return {};
  }
  EXPECT_TRUE(geometry::closed_mesh(skin->mesh).has_value());
  EXPECT_NEAR(skin->volume_after_mm3, volume(skin->mesh), 1e-9 * skin->volume_after_mm3);
  EXPECT_EQ(skin->from_facet.size(), static_cast<std::size_t>(skin->mesh.facet_count()));
  EXPECT_EQ(skin->from_vertex.size(), static_cast<std::size_t>(skin->mesh.vertex_count()));
  for (int v = 0; v < skin->mesh.vertex_count(); ++v) {
    const int from = skin->from_vertex[static_cast<std::size_t>(v)];
    if (from < 0) continue;
    EXPECT_EQ(skin->mesh.positions_mm.col(v), shells.positions_mm.col(from));
  }
  return *std::move(skin);
}

/// The volume that two convex bodies share, by the cones from the origin over what each's skin has
/// inside the other: facets clipped by half-spaces (I. Sutherland, G. Hodgman, Comm. ACM 17(1),
/// 1974). No facet of one may lie in one of the other's planes.
double half_shared_mm3(const TriangleMesh& skin, const TriangleMesh& other) {
  double sum = 0;
  for (int f = 0; f < skin.facet_count(); ++f) {
    std::vector<Vec3> polygon = {skin.corner(f, 0), skin.corner(f, 1), skin.corner(f, 2)};
    for (int g = 0; g < other.facet_count() && !polygon.empty(); ++g) {
      const Vec3 a = other.corner(g, 0);
      const Vec3 normal = (other.corner(g, 1) - a).cross(other.corner(g, 2) - a);
      std::vector<Vec3> clipped;
      for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vec3& p = polygon[i];
        const Vec3& q = polygon[(i + 1) % polygon.size()];
        const double at_p = normal.dot(p - a);
        const double at_q = normal.dot(q - a);
        if (at_p <= 0) clipped.push_back(p);
        if ((at_p < 0) != (at_q < 0)) clipped.emplace_back(p + at_p / (at_p - at_q) * (q - p));
      }
      polygon = clipped;
    }
    for (std::size_t i = 2; i < polygon.size(); ++i) {
      sum += polygon[0].dot(polygon[i - 1].cross(polygon[i])) / 6;
    }
  }
  return sum;
}

double shared_mm3(const TriangleMesh& a, const TriangleMesh& b) {
  return half_shared_mm3(a, b) + half_shared_mm3(b, a);
}

/// Along the line with these y and z, how much of it the mesh winds round: at least once, or as
/// often as it does.
struct Length {
  double at_least_once = 0;
  double signed_sum = 0;
};

Length length_within(const TriangleMesh& mesh, double y, double z) {
  std::vector<std::pair<double, int>> met;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    std::array<Vec3, 3> p = {mesh.corner(f, 0), mesh.corner(f, 1), mesh.corner(f, 2)};
    const auto area = [&](const Vec3& a, const Vec3& b) {
      return (a.y() - y) * (b.z() - z) - (a.z() - z) * (b.y() - y);
    };
    const double u = area(p[1], p[2]);
    const double v = area(p[2], p[0]);
    const double w = area(p[0], p[1]);
    if (!((u > 0 && v > 0 && w > 0) || (u < 0 && v < 0 && w < 0))) continue;
    met.emplace_back((u * p[0].x() + v * p[1].x() + w * p[2].x()) / (u + v + w), u > 0 ? -1 : 1);
  }
  std::sort(met.begin(), met.end());
  Length out;
  int winding = 0;
  for (std::size_t i = 0; i + 1 < met.size(); ++i) {
    winding += met[i].second;
    const double length = met[i + 1].first - met[i].first;
    out.signed_sum += winding * length;
    if (winding >= 1) out.at_least_once += length;
  }
  return out;
}

/// Holds the skin against the shells along many lines, to rounding.
void expect_same_along_lines(const TriangleMesh& shells, const TriangleMesh& skin) {
  const Vec3 low = shells.positions_mm.rowwise().minCoeff();
  const Vec3 high = shells.positions_mm.rowwise().maxCoeff();
  std::mt19937 random(5);
  const auto even = [&random] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
  for (int i = 0; i < 400; ++i) {
    const double y = low.y() + even() * (high.y() - low.y());
    const double z = low.z() + even() * (high.z() - low.z());
    const Length wanted = length_within(shells, y, z);
    const Length got = length_within(skin, y, z);
    // The made vertices are off by a unit in the last place; a skin nearly along the line makes
    // that a hundred times or so.
    const double rounding = 1e-10 * (high - low).norm();
    EXPECT_NEAR(got.at_least_once, wanted.at_least_once, rounding) << "y " << y << ", z " << z;
    EXPECT_NEAR(got.signed_sum, wanted.at_least_once, rounding) << "y " << y << ", z " << z;
  }
}

// Closed form: two boxes l × w × h, one moved by d, share (l - |dx|)(w - |dy|)(h - |dz|).
TEST(TwoBoxes, AreUnitedWhereTheyOverlapHoweverTheirFacesLie) {
  const TriangleMesh box = bodies::box(20, 10, 8);
  for (const Vec3& d :
       {Vec3(7, 3, 2), Vec3(7, 0, 0), Vec3(7, 3, 0), Vec3(0, 0, 4), Vec3(0, 0, 0), Vec3(-19, 9, 7),
        Vec3(20, 0, 0), Vec3(20, 3, 1), Vec3(20, 10, 1), Vec3(20, 3, 8), Vec3(0.1, 0.1, 0.1)}) {
    const double shared = std::max(0.0, 20 - std::abs(d.x())) *
                          std::max(0.0, 10 - std::abs(d.y())) * std::max(0.0, 8 - std::abs(d.z()));
    const OuterSkin skin = sound_skin(bodies::joined(box, shifted(box, d)));
    EXPECT_NEAR(skin.volume_before_mm3, 3200, 1e-9) << d.transpose();
    EXPECT_NEAR(skin.volume_after_mm3, 3200 - shared, 1e-9) << d.transpose();
    EXPECT_EQ(skin.pairs_left, 0) << d.transpose();
    EXPECT_TRUE(skin.changed) << d.transpose();
    EXPECT_GT(skin.pairs_before, 0) << d.transpose();
  }
}

// Boxes turned each by itself: their faces lie in one plane up to rounding only, and cross there in
// slivers that no double can tell apart.
TEST(TwoBoxes, AreUnitedWhereTheirFacesAreCoplanarUpToRounding) {
  const TriangleMesh box = bodies::box(20, 10, 8);
  for (unsigned seed = 1; seed <= 10; ++seed) {
    for (const Vec3& d : {Vec3(7, 3, 0), Vec3(7, 0, 0), Vec3(3, 0, 2), Vec3(0, 0, 0)}) {
      const double shared = (20 - d.x()) * (10 - d.y()) * (8 - d.z());
      const Mat3 turn = bodies::random_turn(seed);
      const TriangleMesh both = bodies::joined(bodies::moved(box, turn, Vec3::Zero()),
                                               bodies::moved(shifted(box, d), turn, Vec3::Zero()));
      const OuterSkin skin = sound_skin(both);
      EXPECT_NEAR(skin.volume_after_mm3, 3200 - shared, 1e-6) << seed << ", " << d.transpose();
      EXPECT_EQ(skin.pairs_left, 0) << seed << ", " << d.transpose();
    }
  }
}

// With no more than an edge or a corner in common nothing is to be done.
TEST(TwoBoxes, ThatShareAnEdgeOrACornerStayAsTheyAre) {
  const TriangleMesh box = bodies::box(20, 10, 8);
  for (const Vec3& d : {Vec3(20, 10, 0), Vec3(20, 10, 8)}) {
    const OuterSkin skin = sound_skin(bodies::joined(box, shifted(box, d)));
    EXPECT_FALSE(skin.changed);
    EXPECT_NEAR(skin.volume_after_mm3, 3200, 1e-9);
  }
}

// Two faces of 10 × 8 that lie on each other go: the area is that of the long box.
TEST(TwoBoxes, ThatTouchInAFaceLoseIt) {
  const TriangleMesh box = bodies::box(20, 10, 8);
  const OuterSkin skin = sound_skin(bodies::joined(box, shifted(box, Vec3(20, 0, 0))));
  EXPECT_NEAR(geometry::area_mm2(skin.mesh), 2 * (40 * 10 + 40 * 8 + 10 * 8), 1e-9);
}

TEST(TwoBoxes, OneInsideTheOtherLeaveTheOuter) {
  const TriangleMesh big = bodies::box(20, 10, 8);
  const OuterSkin skin = sound_skin(bodies::joined(bodies::box(5, 5, 5), big));
  EXPECT_EQ(skin.mesh.facet_count(), 12);
  EXPECT_EQ(skin.mesh.positions_mm, big.positions_mm);
  EXPECT_EQ(skin.pairs_before, 0);
  EXPECT_NEAR(skin.volume_after_mm3, 1600, 1e-9);
}

TEST(TwoBoxes, OneInsideTheOtherAndOnItsWallLeaveTheOuter) {
  const TriangleMesh big = bodies::box(20, 10, 8);
  const OuterSkin skin =
      sound_skin(bodies::joined(big, shifted(bodies::box(5, 5, 5), Vec3(7.5, 1, 1))));
  EXPECT_NEAR(skin.volume_after_mm3, 1600, 1e-9);
  EXPECT_NEAR(geometry::area_mm2(skin.mesh), geometry::area_mm2(big), 1e-9);
}

// Closed form, by inclusion and exclusion: 3·l·a² - 3·a³ + a³.
TEST(ThreeBars, CrossedInTheMiddleCountTheirCubeOnce) {
  const TriangleMesh bars = bodies::joined(
      bodies::box(30, 4, 4), bodies::joined(bodies::box(4, 30, 4), bodies::box(4, 4, 30)));
  const OuterSkin skin = sound_skin(bars);
  EXPECT_NEAR(skin.volume_after_mm3, 3 * 30 * 16 - 2 * 64, 1e-9);
  EXPECT_EQ(skin.pairs_left, 0);
}

// Closed form: the lens of two balls of radius r, d apart, is π(4r + d)(2r - d)²/12. A polyhedron
// with vertices on the ball and steps of h radians lacks some h²/2 of its volume; so does the lens.
TEST(TwoBalls, AreUnitedAsTheLensFormulaSays) {
  const double r = 10;
  const double d = 7;
  const TriangleMesh ball = bodies::ellipsoid(r, r, r, 24, 48);
  const TriangleMesh other = bodies::moved(ball, bodies::random_turn(8), Vec3(0, d, 0));
  const OuterSkin skin = sound_skin(bodies::joined(ball, other));
  const double balls = 2 * 4 * std::numbers::pi / 3 * r * r * r;
  const double lens = std::numbers::pi * (4 * r + d) * (2 * r - d) * (2 * r - d) / 12;
  const double step = std::numbers::pi / 24;
  EXPECT_NEAR(skin.volume_after_mm3 / (balls - lens), 1, step * step / 2);
  EXPECT_NEAR(skin.volume_after_mm3, skin.volume_before_mm3 - shared_mm3(ball, other), 1e-7);
  EXPECT_EQ(skin.pairs_left, 0);
}

TEST(AFinThroughABody, AddsWhatStandsOutOfIt) {
  const TriangleMesh body = bodies::ellipsoid(60, 9, 12, 60, 40);
  const TriangleMesh fin =
      bodies::moved(bodies::box(14, 1.2, 40), bodies::random_turn(2), Vec3(30, 0.3, 0.7));
  const OuterSkin skin = sound_skin(bodies::joined(body, fin));
  const double shared = shared_mm3(body, fin);
  EXPECT_GT(shared, 100);
  EXPECT_NEAR(skin.volume_after_mm3, skin.volume_before_mm3 - shared, 1e-8);
  EXPECT_EQ(skin.pairs_left, 0);
  // Whence each facet comes: the body's lie on the body.
  for (int f = 0; f < skin.mesh.facet_count(); ++f) {
    const bool of_fin = skin.from_facet[static_cast<std::size_t>(f)] >= body.facet_count();
    const Vec3 middle =
        (skin.mesh.corner(f, 0) + skin.mesh.corner(f, 1) + skin.mesh.corner(f, 2)) / 3;
    const double at = Vec3(middle.x() / 60, middle.y() / 9, middle.z() / 12).squaredNorm();
    EXPECT_TRUE(of_fin ? at > 0.99 : at < 1.001) << f;
  }
}

/// A bar of square section, `thick` wide and high, along a closed path in the plane z = 0 with
/// square corners (so that its mitred sides are planes).
TriangleMesh bar_along(const std::vector<Eigen::Vector2d>& path, double thick) {
  const std::size_t n = path.size();
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(4 * n));
  mesh.facets.resize(3, static_cast<Eigen::Index>(8 * n));
  for (std::size_t i = 0; i < n; ++i) {
    const Eigen::Vector2d in = (path[i] - path[(i + n - 1) % n]).normalized();
    const Eigen::Vector2d out = (path[(i + 1) % n] - path[i]).normalized();
    const Eigen::Vector2d left(-in.y() - out.y(), in.x() + out.x());
    for (int k = 0; k < 4; ++k) {
      const double side = k == 0 || k == 3 ? thick / 2 : -thick / 2;
      const double up = k < 2 ? thick / 2 : -thick / 2;
      const auto v = static_cast<Eigen::Index>(4 * i) + k;
      mesh.positions_mm.col(v) << path[i] + side * left, up;
      const int here = static_cast<int>(4 * i);
      const int next = static_cast<int>(4 * ((i + 1) % n));
      const int l = (k + 1) % 4;
      mesh.facets.col(2 * v) << here + k, here + l, next + l;
      mesh.facets.col(2 * v + 1) << here + k, next + l, next + k;
    }
  }
  return mesh;
}

// Closed form: where the bar crosses itself squarely, a cube a³ is wound round twice.
TEST(ABarThatCrossesItself, CountsTheCrossingOnce) {
  const TriangleMesh bar = bar_along({{0, 0}, {30, 0}, {30, 20}, {10, 20}, {10, -15}, {0, -15}}, 4);
  ASSERT_GT(volume(bar), 0);
  for (const Mat3& turn : {Mat3(Mat3::Identity()), bodies::random_turn(4)}) {
    const TriangleMesh turned = bodies::moved(bar, turn, Vec3(1, 2, 3));
    const OuterSkin skin = sound_skin(turned);
    EXPECT_NEAR(skin.volume_after_mm3, volume(bar) - 64, 1e-9);
    expect_same_along_lines(turned, skin.mesh);
  }
}

// By G. Guldin's rule with the sign of the radius, what the tube sweeps beyond the axis counts
// against what it sweeps there from the other side: the lemon inside is wound round 1 - 1 = 0
// times.
TEST(ATorusThickerThanItsHole, KeepsTheLemonInsideEmpty) {
  const TriangleMesh torus = bodies::torus(5, 8, 16, 14);
  const OuterSkin skin = sound_skin(torus);
  EXPECT_NEAR(skin.volume_after_mm3, volume(torus), 1e-9 * volume(torus));
  EXPECT_EQ(skin.pairs_left, 0);
  expect_same_along_lines(bodies::moved(torus, bodies::random_turn(3), Vec3::Zero()),
                          bodies::moved(skin.mesh, bodies::random_turn(3), Vec3::Zero()));
}

/// A body whose vertices were strewn by more than its edges are long: folds all over.
TriangleMesh crumpled(double strewn_mm) {
  TriangleMesh body = bodies::ellipsoid(40, 9, 12, 40, 32);
  std::mt19937 random(11);
  const auto even = [&random] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
  for (int v = 0; v < body.vertex_count(); ++v) {
    for (int k = 0; k < 3; ++k) body.positions_mm(k, v) += strewn_mm * (2 * even() - 1);
  }
  return body;
}

TEST(ACrumpledSkin, IsSmoothedOfAllFolds) {
  for (const double strewn : {0.6, 1.2}) {
    const TriangleMesh body = crumpled(strewn);
    const OuterSkin skin = sound_skin(body);
    EXPECT_GT(skin.pairs_before, 100);
    EXPECT_EQ(skin.pairs_left, 0);
    expect_same_along_lines(body, skin.mesh);
  }
}

/// Tetrahedra with corners on a coarse grid, some turned inside out: everything that can coincide
/// does, over and over.
TriangleMesh strewn_tetrahedra(unsigned seed, int count) {
  std::mt19937 random(seed);
  const auto corner = [&random] {
    const auto at = [&random] { return static_cast<double>(random() % 5); };
    const double x = at();
    const double y = at();
    return Vec3(x, y, at());
  };
  TriangleMesh out;
  for (int i = 0; i < count; ++i) {
    const Vec3 a = corner();
    const Vec3 b = corner();
    const Vec3 c = corner();
    const Vec3 d = corner();
    if ((b - a).cross(c - a).dot(d - a) == 0) continue;  // exact: small whole numbers
    TriangleMesh one = bodies::tetrahedron(a, b, c, d);
    if (random() % 4 == 0) one = bodies::inside_out(one);
    out = bodies::joined(out, one);
  }
  return out;
}

TEST(StrewnTetrahedra, AreUnitedHoweverTheyTouch) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    const TriangleMesh shells = strewn_tetrahedra(seed, 2 + static_cast<int>(seed % 12));
    const std::optional<OuterSkin> skin = united_skin(shells);
    ASSERT_TRUE(skin.has_value());
    EXPECT_EQ(skin->pairs_left, 0);
    if (shells.facet_count() == 0) continue;
    expect_same_along_lines(shells, skin->mesh);
  }
}

TEST(ACavity, Stays) {
  const TriangleMesh hollow =
      bodies::joined(bodies::box(20, 20, 20), bodies::inside_out(bodies::box(10, 10, 10)));
  const std::optional<OuterSkin> skin = united_skin(hollow);
  ASSERT_TRUE(skin.has_value());
  EXPECT_FALSE(skin->changed);
  EXPECT_EQ(skin->mesh.facets, hollow.facets);
  EXPECT_EQ(skin->mesh.positions_mm, hollow.positions_mm);
  EXPECT_NEAR(skin->volume_after_mm3, 7000, 1e-9);
}

// 20³ - 10³ + 4³: a loose box in the cavity is wound round 1 - 1 + 1 times.
TEST(ACavity, WithABoxInItKeepsIt) {
  const TriangleMesh hollow =
      bodies::joined(bodies::joined(bodies::box(20, 20, 20), bodies::box(4, 4, 4)),
                     bodies::inside_out(bodies::box(10, 10, 10)));
  EXPECT_NEAR(sound_skin(hollow).volume_after_mm3, 8000 - 1000 + 64, 1e-9);
}

// A cavity from x = -1 to 15 in a cube up to 10: 20³ - 11·10·10.
TEST(ACavity, ThatBreaksThroughTheWallIsANotch) {
  const TriangleMesh hollow = bodies::joined(
      bodies::box(20, 20, 20), shifted(bodies::inside_out(bodies::box(16, 10, 10)), Vec3(7, 1, 2)));
  const OuterSkin skin = sound_skin(hollow);
  EXPECT_NEAR(skin.volume_after_mm3, 8000 - 11 * 100, 1e-9);
  EXPECT_EQ(skin.pairs_left, 0);
}

TEST(ABubbleTurnedInward, OutsideTheBodyGoes) {
  const TriangleMesh body = bodies::box(20, 20, 20);
  const OuterSkin skin = sound_skin(
      bodies::joined(body, shifted(bodies::inside_out(bodies::box(4, 4, 4)), Vec3(30, 0, 0))));
  EXPECT_EQ(skin.mesh.facet_count(), 12);
  EXPECT_NEAR(skin.volume_after_mm3, 8000, 1e-9);
}

TEST(AShellTurnedInward, AloneEnclosesNothing) {
  const std::optional<OuterSkin> skin = united_skin(bodies::inside_out(bodies::box(4, 4, 4)));
  ASSERT_TRUE(skin.has_value());
  EXPECT_EQ(skin->mesh.facet_count(), 0);
  EXPECT_EQ(skin->volume_after_mm3, 0);
}

TEST(SoundBodies, StayAsTheyAre) {
  for (const auto& [name, mesh] : bodies::closed_bodies()) {
    // The bar's flat ends are fans about a point outside of them, which lie on one another.
    if (name == "overlapping pieces" || name == "L-shaped bar") continue;
    const std::optional<OuterSkin> skin = united_skin(mesh);
    ASSERT_TRUE(skin.has_value()) << name;
    EXPECT_FALSE(skin->changed) << name;
    EXPECT_EQ(skin->mesh.facets, mesh.facets) << name;
  }
}

// Closed form: ends of 22·7 + 7·13, an outline of 2·(22 + 20). The ends' fans go beyond the outline
// and back.
TEST(AnLShapedBar, LosesTheFoldsOfItsEnds) {
  const std::vector<Eigen::Vector2d> outline = {{0, 0}, {22, 0}, {22, 7}, {7, 7}, {7, 20}, {0, 20}};
  const OuterSkin skin = sound_skin(bodies::prism(outline, 70));
  const double end = 22 * 7 + 7 * 13;
  EXPECT_NEAR(skin.volume_after_mm3, 70 * end, 1e-8);
  EXPECT_NEAR(geometry::area_mm2(skin.mesh), 2 * end + 70 * 2 * (22 + 20), 1e-8);
  EXPECT_EQ(skin.pairs_left, 0);
}

TEST(OpenShells, AreRefused) {
  const TriangleMesh open = bodies::without(bodies::ellipsoid(20, 8, 9, 20, 16),
                                            [](const Vec3& middle) { return middle.x() > 15; });
  EXPECT_FALSE(united_skin(open).has_value());
  EXPECT_FALSE(united_skin(bodies::joined(open, bodies::box(10, 30, 3))).has_value());
}

TEST(NotANumber, IsRefused) {
  TriangleMesh box = bodies::box(1, 2, 3);
  box.positions_mm(1, 3) = NAN;
  EXPECT_FALSE(united_skin(box).has_value());
}

// Law: the volume goes with the body however it is turned, moved, scaled, or its facets ordered.
TEST(OverlappingShells, HaveTheSameUnionHoweverTheyLie) {
  const TriangleMesh shells = bodies::joined(
      bodies::joined(bodies::pencil(1500), bodies::moved(bodies::box(20, 1, 30),
                                                         bodies::random_turn(1), Vec3(100, 1, 0))),
      bodies::moved(bodies::torus(12, 4, 20, 12), bodies::random_turn(6), Vec3(40, 3, 5)));
  const OuterSkin first = sound_skin(shells);
  EXPECT_LT(first.volume_after_mm3, first.volume_before_mm3);
  EXPECT_GT(first.volume_after_mm3, volume(bodies::pencil(1500)));
  expect_same_along_lines(shells, first.mesh);
  for (unsigned seed = 1; seed <= 4; ++seed) {
    for (const double scale : {0.001, 1.0, 37.0}) {
      const Mat3 turn = bodies::random_turn(seed);
      const TriangleMesh lies =
          bodies::moved(bodies::shuffled(shells, seed), turn, Vec3(3, -200, 10) * scale, scale);
      const OuterSkin skin = sound_skin(lies);
      const double wanted = first.volume_after_mm3 * std::pow(scale, 3);
      EXPECT_NEAR(skin.volume_after_mm3, wanted, 1e-9 * wanted) << seed << ", " << scale;
      EXPECT_EQ(skin.pairs_left, 0) << seed << ", " << scale;
    }
  }
}

TEST(OverlappingShells, GiveTheSameBytesEachTime) {
  const TriangleMesh body = crumpled(1.0);
  const OuterSkin first = sound_skin(body);
  const OuterSkin second = sound_skin(body);
  EXPECT_EQ(first.mesh.positions_mm, second.mesh.positions_mm);
  EXPECT_EQ(first.mesh.facets, second.mesh.facets);
  EXPECT_EQ(first.from_facet, second.from_facet);
}

// Law: what is united stays so.
TEST(AnOuterSkin, IsItsOwnOuterSkin) {
  const OuterSkin once = sound_skin(crumpled(0.8));
  const OuterSkin twice = sound_skin(once.mesh);
  EXPECT_FALSE(twice.changed);
}

// Law: V(A ∪ B) + V(A ∩ B) = V(A) + V(B), the second by its complement in a great box: two boxes
// less A and less B are wound round at least once wherever A and B don't both lie.
TEST(AnOuterSkin, OfComplementsGivesTheCommonPart) {
  const TriangleMesh a = bodies::glider(1200);
  const TriangleMesh b =
      bodies::moved(bodies::torus(20, 9, 24, 16), bodies::random_turn(9), Vec3(50, 2, 3));
  const TriangleMesh room = shifted(bodies::box(400, 300, 300), Vec3(1, 2, 3));
  const TriangleMesh rest = bodies::joined(
      bodies::joined(room, room), bodies::joined(bodies::inside_out(a), bodies::inside_out(b)));
  const double both = volume(room) - sound_skin(rest).volume_after_mm3;
  const double either = sound_skin(bodies::joined(a, b)).volume_after_mm3;
  EXPECT_GT(both, 1000);
  EXPECT_NEAR(both + either, volume(a) + volume(b), 1e-12 * volume(room));
}

// A T-junction, as exporters leave them: a facet without area joins an edge to its two halves.
TEST(AFacetWithoutArea, IsDroppedAndItsNeighboursMeet) {
  TriangleMesh box = bodies::box(10, 10, 10);
  // The edge 0-1 belongs to the facets 0 (0, 2, 1) and 4 (0, 1, 4); the latter is cut in two at the
  // edge's middle, vertex 8, and the facet 1, 8, 0 fills what lies between.
  box.positions_mm.conservativeResize(3, 9);
  box.positions_mm.col(8) << 0, -5, -5;
  box.facets.conservativeResize(3, 14);
  box.facets.col(4) << 0, 8, 4;
  box.facets.col(12) << 8, 1, 4;
  box.facets.col(13) << 0, 1, 8;
  const OuterSkin skin = sound_skin(box);
  EXPECT_NEAR(skin.volume_after_mm3, 1000, 1e-9);
  EXPECT_EQ(skin.mesh.facet_count(), 14);
  EXPECT_EQ(skin.mesh.vertex_count(), 9);
}

TEST(TooManyCrossings, AreRefused) {
  const TriangleMesh ball = bodies::ellipsoid(10, 10, 10, 100, 200);
  const Mat3 half_a_step =
      Eigen::AngleAxisd(std::numbers::pi / 200, Vec3::UnitX()).toRotationMatrix();
  const TriangleMesh other = bodies::moved(ball, half_a_step, Vec3::Zero());
  EXPECT_FALSE(united_skin(bodies::joined(ball, other)).has_value());
}

}  // namespace
}  // namespace trueblank::intake
