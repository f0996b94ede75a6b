// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/polygons.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <random>
#include <vector>

namespace trueblank::intake {
namespace {

struct Cut {
  double area_sum = 0;  ///< Σ |area|
  Eigen::Vector3d area_vector = Eigen::Vector3d::Zero();
  std::vector<int> triangles;
};

Cut cut(const std::vector<double>& positions) {
  std::vector<int> corners(positions.size() / 3);
  std::iota(corners.begin(), corners.end(), 0);
  Cut out;
  out.triangles.resize(3 * (corners.size() - 2));
  EXPECT_TRUE(cut_polygon(corners, positions, out.triangles));
  for (std::size_t t = 0; t < out.triangles.size(); t += 3) {
    const auto at = [&](std::size_t k) {
      return Eigen::Map<const Eigen::Vector3d>(
          &positions[3 * static_cast<std::size_t>(out.triangles[t + k])]);
    };
    const Eigen::Vector3d area = (at(1) - at(0)).cross(at(2) - at(0)) / 2;
    out.area_vector += area;
    out.area_sum += area.norm();
  }
  return out;
}

// Source: triangles that neither overlap nor turn over have a sum of areas equal to the polygon's
// area, which the shoelace formula gives; to rounding.
TEST(Polygon, ConcaveOnesAreCutWithoutOverlap) {
  // An arrow head (reflex at its notch), whichever corner comes first: area 4 - 1 = ...
  const std::vector<std::array<double, 2>> arrow = {{0, 0}, {2, -1}, {1, 0}, {2, 1}};
  for (std::size_t first = 0; first < 4; ++first) {
    std::vector<double> positions;
    for (std::size_t k = 0; k < 4; ++k) {
      const auto& p = arrow[(first + k) % 4];
      positions.insert(positions.end(), {p[0], p[1], 5.0});
    }
    const Cut result = cut(positions);
    EXPECT_NEAR(result.area_sum, 1.0, 1e-15);
    EXPECT_NEAR(result.area_vector.z(), 1.0, 1e-15);
  }
}

// A star of n points between radii 1 and r has the area n·r·sin(π/n).
TEST(Polygon, StarsOfManyPointsInATiltedPlaneAreCutWithoutOverlap) {
  const Eigen::Matrix3d turn =
      Eigen::AngleAxisd(1.1, Eigen::Vector3d(1, 2, 3).normalized()).toRotationMatrix();
  for (const int points : {5, 50, 2000}) {
    std::vector<double> positions;
    for (int i = 0; i < 2 * points; ++i) {
      const double angle = i * std::numbers::pi / points;
      const double radius = i % 2 == 0 ? 1.0 : 0.4;
      const Eigen::Vector3d p =
          turn * Eigen::Vector3d(radius * std::cos(angle), radius * std::sin(angle), 2);
      positions.insert(positions.end(), p.data(), p.data() + 3);
    }
    const double area = points * 0.4 * std::sin(std::numbers::pi / points);
    const Cut result = cut(positions);
    EXPECT_NEAR(result.area_sum, area, 1e-12) << points;
    EXPECT_NEAR(result.area_vector.norm(), area, 1e-12) << points;
  }
}

// Source: closed forms. A regular polygon of n corners on the unit circle has the area
// n/2 · sin(2π/n); halved and halved again, a corner gets one triangle on either side a time, so
// that no corner is in more than 2 log₂ n. Cut as a fan, one would be in all n - 2.
TEST(Polygon, ConvexOnesOfManyCornersHaveNoCornerInMostOfTheTriangles) {
  for (const int corners : {3, 4, 5, 6, 7, 100, 10'000}) {
    std::vector<double> positions;
    for (int i = 0; i < corners; ++i) {
      const double angle = 2 * std::numbers::pi * i / corners;
      positions.insert(positions.end(), {std::cos(angle), std::sin(angle), 3.0});
    }
    const Cut result = cut(positions);
    const double area = corners * std::sin(2 * std::numbers::pi / corners) / 2;
    EXPECT_NEAR(result.area_sum, area, 1e-12) << corners;
    EXPECT_NEAR(result.area_vector.z(), area, 1e-12) << corners;
    std::vector<int> in(static_cast<std::size_t>(corners), 0);
    for (const int corner : result.triangles) ++in[static_cast<std::size_t>(corner)];
    EXPECT_LE(*std::max_element(in.begin(), in.end()), 2 * std::log2(corners)) << corners;
  }
}

TEST(Polygon, QuadranglesAreCutFromTheirFirstCorner) {
  const Cut result = cut({0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0});
  EXPECT_EQ(result.triangles, (std::vector<int>{0, 1, 2, 0, 2, 3}));
}

TEST(Polygon, CornersInLineMakeNoFlatTriangleWhereThatCanBeHelped) {
  // A square with the middles of its sides.
  const Cut result = cut({0, 0, 0, 1, 0, 0, 2, 0, 0, 2, 1, 0, 2, 2, 0, 1, 2, 0, 0, 2, 0, 0, 1, 0});
  EXPECT_NEAR(result.area_sum, 4, 1e-15);
  EXPECT_EQ(result.triangles.size(), 18U);
}

TEST(Polygon, OnesThatCrossThemselvesKeepTheirRim) {
  // A figure of eight, all points in one place, all in line: whatever is cut, each rim edge stays
  // once, and each inner edge is there both ways.
  for (const std::vector<double>& positions :
       {std::vector<double>{0, 0, 0, 1, 1, 0, 1, 0, 0, 0, 1, 0}, std::vector<double>(18, 1.0),
        std::vector<double>{0, 0, 0, 1, 0, 0, 2, 0, 0, 3, 0, 0, 1.5, 0, 0}}) {
    const Cut result = cut(positions);
    const int n = static_cast<int>(positions.size() / 3);
    std::vector<int> balance(static_cast<std::size_t>(n * n), 0);
    for (std::size_t t = 0; t < result.triangles.size(); t += 3) {
      for (std::size_t k = 0; k < 3; ++k) {
        const int a = result.triangles[t + k];
        const int b = result.triangles[t + (k + 1) % 3];
        ++balance[static_cast<std::size_t>(a * n + b)];
        --balance[static_cast<std::size_t>(b * n + a)];
      }
    }
    for (int a = 0; a < n; ++a)
      EXPECT_EQ(balance[static_cast<std::size_t>(a * n + (a + 1) % n)], 1);
  }
}

}  // namespace
}  // namespace trueblank::intake
