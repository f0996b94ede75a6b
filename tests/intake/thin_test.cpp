// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/thin.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

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

/// To a segment.
double distance(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 way = b - a;
  const double part = std::clamp((p - a).dot(way) / way.squaredNorm(), 0.0, 1.0);
  return (p - a - part * way).norm();
}

/// To a triangle: to its plane where the foot lies within, else to its edges.
double distance(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 normal = (b - a).cross(c - a);
  const bool within = (b - a).cross(p - a).dot(normal) >= 0 &&
                      (c - b).cross(p - b).dot(normal) >= 0 &&
                      (a - c).cross(p - c).dot(normal) >= 0;
  if (within) return std::abs((p - a).dot(normal)) / normal.norm();
  return std::min({distance(p, a, b), distance(p, b, c), distance(p, c, a)});
}

/// The second, slow way: every vertex and facet middle against every facet.
double greatest_distance(const TriangleMesh& from, const TriangleMesh& to) {
  std::vector<Vec3> points;
  for (int v = 0; v < from.vertex_count(); ++v) points.emplace_back(from.positions_mm.col(v));
  for (int f = 0; f < from.facet_count(); ++f) {
    points.emplace_back((from.corner(f, 0) + from.corner(f, 1) + from.corner(f, 2)) / 3);
  }
  double greatest = 0;
  for (const Vec3& p : points) {
    double nearest = INFINITY;
    for (int f = 0; f < to.facet_count(); ++f) {
      nearest = std::min(nearest, distance(p, to.corner(f, 0), to.corner(f, 1), to.corner(f, 2)));
    }
    greatest = std::max(greatest, nearest);
  }
  return greatest;
}

void expect_thinned(const Reshaped& thinned, const TriangleMesh& mesh, int facets) {
  EXPECT_LE(thinned.mesh.facet_count(), facets);
  const Soundness sound = topology(thinned.mesh);
  EXPECT_TRUE(sound.closed && sound.oriented && sound.outward);
  const double volume = geometry::signed_volume_mm3(mesh, Vec3::Zero());
  const double now = geometry::signed_volume_mm3(thinned.mesh, Vec3::Zero());
  EXPECT_NEAR(thinned.volume_mm3, volume, 1e-9 * volume);
  EXPECT_NEAR(thinned.volume_change_mm3, now - volume, 1e-9 * volume);
  // Each collapse keeps the volume (Lindstrom and Turk 1998, equation 4), up to the rounding of
  // some thousand small equations.
  EXPECT_NEAR(thinned.volume_change_mm3, 0, 1e-6 * volume);
}

TEST(Thin, KeepsTheVolumeAndStaysClosed) {
  for (const auto& body :
       {test_bodies::pencil(8000), test_bodies::glider(8000), test_bodies::torus(30, 8, 60, 40)}) {
    const int facets = body.facet_count() / 8;
    const auto thinned = thin(body, all_measured(body), facets);
    ASSERT_TRUE(thinned.has_value());
    expect_thinned(*thinned, body, facets);
    EXPECT_GE(thinned->mesh.facet_count(), facets - 2) << "no more is taken than asked";
  }
}

// Source: a chord of a ball of radius R over an edge of length e lies e²/8R inside it; a ball of n
// even facets has e² = (16/√3) π R²/n. The thinned skin crosses the ball's, so its distance is less
// than the whole height, and more than a tenth of it.
TEST(Thin, LeavesABallAsNearAsSoManyFacetsCanLie) {
  const TriangleMesh ball = test_bodies::ellipsoid(20, 20, 20, 60, 80);
  const auto thinned = thin(ball, all_measured(ball), 1000);
  ASSERT_TRUE(thinned.has_value());
  const double edge_squared = 16 / std::sqrt(3.0) * M_PI * 400 / 1000;
  const double height = edge_squared / (8 * 20);
  EXPECT_GT(thinned->greatest_distance_mm, 0.1 * height);
  EXPECT_LT(thinned->greatest_distance_mm, 2 * height) << "facets are not quite even";
}

TEST(Thin, TellsTheGreatestDistanceBothWays) {
  const TriangleMesh mesh = test_bodies::pencil(1200);
  const auto thinned = thin(mesh, all_measured(mesh), 200);
  ASSERT_TRUE(thinned.has_value());
  const double slow =
      std::max(greatest_distance(mesh, thinned->mesh), greatest_distance(thinned->mesh, mesh));
  EXPECT_NEAR(thinned->greatest_distance_mm, slow, 1e-9);
}

TEST(Thin, TellsTheSameOfABodyFarAwayAndOfAnotherSize) {
  const TriangleMesh mesh = test_bodies::glider(3000);
  const auto here = thin(mesh, all_measured(mesh), 600);
  const TriangleMesh far =
      test_bodies::moved(mesh, geometry::Mat3::Identity(), Vec3(10000, -5000, 0), 0.001);
  const auto there = thin(far, all_measured(far), 600);
  ASSERT_TRUE(here && there);
  expect_thinned(*here, mesh, 600);
  EXPECT_LE(there->mesh.facet_count(), 600);
  // Rounding 10 m away may let another edge go first.
  EXPECT_LT(there->greatest_distance_mm, 0.001 * 1.5 * here->greatest_distance_mm);
}

TEST(Thin, GivesTheSameBytesAgain) {
  const TriangleMesh mesh = test_bodies::needle(4000);
  const auto first = thin(mesh, all_measured(mesh), 500);
  const auto second = thin(mesh, all_measured(mesh), 500);
  ASSERT_TRUE(first && second);
  EXPECT_EQ(first->mesh.positions_mm, second->mesh.positions_mm);
  EXPECT_EQ(first->mesh.facets, second->mesh.facets);
}

TEST(Thin, CarriesWhatIsMeasuredByTheNearestFacet) {
  const TriangleMesh mesh = test_bodies::ellipsoid(30, 10, 10, 60, 60);
  std::vector<std::uint8_t> measured;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    measured.push_back(mesh.corner(f, 0).x() < 0 ? 1 : 0);
  }
  const auto thinned = thin(mesh, measured, 900);
  ASSERT_TRUE(thinned.has_value());
  for (int f = 0; f < thinned->mesh.facet_count(); ++f) {
    const double x =
        (thinned->mesh.corner(f, 0) + thinned->mesh.corner(f, 1) + thinned->mesh.corner(f, 2)).x() /
        3;
    if (std::abs(x) < 2) continue;  // facets of the original are 1.6 mm long there
    EXPECT_EQ(thinned->facet_measured[static_cast<std::size_t>(f)], x < 0 ? 1 : 0) << x;
  }
}

TEST(Thin, LeavesAMeshOfFewFacetsAsItIs) {
  const TriangleMesh mesh = test_bodies::box(60, 30, 20);
  const auto thinned = thin(mesh, all_measured(mesh), 12);
  ASSERT_TRUE(thinned.has_value());
  EXPECT_EQ(thinned->mesh.positions_mm, mesh.positions_mm);
  EXPECT_EQ(thinned->mesh.facets, mesh.facets);
  EXPECT_EQ(thinned->greatest_distance_mm, 0);
}

// Two shells that share one vertex: around it lie two rings of facets, which a mesh of half-edges
// can't hold unless the vertex is doubled.
TEST(Thin, TakesABodyWhoseSkinMeetsItselfInAVertex) {
  const TriangleMesh one = test_bodies::ellipsoid(10, 10, 10, 20, 24);
  TriangleMesh both =
      test_bodies::joined(one, test_bodies::moved(one, geometry::Mat3::Identity(), Vec3(20, 0, 0)));
  int tip = -1;
  int touching = -1;
  for (int v = 0; v < both.vertex_count(); ++v) {
    if ((both.positions_mm.col(v) - Vec3(10, 0, 0)).norm() > 1e-9) continue;
    (tip < 0 ? tip : touching) = v;
  }
  ASSERT_GE(touching, 0);
  for (Eigen::Index f = 0; f < both.facets.cols(); ++f) {
    for (Eigen::Index k = 0; k < 3; ++k) {
      if (both.facets(k, f) == touching) both.facets(k, f) = tip;
    }
  }
  const auto thinned = thin(both, all_measured(both), 400);
  ASSERT_TRUE(thinned.has_value());
  expect_thinned(*thinned, both, 400);
}

TEST(Thin, RefusesAnOpenBody) {
  const TriangleMesh open = test_bodies::without(test_bodies::ellipsoid(30, 10, 12, 20, 24),
                                                 [](const Vec3& p) { return p.x() > 25; });
  EXPECT_FALSE(thin(open, all_measured(open), 100).has_value());
}

}  // namespace
}  // namespace trueblank::intake
