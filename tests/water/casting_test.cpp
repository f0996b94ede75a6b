// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/casting.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "support/bodies.h"

namespace trueblank::water {
namespace {

using test_bodies::closed;

geometry::ClosedMesh cone() {
  return closed(test_bodies::lofted(
      90, [](double t) { return 8 * t; }, [](double t) { return 12 * t; },
      [](double) { return 0.0; }, 40, 64));
}

std::vector<SpreadMass> solid(const geometry::ClosedMesh& body, double density_g_mm3) {
  const geometry::Moments whole = geometry::moments(body);
  return {{.mass_g = density_g_mm3 * whole.volume_mm3,
           .centre_mm = whole.centroid_mm,
           .spread_g_mm2 = density_g_mm3 * whole.spread_mm5}};
}

// Closed form: a solid cone's centre of mass lies 3/4 from its apex, its side view's 2/3.
TEST(ConeNoseFirst, HasItsMassBehindTheMiddleOfItsSide) {
  const Casting figures = casting(cone(), solid(cone(), 0.5e-3));
  EXPECT_NEAR(figures.side_centre_percent, 200.0 / 3, 1e-9);
  EXPECT_NEAR(figures.mass_centre_percent, 75, 1e-9);
  EXPECT_NEAR(figures.side_area_mm2, 1080, 1e-9);
  EXPECT_NEAR(figures.centres_apart_mm, 7.5, 1e-9);
  EXPECT_EQ(figures.leads, Leads::tail);
}

TEST(Lead, IsTakenByTheHeavyEndAndByNeitherWhereTheCentresMeet) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(80, 10, 12, 32, 32));
  const auto leads = [&](double x_mm) {
    const std::vector<SpreadMass> masses = {{.mass_g = 30, .centre_mm = {x_mm, 0, 0}}};
    return casting(body, masses).leads;
  };
  EXPECT_EQ(leads(0), Leads::neither);
  EXPECT_EQ(leads(1.59), Leads::neither);  // 1 % of 160 mm is 1.6
  EXPECT_EQ(leads(1.61), Leads::tail);
  EXPECT_EQ(leads(-1.61), Leads::nose);
}

// The length is counted from the most forward point, wherever the axes' origin is.
TEST(CastingPercents, CountFromTheNose) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(80, 10, 12, 32, 32));
  const std::vector<SpreadMass> masses = {{.mass_g = 30, .centre_mm = {16, 0, -3}}};
  const Casting figures = casting(body, masses);
  EXPECT_NEAR(figures.mass_centre_percent, 60, 1e-9);
  EXPECT_NEAR(figures.side_centre_percent, 50, 1e-9);
  EXPECT_NEAR(figures.centres_apart_mm, std::hypot(16.0, 3.0), 1e-9);
}

// Closed form: Iyy = V(a² + c²)/5 of an ellipsoid; its facets fall short of that by about 1/n².
TEST(RadiusOfGyration, OfASolidEllipsoidIsItsClosedForm) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(80, 10, 12, 128, 128));
  const double exact = std::sqrt((80.0 * 80 + 12 * 12) / 5);
  EXPECT_NEAR(casting(body, solid(body, 0.4e-3)).radius_of_gyration_mm, exact, 1e-3 * exact);
}

// Closed form: two points of 10 g and 30 g that are 80 mm apart turn about a point 60 and 20 mm
// from them: √((10·3600 + 30·400)/40) = √1200.
TEST(RadiusOfGyration, OfTwoPointsIsItsClosedForm) {
  const std::vector<SpreadMass> masses = {{.mass_g = 10, .centre_mm = {10, 5, 0}},
                                          {.mass_g = 30, .centre_mm = {90, 5, 0}}};
  EXPECT_NEAR(radius_of_gyration_mm(masses, Vec3::UnitY()), std::sqrt(1200.0), 1e-12);
  EXPECT_NEAR(radius_of_gyration_mm(masses, Vec3::UnitX()), 0, 1e-12);
}

// A box with a box sawn out of its middle, as a negative mass, against its closed form.
TEST(RadiusOfGyration, CountsAHoleAsANegativeMass) {
  std::vector<SpreadMass> masses = solid(closed(test_bodies::box(60, 20, 30)), 1e-3);
  SpreadMass hole = solid(closed(test_bodies::box(20, 20, 30)), 1e-3).front();
  hole.mass_g = -hole.mass_g;
  hole.spread_g_mm2 = -hole.spread_g_mm2;
  masses.push_back(hole);
  // Two boxes of 20 mm whose middles lie 20 mm from the whole's: l²/12 + h²/12 + 20².
  const double exact = std::sqrt((20.0 * 20 + 30 * 30) / 12 + 400);
  EXPECT_NEAR(radius_of_gyration_mm(masses, Vec3::UnitY()), exact, 1e-9);
}

// Lead in the ends turns more slowly than the same lead in the middle.
TEST(RadiusOfGyration, OfARiggedLureGrowsAsItsWeightsMoveApart) {
  const geometry::ClosedMesh body = closed(test_bodies::ellipsoid(80, 10, 12, 32, 32));
  const geometry::Moments whole = geometry::moments(body);
  const auto radius = [&](double apart_mm) {
    rig::Rig parts{.wood_density_g_cm3 = 0.4};
    for (const double side : {-1.0, 1.0}) {
      parts.ballasts.push_back(
          {.at_mm = {side * apart_mm, 0, 0}, .mass_g = 4, .density_g_cm3 = 11.34});
    }
    parts.water = rig::water_at(0, 15);
    const std::vector<SpreadMass> masses = spread_masses(rig::rigged(body, whole, parts), whole);
    return casting(body, masses).radius_of_gyration_mm;
  };
  EXPECT_LT(radius(5) + 10, radius(60));
}

}  // namespace
}  // namespace trueblank::water
