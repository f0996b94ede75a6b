// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/inside.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <random>

#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;
using std::numbers::pi;

/// The winding number by solid angles, another way than the library's.
/// Source: A. van Oosterom, J. Strackee, IEEE Trans. Biomed. Eng. BME-30(2), 125-126, 1983.
double winding(const ClosedMesh& body, const Vec3& p) {
  double sum = 0;
  for (int f = 0; f < body.facet_count(); ++f) {
    const Vec3 a = body.corner(f, 0) - p;
    const Vec3 b = body.corner(f, 1) - p;
    const Vec3 c = body.corner(f, 2) - p;
    const double la = a.norm();
    const double lb = b.norm();
    const double lc = c.norm();
    sum += 2 * std::atan2(a.dot(b.cross(c)),
                          la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb);
  }
  return sum / (4 * pi);
}

class Points {
 public:
  Points(const ClosedMesh& body, unsigned seed) : random_(seed) {
    low_ = body.positions_mm().rowwise().minCoeff();
    high_ = body.positions_mm().rowwise().maxCoeff();
  }

  /// Anywhere in the body's box and a little beyond.
  Vec3 next() {
    Vec3 p;
    for (int k = 0; k < 3; ++k) {
      const double share = 1.2 * (static_cast<double>(random_()) + 0.5) / 4294967296.0 - 0.1;
      p[k] = low_[k] + share * (high_[k] - low_[k]);
    }
    return p;
  }

 private:
  std::mt19937 random_;
  Vec3 low_;
  Vec3 high_;
};

TEST(Contains, IsTheWindingNumberOnEveryKindOfBody) {
  for (const NamedMesh& named : closed_bodies()) {
    SCOPED_TRACE(named.name);
    const ClosedMesh body = closed(moved(named.mesh, random_turn(50), {4, 5, 6}));
    Points points(body, 51);
    int inside = 0;
    for (int i = 0; i < 200; ++i) {
      const Vec3 p = points.next();
      if (nearest_on_skin(body, p).distance_mm < 1e-9) continue;
      EXPECT_EQ(contains(body, p), winding(body, p) > 0.5) << p.transpose();
      inside += contains(body, p) ? 1 : 0;
    }
    if (named.name != "wafer" && named.name != "wire") {
      EXPECT_GT(inside, 0);
    }
    EXPECT_LT(inside, 200);
  }
}

TEST(Contains, KnowsCavityAndOverlap) {
  const ClosedMesh hollow = closed(joined(box(20, 20, 20), inside_out(box(10, 10, 10))));
  EXPECT_FALSE(contains(hollow, {0, 0, 0}));
  EXPECT_TRUE(contains(hollow, {7, 0, 0}));
  const ClosedMesh overlap =
      closed(joined(box(20, 20, 20), moved(box(20, 20, 20), Mat3::Identity(), {10, 0, 0})));
  EXPECT_TRUE(contains(overlap, {5, 0, 0}));
  EXPECT_TRUE(contains(overlap, {15, 0, 0}));
  EXPECT_FALSE(contains(overlap, {25, 0, 0}));
}

// The line up from each of these runs through edges and vertices of the box and the ellipsoid.
TEST(Contains, IsSureOfPointsUnderEdgesAndVertices) {
  const ClosedMesh body = closed(box(2, 2, 2));
  for (const double x : {-0.5, 0.0, 0.5}) {
    for (const double y : {-0.5, 0.0, 0.5}) {
      EXPECT_TRUE(contains(body, {x, y, 0}));
      EXPECT_FALSE(contains(body, {x, y, -3}));
      EXPECT_FALSE(contains(body, {x, y, 3}));
    }
  }
  const ClosedMesh ball = closed(ellipsoid(10, 10, 10, 20, 20));
  for (int v = 0; v < ball.vertex_count(); ++v) {
    const Vec3 p = ball.positions_mm().col(v);
    EXPECT_EQ(contains(ball, {p.x(), p.y(), 0}),
              winding(ball, {p.x(), p.y(), 0}) > 0.5 && std::abs(p.z()) > 1e-9)
        << p.transpose();
    EXPECT_FALSE(contains(ball, {p.x(), p.y(), -11}));
  }
}

TEST(NearestOnSkin, IsTheFootOnAFaceAnEdgeOrACorner) {
  const ClosedMesh body = closed(box(20, 10, 6));
  const auto expect = [&](const Vec3& p, const Vec3& nearest) {
    const SkinPoint found = nearest_on_skin(body, p);
    EXPECT_LE((found.nearest_mm - nearest).norm(), 1e-14);
    EXPECT_NEAR(found.distance_mm, (p - nearest).norm(), 1e-14);
  };
  expect({1, 2, 9}, {1, 2, 3});
  expect({1, 2, 2.5}, {1, 2, 3});
  expect({1, 8, 9}, {1, 5, 3});
  expect({14, 8, 9}, {10, 5, 3});
  expect({10, 5, 3}, {10, 5, 3});
}

// Every point of the skin is at least that far, and the nearest is on a facet.
TEST(NearestOnSkin, IsNotBeatenByASampledSkin) {
  const ClosedMesh body = closed(glider(1200));
  Points points(body, 52);
  for (int i = 0; i < 50; ++i) {
    const Vec3 p = points.next();
    const SkinPoint found = nearest_on_skin(body, p);
    double sampled = 1e9;
    for (int f = 0; f < body.facet_count(); ++f) {
      for (int u = 0; u <= 6; ++u) {
        for (int v = 0; u + v <= 6; ++v) {
          const Vec3 q =
              (u * body.corner(f, 0) + v * body.corner(f, 1) + (6 - u - v) * body.corner(f, 2)) / 6;
          sampled = std::min(sampled, (q - p).norm());
        }
      }
    }
    EXPECT_LE(found.distance_mm, sampled + 1e-12);
    EXPECT_GE(found.distance_mm, sampled - 1.0);  // samples lie less than a millimetre apart
    EXPECT_LE(nearest_on_skin(body, found.nearest_mm).distance_mm, 1e-12);
  }
}

TEST(Crossings, OfABoxAreItsTwoFaces) {
  const ClosedMesh body = closed(box(20, 10, 6));
  const std::vector<double> found = crossings(body, {-20, 1, 2}, {20, 1, 2});
  ASSERT_EQ(found.size(), 2);
  EXPECT_NEAR(found[0], 0.25, 1e-15);
  EXPECT_NEAR(found[1], 0.75, 1e-15);
  EXPECT_EQ(crossings(body, {-20, 1, 2}, {0, 1, 2}).size(), 1);
  EXPECT_EQ(crossings(body, {-5, 1, 2}, {5, 1, 2}).size(), 0);
  EXPECT_EQ(crossings(body, {-20, 8, 2}, {20, 8, 2}).size(), 0);
}

TEST(Crossings, ThroughPolesEdgesAndVerticesAreGivenOnce) {
  const ClosedMesh ball = closed(ellipsoid(80, 10, 12, 20, 20));
  // Poles, and all vertices, edges' middles and facets' middles, each from its antipode.
  const auto expect_two = [&](const Vec3& p) {
    const std::vector<double> found = crossings(ball, 2 * p, -2 * p);
    ASSERT_EQ(found.size(), 2) << p.transpose();
    EXPECT_NEAR(found[0], 0.25, 1e-13);
    EXPECT_NEAR(found[1], 0.75, 1e-13);
  };
  for (int f = 0; f < ball.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      expect_two(ball.corner(f, k));
    }
  }
  const ClosedMesh body = closed(box(20, 10, 6));
  EXPECT_EQ(crossings(body, {-20, -10, 0}, {20, 10, 0}).size(), 2);   // two upright edges
  EXPECT_EQ(crossings(body, {-20, -10, -6}, {20, 10, 6}).size(), 2);  // two corners
  EXPECT_EQ(crossings(body, {0, 0, -6}, {0, 0, 6}).size(), 2);        // the diagonals' middles
}

TEST(Crossings, LeaveOutAMereTouch) {
  const ClosedMesh body = closed(box(20, 10, 6));
  EXPECT_TRUE(crossings(body, {-20, 15, 0}, {40, -15, 0}).size() % 2 == 0);
  const ClosedMesh ball = closed(ellipsoid(10, 10, 10, 20, 20));
  EXPECT_EQ(crossings(ball, {10, -5, 0}, {10, 5, 0}).size(), 0);  // past the pole
}

TEST(InsideParts, OfATorusAreTwo) {
  const ClosedMesh body = closed(torus(30, 8, 40, 16));
  const auto found = inside_parts(body, {-50, 0, 0}, {50, 0, 0});
  ASSERT_EQ(found.size(), 2);
  EXPECT_NEAR(found[0].first, 0.12, 1e-14);
  EXPECT_NEAR(found[0].second, 0.28, 1e-14);
  EXPECT_NEAR(found[1].first, 0.72, 1e-14);
  EXPECT_NEAR(found[1].second, 0.88, 1e-14);
}

TEST(InsideParts, OfASegmentWhollyInsideIsAllOfIt) {
  const ClosedMesh body = closed(box(20, 10, 6));
  const std::vector<std::pair<double, double>> all{{0.0, 1.0}};
  EXPECT_EQ(inside_parts(body, {-5, 1, 1}, {5, 2, 2}), all);
  EXPECT_EQ(inside_parts(body, {1, 1, 1}, {1, 1, 1}), all);
  EXPECT_TRUE(inside_parts(body, {11, 1, 1}, {11, 1, 1}).empty());
  EXPECT_TRUE(inside_parts(body, {11, 1, 1}, {15, 3, 3}).empty());
}

TEST(InsideParts, RunThroughWherePiecesMeetOrOverlap) {
  const ClosedMesh touching =
      closed(joined(box(20, 10, 6), moved(box(20, 10, 6), Mat3::Identity(), {20, 0, 0})));
  const auto found = inside_parts(touching, {-20, 1, 1}, {40, 1, 1});
  ASSERT_EQ(found.size(), 1);
  EXPECT_NEAR(found[0].first, 1.0 / 6, 1e-15);
  EXPECT_NEAR(found[0].second, 5.0 / 6, 1e-15);
}

TEST(InsideParts, AgreeWithContainsAtTheirMiddlesAndBetweenThem) {
  for (const NamedMesh& named : closed_bodies()) {
    SCOPED_TRACE(named.name);
    const ClosedMesh body = closed(named.mesh);
    Points points(body, 53);
    for (int i = 0; i < 60; ++i) {
      // Some from vertex to vertex, so that ends and edges are on the skin.
      const bool on_skin = i % 3 == 0;
      const Vec3 a = on_skin ? body.corner(i % body.facet_count(), 0) : points.next();
      const Vec3 b = on_skin ? body.corner((7 * i + 1) % body.facet_count(), 1) : points.next();
      std::vector<double> edges{0};
      for (const auto& [from, to] : inside_parts(body, a, b)) {
        EXPECT_LT(from, to);
        edges.push_back(from);
        edges.push_back(to);
      }
      edges.push_back(1);
      for (std::size_t k = 1; k < edges.size(); ++k) {
        ASSERT_LE(edges[k - 1], edges[k]);
        if (edges[k] - edges[k - 1] < 1e-9) continue;  // an end that lies inside, or on the skin
        const Vec3 middle = a + (edges[k - 1] + edges[k]) / 2 * (b - a);
        if (nearest_on_skin(body, middle).distance_mm < 1e-9) continue;  // along the skin
        EXPECT_EQ(contains(body, middle), k % 2 == 0);
      }
    }
  }
}

// Over a ball's middle, inside parts of random chords have the length of the chord: 2√(R² − d²) up
// to the facets' own depth.
TEST(InsideParts, OfABallAreItsChords) {
  const ClosedMesh ball = closed(ellipsoid(10, 10, 10, 60, 60));
  for (unsigned seed = 1; seed <= 30; ++seed) {
    const Mat3 turn = random_turn(seed);
    const double d = 0.3 * seed;
    const Vec3 a = d * turn.col(1) - 20 * turn.col(0);
    const Vec3 b = d * turn.col(1) + 20 * turn.col(0);
    const auto found = inside_parts(ball, a, b);
    ASSERT_EQ(found.size(), 1);
    const double length = 40 * (found[0].second - found[0].first);
    const double chord = 2 * std::sqrt(100 - d * d);
    EXPECT_LE(length, chord + 1e-12);
    EXPECT_GE(length, 2 * std::sqrt(99.2 - d * d));  // cos²(π/60) is 0.997, twice
  }
}

TEST(SkinHeights, AreTheLowestAndHighestOnTheLine) {
  const ClosedMesh body = closed(moved(box(20, 10, 6), Mat3::Identity(), {0, 0, 1}));
  for (const double x : {-10.0, -3.0, 0.0, 10.0}) {
    for (const double y : {-5.0, 0.0, 2.0, 5.0}) {
      const auto found = skin_heights_mm(body, x, y);
      ASSERT_TRUE(found);
      EXPECT_NEAR(found->first, -2, 1e-14);
      EXPECT_NEAR(found->second, 4, 1e-14);
    }
  }
  EXPECT_FALSE(skin_heights_mm(body, 10.001, 0));
  EXPECT_FALSE(skin_heights_mm(body, 0, -5.001));
}

TEST(SkinHeights, SpanAHollowBody) {
  const auto found = skin_heights_mm(closed(torus(30, 8, 40, 16)), 30, 0);
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->first, -8, 1e-12);
  EXPECT_NEAR(found->second, 8, 1e-12);
  EXPECT_FALSE(skin_heights_mm(closed(torus(30, 8, 40, 16)), 0, 0));
}

TEST(SkinHeights, AreFoundAtEveryVertex) {
  const ClosedMesh body = closed(needle(3000));
  for (int v = 0; v < body.vertex_count(); ++v) {
    const Vec3 p = body.positions_mm().col(v);
    const auto found = skin_heights_mm(body, p.x(), p.y());
    ASSERT_TRUE(found) << p.transpose();
    EXPECT_LE(found->first, p.z() + 1e-9);
    EXPECT_GE(found->second, p.z() - 1e-9);
  }
}

}  // namespace
}  // namespace trueblank::geometry
