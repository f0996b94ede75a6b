// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/silhouette.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using test_bodies::closed;

constexpr double pi = std::numbers::pi;

/// Sums of double numbers over a few hundred strips keep about twelve digits.
constexpr double rounding = 1e-12;

/// Unit cubes of a lattice, joined; inner walls left out. `filled` are the cubes' least corners.
TriangleMesh cubes(const std::vector<std::array<int, 3>>& filled, double side_mm) {
  constexpr int most = 12;
  const auto holds = [&](std::array<int, 3> at) {
    for (const std::array<int, 3>& cube : filled) {
      if (cube == at) return true;
    }
    return false;
  };
  std::vector<Vec3> positions;
  std::vector<int> number(most * most * most, -1);
  const auto vertex = [&](std::array<int, 3> at) {
    int& index = number[static_cast<std::size_t>((at[0] * most + at[1]) * most + at[2])];
    if (index < 0) {
      index = static_cast<int>(positions.size());
      positions.push_back(side_mm * Vec3(at[0], at[1], at[2]));
    }
    return index;
  };
  std::vector<Eigen::Vector3i> facets;
  for (const std::array<int, 3>& cube : filled) {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      for (const int side : {0, 1}) {
        std::array<int, 3> beyond = cube;
        beyond[axis] += side == 1 ? 1 : -1;
        if (holds(beyond)) continue;
        std::array<int, 4> corner{};
        for (int k = 0; k < 4; ++k) {
          std::array<int, 3> at = cube;
          at[axis] += side;
          at[(axis + 1) % 3] += k == 1 || k == 2 ? 1 : 0;
          at[(axis + 2) % 3] += k >= 2 ? 1 : 0;
          corner[static_cast<std::size_t>(k)] = vertex(at);
        }
        if (side == 0) std::swap(corner[1], corner[3]);
        facets.emplace_back(corner[0], corner[1], corner[2]);
        facets.emplace_back(corner[0], corner[2], corner[3]);
      }
    }
  }
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(positions.size()));
  mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size()));
  for (std::size_t i = 0; i < positions.size(); ++i) {
    mesh.positions_mm.col(static_cast<Eigen::Index>(i)) = positions[i];
  }
  for (std::size_t i = 0; i < facets.size(); ++i) {
    mesh.facets.col(static_cast<Eigen::Index>(i)) = facets[i];
  }
  return mesh;
}

/// A second way: rows of points of the plane, each asked of every facet, whichever way it faces.
Silhouette counted(const ClosedMesh& body, const Vec3& direction, int rows) {
  const Eigen::Quaterniond turn = Eigen::Quaterniond::FromTwoVectors(direction, Vec3::UnitZ());
  const ClosedMesh seen = body.moved(turn.toRotationMatrix(), Vec3::Zero());
  const Eigen::Vector2d low = seen.positions_mm().topRows<2>().rowwise().minCoeff();
  const Eigen::Vector2d high = seen.positions_mm().topRows<2>().rowwise().maxCoeff();
  const Eigen::Vector2d cell = (high - low) / rows;
  std::vector<char> covered(static_cast<std::size_t>(rows) * static_cast<std::size_t>(rows), 0);
  for (int f = 0; f < seen.facet_count(); ++f) {
    std::array<Eigen::Vector2d, 3> p;
    for (int k = 0; k < 3; ++k) p[static_cast<std::size_t>(k)] = seen.corner(f, k).head<2>();
    const auto side = [](const Eigen::Vector2d& a, const Eigen::Vector2d& b,
                         const Eigen::Vector2d& q) {
      return (b - a).x() * (q - a).y() - (b - a).y() * (q - a).x();
    };
    const double turns = side(p[0], p[1], p[2]) < 0 ? -1 : 1;
    const Eigen::Vector2d least = p[0].cwiseMin(p[1]).cwiseMin(p[2]);
    const Eigen::Vector2d most = p[0].cwiseMax(p[1]).cwiseMax(p[2]);
    const int i0 = std::max(0, static_cast<int>((least.x() - low.x()) / cell.x()) - 1);
    const int j0 = std::max(0, static_cast<int>((least.y() - low.y()) / cell.y()) - 1);
    const int i1 = std::min(rows - 1, static_cast<int>((most.x() - low.x()) / cell.x()) + 1);
    const int j1 = std::min(rows - 1, static_cast<int>((most.y() - low.y()) / cell.y()) + 1);
    for (int i = i0; i <= i1; ++i) {
      for (int j = j0; j <= j1; ++j) {
        const Eigen::Vector2d q = low + cell.cwiseProduct(Eigen::Vector2d(i + 0.5, j + 0.5));
        if (turns * side(p[0], p[1], q) >= 0 && turns * side(p[1], p[2], q) >= 0 &&
            turns * side(p[2], p[0], q) >= 0) {
          covered[static_cast<std::size_t>(i) * static_cast<std::size_t>(rows) +
                  static_cast<std::size_t>(j)] = 1;
        }
      }
    }
  }
  Silhouette result;
  for (int i = 0; i < rows; ++i) {
    for (int j = 0; j < rows; ++j) {
      if (covered[static_cast<std::size_t>(i) * static_cast<std::size_t>(rows) +
                  static_cast<std::size_t>(j)] == 0) {
        continue;
      }
      const Eigen::Vector2d q = low + cell.cwiseProduct(Eigen::Vector2d(i + 0.5, j + 0.5));
      result.area_mm2 += cell.prod();
      result.centroid_mm += cell.prod() * Vec3(q.x(), q.y(), 0);
    }
  }
  result.centroid_mm = turn.inverse() * Vec3(result.centroid_mm / result.area_mm2);
  return result;
}

Vec3 random_direction(std::mt19937& random) {
  std::normal_distribution<double> normal;
  const double x = normal(random);
  const double y = normal(random);
  return Vec3(x, y, normal(random)).normalized();
}

// Closed form: a box shows l·w·|dz| + w·h·|dx| + h·l·|dy|.
TEST(SilhouetteOfABox, IsTheSumOfTheFacesThatItShows) {
  const ClosedMesh box = closed(test_bodies::box(60, 20, 30));
  std::mt19937 random(1);
  for (int i = 0; i < 20; ++i) {
    const Vec3 d = random_direction(random);
    const double expected =
        20 * 30 * std::abs(d.x()) + 60 * 30 * std::abs(d.y()) + 60 * 20 * std::abs(d.z());
    EXPECT_NEAR(silhouette(box, d).area_mm2, expected, rounding * expected);
    EXPECT_LT(silhouette(box, d).centroid_mm.norm(), rounding * 60);
  }
  EXPECT_NEAR(silhouette(box, Vec3::UnitY()).area_mm2, 1800, rounding * 1800);
}

// Closed form: the side view of a cone is a triangle, whose centroid lies two thirds from the apex.
// Vertices lie at the very top and bottom of each ring, so that the facetted outline is the same.
TEST(SilhouetteOfACone, IsATriangleFromTheSide) {
  const ClosedMesh cone = closed(test_bodies::lofted(
      90, [](double t) { return 8 * t; }, [](double t) { return 12 * t; },
      [](double) { return 0.0; }, 40, 64));
  const Silhouette side = silhouette(cone, Vec3::UnitY());
  EXPECT_NEAR(side.area_mm2, 90 * 12, rounding * 1080);
  EXPECT_NEAR(side.centroid_mm.x(), 60, rounding * 90);
  EXPECT_NEAR(side.centroid_mm.z(), 0, rounding * 90);
  const Silhouette from_above = silhouette(cone, Vec3::UnitZ());
  EXPECT_NEAR(from_above.area_mm2, 90 * 8, rounding * 720);
}

// Closed form: π·a·c; the facetted outline falls short of it as 1/n².
TEST(SilhouetteOfAnEllipsoid, IsAnEllipseFromTheSide) {
  const double exact = pi * 82.5 * 14;
  double last = 0;
  for (const int n : {64, 128, 256}) {
    const double short_by =
        1 - silhouette(closed(test_bodies::ellipsoid(82.5, 11, 14, n, n)), Vec3::UnitY()).area_mm2 /
                exact;
    EXPECT_GT(short_by, 0);
    EXPECT_LT(short_by, 8.0 / (n * n));
    if (last > 0) {
      EXPECT_NEAR(last / short_by, 4, 0.1);
    }
    last = short_by;
  }
}

// Closed form: Cauchy's mean over all directions is a quarter of a convex body's surface.
TEST(SilhouetteOfAConvexBody, IsAQuarterOfItsSurfaceOnAverage) {
  const ClosedMesh body = closed(test_bodies::ellipsoid(30, 11, 14, 24, 24));
  // Even spiral over half the sphere; a smooth function's mean over 2000 points is out by 1e-4.
  double mean = 0;
  constexpr int count = 2000;
  for (int i = 0; i < count; ++i) {
    const double z = (i + 0.5) / count;
    const double turn = i * pi * (3 - std::sqrt(5.0));
    const double r = std::sqrt(1 - z * z);
    mean += silhouette(body, Vec3(r * std::cos(turn), r * std::sin(turn), z)).area_mm2 / count;
  }
  const double quarter = area_mm2(body.mesh()) / 4;
  EXPECT_NEAR(mean, quarter, 2e-4 * quarter);
}

// Closed form: counted cubes.
TEST(SilhouetteOfAUShape, LeavesTheGapOutAndCountsWhatOverlapsOnce) {
  // Seen along y: a U of five cubes, whose middle lies at 1.5 sides along and 0.9 up.
  const std::vector<std::array<int, 3>> u = {{0, 0, 0}, {1, 0, 0}, {2, 0, 0}, {0, 0, 1}, {2, 0, 1}};
  const ClosedMesh body = closed(cubes(u, 10));
  const Silhouette side = silhouette(body, Vec3::UnitY());
  EXPECT_NEAR(side.area_mm2, 500, rounding * 500);
  EXPECT_NEAR(side.centroid_mm.x(), 15, rounding * 30);
  EXPECT_NEAR(side.centroid_mm.z(), 9, rounding * 30);
  // Seen along x one arm hides the other.
  EXPECT_NEAR(silhouette(body, Vec3::UnitX()).area_mm2, 200, rounding * 200);
  EXPECT_NEAR(silhouette(body, Vec3::UnitZ()).area_mm2, 300, rounding * 300);
}

// Closed form: seen along its axis a ring shows its hole; edge-on it is two half discs and a
// rectangle. Facetted: the outer polygon of n sides less the inner.
TEST(SilhouetteOfATorus, ShowsItsHoleAlongItsAxisAndNoneEdgeOn) {
  constexpr int n = 96;
  const ClosedMesh ring = closed(test_bodies::torus(30, 8, n, n));
  const double polygon = n / 2.0 * std::sin(2 * pi / n);
  const double exact = polygon * (38 * 38 - 22 * 22);
  const Silhouette along = silhouette(ring, Vec3::UnitZ());
  EXPECT_NEAR(along.area_mm2, exact, rounding * exact);
  EXPECT_LT(along.centroid_mm.norm(), rounding * 100);
  const Silhouette edge_on = silhouette(ring, Vec3::UnitY());
  const double stadium = 2 * 30 * 2 * 8 + polygon * 8 * 8;
  EXPECT_NEAR(edge_on.area_mm2, stadium, rounding * stadium);
}

// Closed form: two boxes, one behind the other as seen along y and half beside it; a union of two
// rectangles of 20 × 10 that share 10 × 10.
TEST(SilhouetteOfTwoPieces, IsTheUnionOfTheirs) {
  const TriangleMesh box = test_bodies::box(20, 6, 10);
  const TriangleMesh other = test_bodies::moved(box, Mat3::Identity(), Vec3(10, 30, 0));
  const Silhouette side = silhouette(closed(test_bodies::joined(box, other)), Vec3::UnitY());
  EXPECT_NEAR(side.area_mm2, 300, rounding * 300);
  EXPECT_NEAR(side.centroid_mm.x(), 5, rounding * 30);
}

// Two crossed slabs, whose outlines cross where no corner is: a square 10 × 10 shared of two
// 40 × 10 strips at a right angle; turned by 30° about the line of sight.
TEST(SilhouetteOfACross, FindsTheCrossingsBetweenCorners) {
  const TriangleMesh one = test_bodies::box(40, 4, 10);
  const TriangleMesh two =
      test_bodies::moved(test_bodies::box(10, 4, 40), Mat3::Identity(), Vec3(0, 20, 0));
  const Mat3 turn = Eigen::AngleAxisd(pi / 6, Vec3::UnitY()).toRotationMatrix();
  const ClosedMesh cross =
      closed(test_bodies::moved(test_bodies::joined(one, two), turn, Vec3(3, 0, 7)));
  const Silhouette side = silhouette(cross, Vec3::UnitY());
  EXPECT_NEAR(side.area_mm2, 700, rounding * 700);
  EXPECT_NEAR(side.centroid_mm.x(), 3, rounding * 40);
  EXPECT_NEAR(side.centroid_mm.z(), 7, rounding * 40);
}

// A law and a second way, over bodies of many kinds: from either side the shadow is the same; it
// turns and moves with the body; and it is what rows of points count (out by chance along the
// outline, most on a long wire that lies askew in its box, a few cells wide).
TEST(SilhouetteOfAnyBody, FollowsTheBodyAndAgreesWithCountedPoints) {
  std::mt19937 random(7);
  for (const test_bodies::NamedMesh& named : test_bodies::closed_bodies()) {
    SCOPED_TRACE(named.name);
    const ClosedMesh body = closed(named.mesh);
    const Vec3 d = random_direction(random);
    const Silhouette seen = silhouette(body, d);
    const Silhouette from_behind = silhouette(body, -d);
    const double size = std::sqrt(seen.area_mm2);
    EXPECT_NEAR(from_behind.area_mm2, seen.area_mm2, 1e-9 * seen.area_mm2);
    EXPECT_LT((from_behind.centroid_mm - seen.centroid_mm).norm(), 1e-8 * size);

    const Mat3 turn = test_bodies::random_turn(11);
    const Vec3 far_off = Vec3(10'000, -10'000, 10'000);
    const Silhouette moved = silhouette(body.moved(turn, far_off), turn * d);
    // 10 m away positions keep 2e-12 mm.
    EXPECT_NEAR(moved.area_mm2, seen.area_mm2, 1e-8 * seen.area_mm2);
    const Vec3 there = moved.centroid_mm - far_off;
    EXPECT_LT((there - there.dot(turn * d) * (turn * d) - turn * seen.centroid_mm).norm(),
              1e-8 * size);

    const Silhouette points = counted(body, d, 1600);
    EXPECT_NEAR(points.area_mm2, seen.area_mm2, 5e-3 * seen.area_mm2);
    EXPECT_LT((points.centroid_mm - seen.centroid_mm).norm(), 1e-2 * size);
    const Silhouette strips = sampled_silhouette(body, d);
    EXPECT_NEAR(strips.area_mm2, seen.area_mm2, seen.area_mm2 / 2000);
    EXPECT_LT((strips.centroid_mm - seen.centroid_mm).norm(), size / 1000);
  }
}

// Random heaps of cubes overlap themselves in every way.
TEST(SilhouetteOfAHeapOfCubes, AgreesWithCountedPoints) {
  std::mt19937 random(3);
  for (int round = 0; round < 6; ++round) {
    std::vector<std::array<int, 3>> heap;
    for (int x = 1; x < 5; ++x) {
      for (int y = 1; y < 5; ++y) {
        for (int z = 1; z < 5; ++z) {
          if (random() % 4 == 0) heap.push_back({x, y, z});
        }
      }
    }
    const ClosedMesh body = closed(cubes(heap, 10));
    const Vec3 d = random_direction(random);
    const Silhouette seen = silhouette(body, d);
    const Silhouette points = counted(body, d, 500);
    EXPECT_NEAR(points.area_mm2, seen.area_mm2, 4e-3 * seen.area_mm2);
    EXPECT_LT((points.centroid_mm - seen.centroid_mm).norm(), 0.1);
    EXPECT_NEAR(sampled_silhouette(body, d, 8192).area_mm2, seen.area_mm2, 1e-4 * seen.area_mm2);
  }
}

// A flat flank that rounding has tilted here and there: which facets face the viewer is chance,
// and must not matter.
TEST(SilhouetteOfAFlankSeenEdgeOn, IsNotMovedByRounding) {
  const ClosedMesh box = closed(test_bodies::lofted(
      100, [](double) { return 9.0; }, [](double) { return 15.0; }, [](double) { return 0.0; }, 60,
      4));
  const double exact = silhouette(box, Vec3::UnitY()).area_mm2;
  for (const unsigned seed : {1U, 2U, 3U}) {
    const Mat3 turn = test_bodies::random_turn(seed);
    EXPECT_NEAR(silhouette(box.moved(turn, Vec3(5, 5, 5)), turn * Vec3::UnitY()).area_mm2, exact,
                1e-8 * exact);
    EXPECT_NEAR(silhouette(box.moved(turn, Vec3(5, 5, 5)), turn * Vec3::UnitX()).area_mm2,
                silhouette(box, Vec3::UnitX()).area_mm2, 1e-6 * exact);
  }
}

}  // namespace
}  // namespace trueblank::geometry
