// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/nearest_surface.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>

#include "geometry/inside.h"
#include "support/bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using test_bodies::closed;

// A spiral of directions times rising distances: points in and about a body.
Vec3 point_about(int i, int count, double size_mm) {
  const double z = 1 - (2 * i + 1.0) / count;
  const double turn = 2.39996322972865332 * i;
  const double across = std::sqrt(1 - z * z);
  const double distance = size_mm * std::fmod(0.61803398875 * i, 1.0);
  return distance * Vec3(across * std::cos(turn), across * std::sin(turn), z);
}

// The judge: geometry's plain loop over all facets, and the winding number for the side.
void expect_as_by_plain_loop(const geometry::TriangleMesh& mesh, double size_mm) {
  const geometry::ClosedMesh body = closed(mesh);
  const NearestSurface surface(mesh);
  int last = -1;
  constexpr int kPoints = 300;
  for (int i = 0; i < kPoints; ++i) {
    const Vec3 p = point_about(i, kPoints, size_mm);
    const NearestSurface::Hit hit = surface.nearest(p);
    const NearestSurface::Hit hinted = surface.nearest(p, last);
    last = hinted.facet;
    const double wanted = geometry::nearest_on_skin(body, p).distance_mm;
    // Rounding of coordinates of up to 200 mm.
    EXPECT_NEAR(std::abs(hit.signed_distance_mm), wanted, 1e-12) << "point " << i;
    EXPECT_NEAR(hinted.signed_distance_mm, hit.signed_distance_mm, 1e-12) << "point " << i;
    EXPECT_NEAR((hit.nearest_mm - p).norm(), wanted, 1e-12) << "point " << i;
    if (wanted > 1e-9) {
      EXPECT_EQ(hit.signed_distance_mm < 0, geometry::contains(body, p)) << "point " << i;
    }
  }
}

TEST(NearestSurface, IsAsFarAsAPlainLoopSaysAndOnTheSameSide) {
  expect_as_by_plain_loop(test_bodies::noisy(test_bodies::pencil(1500), 0.2, 3, 1), 160);
  expect_as_by_plain_loop(test_bodies::glider(1200), 130);
}

// Where the nearest point is a ridge or a corner, the nearest facet's own normal would often be
// wrong: two thirds of all points about a slim tetrahedron are of that kind.
TEST(NearestSurface, KnowsTheSideAtRidgesAndCorners) {
  expect_as_by_plain_loop(
      test_bodies::tetrahedron({-40, -1, -1}, {40, -1, 0}, {0, 3, 0}, {0, 0, 4}), 60);
  expect_as_by_plain_loop(test_bodies::box(60, 4, 30), 50);
}

TEST(NearestSurface, KnowsThatACavityIsOutside) {
  const geometry::TriangleMesh hollow =
      test_bodies::joined(test_bodies::ellipsoid(20, 20, 20, 12, 12),
                          test_bodies::inside_out(test_bodies::ellipsoid(9, 9, 9, 10, 8)));
  EXPECT_GT(NearestSurface(hollow).nearest({1, 0, 0}).signed_distance_mm, 7);
  EXPECT_LT(NearestSurface(hollow).nearest({13, 0, 0}).signed_distance_mm, -3);
}

TEST(NearestSurface, KeepsItsDigitsTenMetresAway) {
  const Vec3 away(10000, -10000, 10000);
  const geometry::TriangleMesh near = test_bodies::box(60, 20, 30);
  const geometry::TriangleMesh far = test_bodies::moved(near, geometry::Mat3::Identity(), away);
  const Vec3 p(12.5, 17.25, -3.5);
  // 10 m in doubles is kept to 2e-12 mm.
  EXPECT_NEAR(NearestSurface(far).nearest(p + away).signed_distance_mm, 7.25, 1e-11);
  EXPECT_NEAR(NearestSurface(near).nearest(p).signed_distance_mm, 7.25, 1e-14);
}

// From the nearest facet nothing nearer is come to; from those about it mostly that one; and from
// wherever else, a point of the skin.
TEST(NearestSurface, IsReachedOverTheSkinFromNearBy) {
  const geometry::TriangleMesh mesh = test_bodies::noisy(test_bodies::pencil(6000), 0.02, 5, 1);
  const geometry::ClosedMesh body = closed(mesh);
  const NearestSurface surface(mesh);
  int reached_from_beside = 0;
  int questions = 0;
  for (int f = 0; f < mesh.facet_count(); f += 11) {
    const Vec3 normal =
        (mesh.corner(f, 1) - mesh.corner(f, 0)).cross(mesh.corner(f, 2) - mesh.corner(f, 0));
    const Vec3 p = (mesh.corner(f, 0) + mesh.corner(f, 1) + mesh.corner(f, 2)) / 3 +
                   0.3 * (f % 2 == 0 ? 1 : -1) * normal.normalized();
    const NearestSurface::Hit hit = surface.nearest(p);
    const double nearest_mm = std::abs(hit.signed_distance_mm);
    const NearestSurface::Reached same = surface.reached_from(hit.facet, p);
    EXPECT_EQ(same.facet, hit.facet);
    EXPECT_EQ(same.distance_mm, nearest_mm);
    EXPECT_EQ((same.nearest_mm - hit.nearest_mm).norm(), 0);
    const int beside = surface.across(surface.across(hit.facet, 0), 1);
    ++questions;
    reached_from_beside +=
        surface.reached_from(beside, p).distance_mm <= nearest_mm + 1e-12 ? 1 : 0;
    const NearestSurface::Reached far = surface.reached_from((f + 3000) % mesh.facet_count(), p);
    EXPECT_GE(far.distance_mm, nearest_mm - 1e-12);
    EXPECT_NEAR((far.nearest_mm - p).norm(), far.distance_mm, 1e-12);
    EXPECT_NEAR(geometry::nearest_on_skin(body, far.nearest_mm).distance_mm, 0, 1e-12);
  }
  EXPECT_GT(reached_from_beside, 0.95 * questions);
}

TEST(NearestSurface, NamesTheFacetOverAnEdge) {
  const geometry::TriangleMesh mesh = test_bodies::pencil(1500);
  const NearestSurface surface(mesh);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const int other = surface.across(f, k);
      ASSERT_GE(other, 0);
      int shared = 0;
      for (int i = 0; i < 3; ++i) {
        shared += mesh.facets(i, other) == mesh.facets(k, f) ||
                  mesh.facets(i, other) == mesh.facets((k + 1) % 3, f);
      }
      EXPECT_EQ(shared, 2) << "facet " << f << ", edge " << k;
    }
  }
}

// One corner of a tetrahedron twice, and between the two an edge of no length with a facet to
// either side. The search may begin with any facet, those two as well.
TEST(NearestSurface, TakesAnEdgeOfNoLength) {
  const geometry::TriangleMesh plain =
      test_bodies::tetrahedron({0, 0, 0}, {50, 0, 0}, {0, 40, 0}, {0, 0, 30});
  geometry::TriangleMesh split = plain;
  split.positions_mm.conservativeResize(3, 5);
  split.positions_mm.col(4) = plain.positions_mm.col(0);
  split.facets.resize(3, 6);
  split.facets << 4, 0, 1, 0, 0, 4,  //
      2, 1, 2, 3, 4, 0,              //
      1, 3, 3, 2, 1, 2;
  ASSERT_TRUE(geometry::closed_mesh(split).has_value());
  const NearestSurface wanted(plain);
  const NearestSurface surface(split);
  constexpr int kPoints = 300;
  for (int i = 0; i < kPoints; ++i) {
    const Vec3 p = point_about(i, kPoints, 80);
    for (int f = 0; f < split.facet_count(); ++f) {
      EXPECT_NEAR(surface.nearest(p, f).signed_distance_mm, wanted.nearest(p).signed_distance_mm,
                  1e-12)
          << "point " << i << ", from facet " << f;
    }
  }
}

}  // namespace
}  // namespace trueblank::symmetry
