// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/smooth.h"

#include <gmock/gmock.h>

#include <cmath>
#include <map>
#include <numbers>

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

TriangleMesh octahedron() {
  TriangleMesh out;
  out.positions_mm.resize(3, 6);
  out.positions_mm << 1, -1, 0, 0, 0, 0, 0, 0, 1, -1, 0, 0, 0, 0, 0, 0, 1, -1;
  out.facets.resize(3, 8);
  out.facets << 0, 2, 1, 3, 2, 1, 3, 0, 2, 1, 3, 0, 0, 2, 1, 3, 4, 4, 4, 4, 5, 5, 5, 5;
  return out;
}

/// Each facet cut in four, the new vertices on the unit ball.
TriangleMesh finer(const TriangleMesh& coarse) {
  std::vector<Vec3> points;
  for (int v = 0; v < coarse.vertex_count(); ++v) points.emplace_back(coarse.positions_mm.col(v));
  std::map<std::pair<int, int>, int> middles;
  const auto middle = [&](int a, int b) {
    const auto [place, is_new] =
        middles.try_emplace(std::minmax(a, b), static_cast<int>(points.size()));
    if (is_new) {
      points.push_back(
          (points[static_cast<std::size_t>(a)] + points[static_cast<std::size_t>(b)]).normalized());
    }
    return place->second;
  };
  TriangleMesh out;
  out.facets.resize(3, 4 * coarse.facets.cols());
  for (int f = 0; f < coarse.facet_count(); ++f) {
    const Eigen::Vector3i c = coarse.facets.col(f);
    const Eigen::Vector3i m(middle(c(0), c(1)), middle(c(1), c(2)), middle(c(2), c(0)));
    out.facets.col(4 * f) = Eigen::Vector3i(c(0), m(0), m(2));
    out.facets.col(4 * f + 1) = Eigen::Vector3i(c(1), m(1), m(0));
    out.facets.col(4 * f + 2) = Eigen::Vector3i(c(2), m(2), m(1));
    out.facets.col(4 * f + 3) = m;
  }
  out.positions_mm.resize(3, static_cast<Eigen::Index>(points.size()));
  for (std::size_t v = 0; v < points.size(); ++v) {
    out.positions_mm.col(static_cast<Eigen::Index>(v)) = points[v];
  }
  return out;
}

/// A ball whose facets are alike all over.
TriangleMesh even_ball(double radius_mm) {
  TriangleMesh out = octahedron();
  for (int round = 0; round < 6; ++round) out = finer(out);
  out.positions_mm *= radius_mm;
  return out;
}

/// P_l(cos of the angle to z): on a ball of radius R a ripple that goes round it with the wave
/// length 2πR / √(l (l + 1)), an eigenfunction of the ball's Laplacian.
double zonal(int l, const Vec3& p) {
  return std::legendre(static_cast<unsigned>(l), p.z() / p.norm());
}

TriangleMesh rippled(double radius_mm, int l, double height_mm) {
  TriangleMesh out = even_ball(radius_mm);
  for (int v = 0; v < out.vertex_count(); ++v) {
    const Vec3 p = out.positions_mm.col(v);
    out.positions_mm.col(v) += height_mm * zonal(l, p) * p.normalized();
  }
  return out;
}

/// How high the ripple is, by least squares over the vertices; those near the poles, where all of
/// it stands in a few facets, left out.
double ripple_height(const TriangleMesh& mesh, double radius_mm, int l) {
  double own = 0;
  double product = 0;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 p = mesh.positions_mm.col(v);
    if (std::abs(p.z()) > 0.9 * p.norm()) continue;
    const double wave = zonal(l, p);
    own += wave * wave;
    product += wave * (p.norm() - radius_mm);
  }
  return product / own;
}

// Source: the wave length of the harmonic of degree l, above. R = 20: l = 60 has 2.08 mm, l = 12
// has 10.06 mm. A width of 4 mm takes the first off and leaves the second, which is longer than
// twice the width.
TEST(Smooth, TakesOffARippleShorterThanTheWidthAndLeavesOneLongerThanTwiceThat) {
  constexpr double height = 0.1;
  for (const auto& [l, least, most] : {std::tuple{60, -0.03, 0.03}, std::tuple{40, -0.08, 0.08},
                                       std::tuple{12, 0.97, 1.03}, std::tuple{6, 0.98, 1.02}}) {
    const TriangleMesh mesh = rippled(20, l, height);
    const auto out = smooth(mesh, all_measured(mesh), 4);
    ASSERT_TRUE(out.has_value());
    EXPECT_NEAR(ripple_height(mesh, 20, l), height, 1e-4);
    const double left = ripple_height(out->mesh, 20, l) / height;
    EXPECT_GT(left, least) << "l = " << l;
    EXPECT_LT(left, most) << "l = " << l;
  }
}

TEST(Smooth, KeepsTheVolumeAndSaysHowFarTheSkinsAreApart) {
  const TriangleMesh mesh = rippled(20, 60, 0.1);
  const auto out = smooth(mesh, all_measured(mesh), 4);
  ASSERT_TRUE(out.has_value());
  EXPECT_NEAR(out->volume_change_mm3, 0, 1e-9 * out->volume_mm3);
  // The ripple is highest at the poles, where P_l is 1: there it goes.
  EXPECT_NEAR(out->greatest_distance_mm, 0.1, 0.02);
  EXPECT_EQ(soundness(out->mesh).self_intersections, 0);
}

// The facets' chords lie up to h²/8R = 0.5²/160 = 0.0016 mm inside the ball; and however uneven the
// pattern of the facets (six vertices have four, the others six), nothing moves by more than that.
TEST(Smooth, LeavesASmoothBodyAsItIs) {
  const TriangleMesh mesh = even_ball(20);
  const auto out = smooth(mesh, all_measured(mesh), 4);
  ASSERT_TRUE(out.has_value());
  EXPECT_LT(out->greatest_distance_mm, 0.0016);
}

TEST(Smooth, DoesNothingWithAWidthBelowTheFacetsOwn) {
  const TriangleMesh mesh = test_bodies::ellipsoid(30, 10, 12, 20, 24);
  const auto out = smooth(mesh, all_measured(mesh), 0.5);
  ASSERT_TRUE(out.has_value());
  EXPECT_LT(out->greatest_distance_mm, 1e-9);
}

// A law: the smoothed body turns, moves and grows with the body.
TEST(Smooth, TurnsMovesAndGrowsWithTheBody) {
  const TriangleMesh mesh = test_bodies::pencil(3000);
  const geometry::Mat3 turn = test_bodies::random_turn(4);
  const Vec3 shift(1000, -200, 30);
  const auto here = smooth(mesh, all_measured(mesh), 6);
  const auto there = smooth(test_bodies::moved(mesh, turn, shift, 2), all_measured(mesh), 12);
  ASSERT_TRUE(here && there);
  const TriangleMesh expected = test_bodies::moved(here->mesh, turn, shift, 2);
  EXPECT_LT((there->mesh.positions_mm - expected.positions_mm).cwiseAbs().maxCoeff(), 1e-8);
  EXPECT_NEAR(there->greatest_distance_mm, 2 * here->greatest_distance_mm, 1e-8);
}

TEST(Smooth, CarriesWhatIsMeasuredAndRefusesAnOpenBody) {
  const TriangleMesh mesh = test_bodies::ellipsoid(30, 10, 12, 20, 24);
  std::vector<std::uint8_t> measured = all_measured(mesh);
  measured[7] = 0;
  const auto out = smooth(mesh, measured, 6);
  ASSERT_TRUE(out.has_value());
  EXPECT_EQ(out->facet_measured, measured);
  EXPECT_THAT(out->vertex_measured, testing::Each(1)) << "each has a measured facet";
  const TriangleMesh open = test_bodies::without(mesh, [](const Vec3& p) { return p.x() > 25; });
  EXPECT_FALSE(smooth(open, all_measured(open), 6).has_value());
}

}  // namespace
}  // namespace trueblank::intake
