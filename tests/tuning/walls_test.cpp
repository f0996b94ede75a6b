// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "support/bodies.h"
#include "tuning/hole.h"
#include "tuning/slugs.h"

namespace trueblank::tuning {
namespace {

using std::numbers::pi;
using symmetry::NearestSurface;

double least_mm(const Slug& slug, const NearestSurface& skin) {
  return least_of(walls_to_skin(slug, skin)).mm;
}

TEST(Slug, HasTheLengthOfItsVolume) {
  EXPECT_DOUBLE_EQ(drilled(Vec3::Zero(), Vec3::UnitX(), 8, 11).length_mm(), 11);
  EXPECT_DOUBLE_EQ(drilled(Vec3::Zero(), Vec3::UnitX(), 8, 11).radius_mm(), 4);
  EXPECT_DOUBLE_EQ(ball(Vec3::Zero(), 3).radius_mm(), 3);
  EXPECT_DOUBLE_EQ(ball(Vec3::Zero(), 3).length_mm(), 6);
}

TEST(Slug, IsOfTheBallastsMassDensityAndHole) {
  const Slug slug = slug_of(rig::Ballast{.name = "belly",
                                         .at_mm = {70, 1, -9},
                                         .mass_g = 9,
                                         .density_g_cm3 = 11.25,
                                         .diameter_mm = 8,
                                         .axis = rig::HoleAxis::across});
  EXPECT_EQ(slug.at_mm, Vec3(70, 1, -9));
  EXPECT_EQ(slug.axis, Vec3::UnitY());
  EXPECT_DOUBLE_EQ(slug.volume_mm3, 800);
  EXPECT_EQ(slug.diameter_mm, 8);
  EXPECT_TRUE(slug_of(rig::Ballast{.mass_g = 9, .density_g_cm3 = 11.25}).ball());
}

// The depth under a plane n·p = h at a slug's point p is h − n·p. Over an eighth of an upright slug
// n·p is greatest at the end (or the middle, where n points the other way), and at that angle of
// the quarter that comes nearest to n's.
double eighth_under_plane(const Slug& slug, int eighth, const Vec3& n, double h) {
  const double side = eighth < 4 ? 1 : -1;
  const double along = std::max(0.0, side * n.z()) * slug.length_mm() / 2;
  double across = 0;
  if (n.z() == 0) {
    const double off = std::remainder(std::atan2(n.y(), n.x()) - eighth % 4 * pi / 2, 2 * pi);
    const double nearest = std::max(0.0, std::abs(off) - pi / 4);
    across = std::max(0.0, std::cos(nearest)) * slug.radius_mm();
  }
  return h - n.dot(slug.at_mm) - along - across;
}

TEST(WallsToSkin, AreThoseUnderSixPlanesInABox) {
  const NearestSurface skin(test_bodies::box(60, 20, 30));
  for (const Vec3& at : {Vec3(5, 2, -3), Vec3(25, -5, 9), Vec3(0, 0, 0)}) {
    const Slug slug = drilled(at, Vec3::UnitZ(), 8, 10);
    const std::vector<Wall> walls = walls_to_skin(slug, skin);
    const std::vector<Wall> coarse = walls_to_skin(slug, skin, Closely::coarse);
    ASSERT_EQ(walls.size(), 8U);
    ASSERT_EQ(wall_count(slug), 8);
    for (int k = 0; k < 8; ++k) {
      double wanted = 1e9;
      for (const double sign : {-1.0, 1.0}) {
        wanted = std::min({wanted, eighth_under_plane(slug, k, sign * Vec3::UnitX(), 30),
                           eighth_under_plane(slug, k, sign * Vec3::UnitY(), 10),
                           eighth_under_plane(slug, k, sign * Vec3::UnitZ(), 15)});
      }
      EXPECT_NEAR(walls[static_cast<std::size_t>(k)].mm, wanted, 1e-9) << at.transpose() << k;
      EXPECT_NEAR(coarse[static_cast<std::size_t>(k)].mm, wanted, 1e-9) << at.transpose() << k;
    }
  }
}

TEST(WallsToSkin, AreNegativeByWhatPokesOut) {
  const NearestSurface skin(test_bodies::box(60, 20, 30));
  // The upper end at z = 12 + 5 = 17, 2 over the top.
  const Wall top = least_of(walls_to_skin(drilled({5, 2, 12}, Vec3::UnitZ(), 8, 10), skin));
  EXPECT_NEAR(top.mm, -2, 1e-9);
  EXPECT_NEAR(top.thinnest_mm.z(), 17, 1e-9);
  EXPECT_NEAR((top.per_mm - Vec3(0, 0, -1)).norm(), 0, 1e-9);
  EXPECT_NEAR(least_mm(ball({5, 8.5, 0}, 3), skin), -1.5, 1e-12);
}

// A face on the skin itself: the slope is still the one inward.
TEST(WallsToSkin, HaveASlopeWhereTheyAreNil) {
  const NearestSurface skin(test_bodies::box(60, 20, 30));
  const Wall nil = least_of(walls_to_skin(drilled({5, 2, 10}, Vec3::UnitZ(), 8, 10), skin));
  EXPECT_NEAR(nil.mm, 0, 1e-12);
  EXPECT_NEAR((nil.per_mm - Vec3(0, 0, -1)).norm(), 0, 1e-9);
  EXPECT_NEAR(nil.per_mm3, -1 / (2 * pi * 16), 1e-12);
}

// Nothing poured yet: a disc, whose ends move apart as it grows.
TEST(WallsToSkin, OfNoVolumeAreThoseOfADiscThatCanGrow) {
  const NearestSurface skin(test_bodies::box(60, 20, 30));
  for (const Closely closely : {Closely::fine, Closely::coarse}) {
    const std::vector<Wall> walls =
        walls_to_skin(drilled({5, 0, 13}, Vec3::UnitZ(), 8, 0), skin, closely);
    for (std::size_t k = 0; k < 4; ++k) {
      EXPECT_NEAR(walls[k].mm, 2, 1e-12);
      EXPECT_NEAR(walls[k].per_mm3, -1 / (2 * pi * 16), 1e-12);
    }
  }
  const Wall dot = walls_to_skin(ball({5, 0, 13}, 0), skin).front();
  EXPECT_NEAR(dot.mm, 2, 1e-12);
  EXPECT_NEAR(dot.per_mm3, -1 / (4 * pi * 0.01), 1e-9);  // that of 0.1 mm
}

// In a ball of radius R about the origin the wall is R less the farthest point of the slug: that of
// the rim, (r + d) across and (l/2 + |h|) along, for a centre d beside the axis and h along it.
TEST(WallsToSkin, AreThoseOfTheFarthestPointInABall) {
  const double R = 20;
  const NearestSurface skin(test_bodies::ellipsoid(R, R, R, 400, 400));
  const double sag = R * (1 - std::pow(std::cos(pi / 400), 2));  // of its facets
  for (const Vec3& at : {Vec3(1, 2, 3), Vec3(-4, 0.5, -2), Vec3(0, 0, 0), Vec3(3, 3, 0)}) {
    const Slug slug = drilled(at, Vec3::UnitZ(), 9, 13);
    const double across = 4.5 + std::hypot(at.x(), at.y());
    const double along = 6.5 + std::abs(at.z());
    EXPECT_NEAR(least_mm(slug, skin), R - std::hypot(across, along), promised_mm + sag);
    EXPECT_NEAR(least_mm(ball(at, 3), skin), R - 3 - at.norm(), sag);
  }
}

// The distance from a point inside an ellipsoid to it: its nearest point q has
// q_i = a_i² p_i / (a_i² + t) with t the greatest root of Σ (a_i p_i / (a_i² + t))² = 1
// (D. Eberly, "Distance from a point to an ellipse, an ellipsoid, or a hyperellipsoid").
double depth_in_ellipsoid(const Vec3& axes, const Vec3& p) {
  double low = -axes.minCoeff() * axes.minCoeff();
  double high = 0;
  const auto at = [&](double t) -> Vec3 {
    return axes.cwiseProduct(p).cwiseQuotient(axes.cwiseAbs2() + Vec3::Constant(t));
  };
  for (int step = 0; step < 200; ++step) {
    const double mid = (low + high) / 2;
    (at(mid).squaredNorm() > 1 ? low : high) = mid;
  }
  const Vec3 q = axes.cwiseProduct(at(high));
  return (q - p).norm();
}

// A judge of its own: the closed form of the depth, at points of the rims 0.001 mm apart (in a
// convex body no other point of a cylinder lies shallower).
double least_in_ellipsoid(const Vec3& axes, const Slug& slug, const Vec3& u, const Vec3& v) {
  const int steps = 20000;
  double least = 1e9;
  for (int k = 0; k < steps; ++k) {
    const double angle = 2 * pi * k / steps;
    for (const double side : {-1.0, 1.0}) {
      const Vec3 p = slug.at_mm + side * slug.length_mm() / 2 * slug.axis +
                     slug.radius_mm() * (std::cos(angle) * u + std::sin(angle) * v);
      least = std::min(least, depth_in_ellipsoid(axes, p));
    }
  }
  return least;
}

TEST(WallsToSkin, AreThoseOfTheRimInAnEllipsoid) {
  const Vec3 axes(60, 11, 15);
  const NearestSurface skin(test_bodies::ellipsoid(60, 11, 15, 700, 500));
  // Of facets of 0.4 mm at the nose's greatest curvature, 60/11² per mm, and around.
  const double sag = 1.5e-3;
  const Slug upright = drilled({12, 0.7, -4}, Vec3::UnitZ(), 8, 9);
  EXPECT_NEAR(least_mm(upright, skin),
              least_in_ellipsoid(axes, upright, Vec3::UnitX(), Vec3::UnitY()), promised_mm + sag);
  const Slug along = drilled({-30, -1, 2}, Vec3::UnitX(), 6, 18);
  EXPECT_NEAR(least_mm(along, skin), least_in_ellipsoid(axes, along, Vec3::UnitY(), Vec3::UnitZ()),
              promised_mm + sag);
  const Slug across = drilled({20, 0, 3}, Vec3::UnitY(), 10, 7);
  EXPECT_NEAR(least_mm(across, skin),
              least_in_ellipsoid(axes, across, Vec3::UnitZ(), Vec3::UnitX()), promised_mm + sag);
}

// A cavity near the flank: its corner lies d from the slug's axis, and its edge is a line at a
// distance from the axis: the wall is either less the slug's radius.
TEST(WallsToSkin, FindACavityBesideTheFlank) {
  const geometry::Mat3 turn = test_bodies::random_turn(7);
  for (const double shift : {0.0, 1.3, -2.9}) {
    const geometry::TriangleMesh cavity =
        test_bodies::moved(test_bodies::box(1, 1, 1), turn, {9, 0.4, shift});
    const NearestSurface skin(
        test_bodies::joined(test_bodies::box(90, 60, 70), test_bodies::inside_out(cavity)));
    // The cube is convex: the distance from the axis is that of its shadow, a hexagon, reached in
    // a corner or along an edge's shadow.
    double wanted = 1e9;
    for (int i = 0; i < 8; ++i) {
      for (int j = 0; j < i; ++j) {
        const Vec3 p = cavity.positions_mm.col(i);
        const Vec3 q = cavity.positions_mm.col(j);
        const Eigen::Vector2d along = (q - p).head<2>();
        const double share = std::clamp(-p.head<2>().dot(along) / along.squaredNorm(), 0.0, 1.0);
        wanted = std::min(wanted, (p.head<2>() + share * along).norm());
      }
    }
    const Slug slug = drilled(Vec3::Zero(), Vec3::UnitZ(), 8, 20);
    EXPECT_NEAR(least_mm(slug, skin), wanted - 4, promised_mm);
  }
}

// A line askew to the axis: the distance of two lines is |d · (a × b)| / |a × b|.
TEST(WallsToSkin, FindARidgeAskewToTheFlank) {
  for (const double lean : {0.1, 0.5, 1.2}) {
    // A thin long cavity whose nearest edge is the line (7, 0, 0) + s (0, sin, cos).
    const Vec3 far_end(0, 40 * std::sin(lean), 40 * std::cos(lean));
    const Vec3 side(0, std::cos(lean), -std::sin(lean));
    const geometry::TriangleMesh sliver =
        test_bodies::tetrahedron(Vec3(7, 0, 0) - far_end, Vec3(7, 0, 0) + far_end,
                                 Vec3(12, 0, 0) + side, Vec3(12, 0, 0) - side);
    const NearestSurface skin(
        test_bodies::joined(test_bodies::box(120, 120, 120), test_bodies::inside_out(sliver)));
    for (const double z : {0.0, 3.1}) {
      const Wall wall = least_of(walls_to_skin(drilled({0.3, 0.2, z}, Vec3::UnitZ(), 8, 14), skin));
      EXPECT_NEAR(wall.mm, 7 - 0.3 - 4, promised_mm) << lean;
      EXPECT_NEAR((wall.per_mm - Vec3(-1, 0, 0)).norm(), 0, 0.02) << lean;
    }
  }
}

// A second, slower way: points of the face 0.07 mm apart at most, so that none of the face is
// deeper than its nearest by more than that; where the least lies the depth is level or at a rim,
// which are points of it.
double least_of_many_points(const Slug& slug, const NearestSurface& skin) {
  Vec3 u = slug.axis.unitOrthogonal();
  const Vec3 v = slug.axis.cross(u);
  const int around = static_cast<int>(2 * pi * slug.radius_mm() / 0.1) + 1;
  const int rings = static_cast<int>(slug.length_mm() / 0.1) + 1;
  const int circles = static_cast<int>(slug.radius_mm() / 0.1) + 1;
  double least = 1e9;
  int facet = -1;
  const auto look = [&](double along, double out, int k) {
    const double angle = 2 * pi * k / around;
    const Vec3 p =
        slug.at_mm + along * slug.axis + out * (std::cos(angle) * u + std::sin(angle) * v);
    const NearestSurface::Hit hit = skin.nearest(p, facet);
    facet = hit.facet;
    least = std::min(least, -hit.signed_distance_mm);
  };
  for (int k = 0; k < around; ++k) {
    for (int i = 0; i <= rings; ++i) {
      look(slug.length_mm() * (static_cast<double>(i) / rings - 0.5), slug.radius_mm(), k);
    }
    for (int i = 0; i < circles; ++i) {
      look(slug.length_mm() / 2, slug.radius_mm() * i / circles, k);
      look(-slug.length_mm() / 2, slug.radius_mm() * i / circles, k);
    }
  }
  return least;
}

TEST(WallsToSkin, AreNeverBeatenByManyPointsOfTheFace) {
  int compared = 0;
  for (const test_bodies::NamedMesh& body : test_bodies::closed_bodies()) {
    if (body.name == "overlapping pieces") continue;  // its skin crosses itself
    const NearestSurface skin(body.mesh);
    const Vec3 low = body.mesh.positions_mm.rowwise().minCoeff();
    const Vec3 size = body.mesh.positions_mm.rowwise().maxCoeff() - low;
    const double r = size.minCoeff() / 8;
    for (int k = 1; k <= 6; ++k) {
      const Vec3 share(std::fmod(0.61803 * k, 1), std::fmod(0.75488 * k, 1),
                       std::fmod(0.56984 * k, 1));
      const Slug slug = drilled(low + 0.1 * size + 0.8 * share.cwiseProduct(size),
                                Vec3::Unit(k % 3), 2 * r, 1.5 * r + 0.4 * k);
      const double many = least_of_many_points(slug, skin);
      const double wall = least_mm(slug, skin);
      EXPECT_LE(wall, many + promised_mm) << body.name << k;
      EXPECT_GE(wall, many - 0.07) << body.name << k;
      const double coarse = least_of(walls_to_skin(slug, skin, Closely::coarse)).mm;
      EXPECT_GE(coarse, wall - promised_mm) << body.name << k;
      compared += 1;
    }
  }
  EXPECT_GE(compared, 60);
}

// Central differences; where the two one-sided ones differ the least place jumps (a wall of this
// kind is the least of smooth ones), and there is no derivative to compare with.
void expect_slopes(const std::function<Wall(const Slug&)>& wall_of, const Slug& slug,
                   const std::string& what, int& compared, int& jumps) {
  const Wall wall = wall_of(slug);
  for (int k = 0; k < 4; ++k) {
    const double h = k < 3 ? 1e-3 : 0.05;
    Slug more = slug;
    Slug less = slug;
    if (k < 3) {
      more.at_mm[k] += h;
      less.at_mm[k] -= h;
    } else {
      more.volume_mm3 += h;
      less.volume_mm3 -= h;
    }
    const double ahead = (wall_of(more).mm - wall.mm) / h;
    const double behind = (wall.mm - wall_of(less).mm) / h;
    const double told = k < 3 ? wall.per_mm[k] : wall.per_mm3;
    const double scale = k < 3 ? 1 : 1 / (2 * pi * slug.radius_mm() * slug.radius_mm());
    if (std::abs(ahead - behind) > 0.01 * scale) {
      jumps += 1;
      continue;
    }
    EXPECT_NEAR(told, (ahead + behind) / 2, 0.01 * scale) << what << " " << k;
    compared += 1;
  }
}

TEST(WallsToSkin, HaveTheSlopesThatDifferencesShow) {
  const NearestSurface skin(test_bodies::pencil(12000));
  int compared = 0;
  int jumps = 0;
  for (const Slug& slug : {drilled({61, 0.8, -2.2}, Vec3::UnitZ(), 7, 8),
                           drilled({40, 0.3, 1.1}, Vec3::UnitX(), 6, 15),
                           drilled({90, -0.4, 0.9}, Vec3::UnitY(), 8, 6), ball({55, 1, -3}, 3.5)}) {
    for (const Closely closely : {Closely::fine, Closely::coarse}) {
      for (int k = 0; k < wall_count(slug); ++k) {
        const auto one = [&](const Slug& s) {
          return walls_to_skin(s, skin, closely)[static_cast<std::size_t>(k)];
        };
        expect_slopes(one, slug, "wall " + std::to_string(k), compared, jumps);
      }
    }
  }
  EXPECT_GT(compared, 9 * jumps);
}

TEST(WallsToSkin, TurnWithTheBodyAndStayInOrder) {
  const geometry::Mat3 turn = test_bodies::random_turn(3);
  const Vec3 shift(120, -300, 45);
  const geometry::TriangleMesh mesh = test_bodies::glider(4000);
  const NearestSurface skin(mesh);
  const NearestSurface turned(test_bodies::moved(mesh, turn, shift));
  for (int k = 0; k < 3; ++k) {
    Slug slug = drilled({50, 0.5, -1}, Vec3::Unit(k), 5, 6);
    const double before = least_mm(slug, skin);
    slug.at_mm = turn * slug.at_mm + shift;
    slug.axis = turn * slug.axis;
    EXPECT_NEAR(least_mm(slug, turned), before, promised_mm);
  }
}

}  // namespace
}  // namespace trueblank::tuning
