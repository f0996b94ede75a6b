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
    const rig::Assembly laid = rig::assemble(body, whole, parts, whole);
    const std::vector<SpreadMass> masses = spread_masses(laid, parts, whole, whole);
    return casting(body, masses).radius_of_gyration_mm;
  };
  EXPECT_LT(radius(5) + 10, radius(60));
}

// A block of 60 × 20 × 30 mm, 0.5 g/cm³, with a straight wire of 2 mm through its length and a
// weight in it: each replaces its wood. Closed forms: a rod's l²/12 about its middle, a point's
// distance, the block's (l² + h²)/12.
TEST(SpreadMasses, OfABlockWithAWireAndAWeightAreTheirClosedForms) {
  const geometry::ClosedMesh body = closed(test_bodies::box(60, 20, 30));
  const geometry::Moments whole = geometry::moments(body);
  rig::Rig parts{.wood_density_g_cm3 = 0.5};
  parts.wires.push_back(
      {.density_g_cm3 = 7.9,
       .diameter_mm = 2,
       .path_mm = {whole.centroid_mm - Vec3(30, 0, 0), whole.centroid_mm + Vec3(30, 0, 0)}});
  parts.ballasts.push_back(
      {.at_mm = whole.centroid_mm + Vec3(12, 0, -9), .mass_g = 5, .density_g_cm3 = 10});
  parts.water = rig::water_at(0, 15);
  const rig::Assembly laid = rig::assemble(body, whole, parts, whole);
  const std::vector<SpreadMass> masses = spread_masses(laid, parts, whole, whole);
  const double wood_g = 36 * 0.5;
  const double wire_g = M_PI * 0.06 * (7.9 - 0.5);  // more than the wood whose place it takes
  const double weight_g = 5 - 0.25;
  const double mass_g = wood_g + wire_g + weight_g;
  const double dx = 12 * weight_g / mass_g;
  const double dz = -9 * weight_g / mass_g;
  const double inertia = wood_g * (60.0 * 60 + 30 * 30) / 12 + wire_g * 60 * 60 / 12 +
                         weight_g * (12 * 12 + 9 * 9) - mass_g * (dx * dx + dz * dz);
  EXPECT_NEAR(radius_of_gyration_mm(masses, Vec3::UnitY()), std::sqrt(inertia / mass_g), 1e-6);
}

// The skin between a box and the box grown by 1 mm all round: the difference of two closed forms.
TEST(SpreadMasses, OfACoatAreThoseBetweenTheTwoBodies) {
  const geometry::Moments bare = geometry::moments(closed(test_bodies::box(60, 20, 30)));
  const geometry::Moments coated = geometry::moments(closed(test_bodies::box(62, 22, 32)));
  rig::Assembly laid;
  laid.undrilled_wood_g = 1e-9;  // the coat alone
  laid.undrilled_wood_centre_mm = bare.centroid_mm;
  laid.parts.push_back({.name = "finish",
                        .kind = rig::PartKind::finish,
                        .mass_g = 3,
                        .centre_mm = bare.centroid_mm});
  const std::vector<SpreadMass> masses = spread_masses(laid, {}, bare, coated);
  const double outer = 62.0 * 22 * 32;
  const double inner = 60.0 * 20 * 30;
  const double exact =
      (outer * (62 * 62 + 32 * 32) - inner * (60 * 60 + 30 * 30)) / 12 / (outer - inner);
  EXPECT_NEAR(radius_of_gyration_mm(masses, Vec3::UnitY()), std::sqrt(exact), 1e-6);
}

}  // namespace
}  // namespace trueblank::water
