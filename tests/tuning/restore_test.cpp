// SPDX-License-Identifier: GPL-3.0-or-later
// A copy brought back to how its master lies: the mass follows from Archimedes; where it goes,
// under water, from B over G; afloat the restored lure is weighed by hand and held against the
// water by a plain loop over the facets.
#include "tuning/restore.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <sstream>

#include "geometry/coat.h"
#include "geometry/cut.h"
#include "tuning/bench_lure.h"
#include "water/floating_bodies.h"
#include "water/near_pose.h"

namespace trueblank::tests {
namespace {

using geometry::Mat3;
using geometry::Vec3;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using tuning::Restored;
using tuning::Restoring;

constexpr double degree = std::numbers::pi / 180;
constexpr double half_length_mm = 70;
const Vec3 middle(half_length_mm, 0, 0);

/// Nose at x = 0.
geometry::TriangleMesh ellipsoid() {
  return test_bodies::moved(test_bodies::ellipsoid(half_length_mm, 11, 15, 24, 24),
                            Mat3::Identity(), middle);
}

geometry::TriangleMesh grown(double factor, const Vec3& about_mm) {
  return test_bodies::moved(ellipsoid(), Mat3::Identity(), (1 - factor) * about_mm, factor);
}

rig::Rig rig_with(double wood_g_cm3, double lead_g, const Vec3& at_mm) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = wood_g_cm3;
  rig.water.density_g_cm3 = 1;
  rig.ballasts.push_back(
      {.name = "belly", .at_mm = at_mm, .mass_g = lead_g, .density_g_cm3 = lead_g_cm3});
  return rig;
}

const rig::Rig& floating_rig() {
  static const rig::Rig rig = rig_with(0.4, 20, {90, 0, -6});
  return rig;
}

water::Balance balance_of(const BenchLure& lure, const rig::Rig& rig) {
  return water::balance(water::floater(
      lure.tree, rig::add_up(rig::assemble(lure.body, lure.whole, rig, lure.whole))));
}

water::Balance balance_of(const BenchLure& lure) { return balance_of(lure, lure.rig); }

std::optional<water::RestPose> followed(const BenchLure& lure, const water::RestPose& from) {
  return water::pose_near(
      water::floater(lure.tree,
                     rig::add_up(rig::assemble(lure.body, lure.whole, lure.rig, lure.whole))),
      from.up);
}

Restored restored(const BenchLure& copy, const water::Balance& master,
                  const geometry::ParallelFor& loop = geometry::serial_for) {
  return tuning::restored(copy.workpiece(), followed(copy, master.poses.at(0)),
                          {.reserve_g = master.reserve_g, .pose = master.poses.at(0)}, loop);
}

std::string told(const Restored& all) {
  std::ostringstream text;
  const auto tell = [&](const char* what, const tuning::Lies& lies) {
    text << what << " reserve " << lies.reserve_g << " tail " << lies.tail_down_deg.value_or(NAN)
         << " list " << lies.list_deg.value_or(NAN) << '\n';
  };
  tell("master", all.master);
  tell("copy", all.copy);
  for (const Restoring& way : all.ways) {
    text << static_cast<int>(way.kind) << ' ' << way.metal << way.ballast << ' ' << way.grams
         << " g -> " << way.mass_g << " at " << way.at_mm.transpose() << " moved " << way.moved_mm
         << " wall " << way.wall_mm.value_or(NAN) << (way.met ? "" : " NOT MET") << '\n';
    tell("  then", way.then);
  }
  return text.str();
}

/// Wood and weights added up by hand.
struct Mass {
  double grams = 0;
  Vec3 moment_g_mm = Vec3::Zero();

  void add(double more_g, const Vec3& at_mm) {
    grams += more_g;
    moment_g_mm += more_g * at_mm;
  }

  [[nodiscard]] Vec3 centre_mm() const { return moment_g_mm / grams; }
};

Mass weighed(const geometry::ClosedMesh& body, double wood_g_cm3,
             const std::vector<rig::Ballast>& ballasts) {
  const geometry::Moments whole = geometry::moments(body);
  Mass mass;
  mass.add(wood_g_cm3 * whole.volume_mm3 / 1000, whole.centroid_mm);
  for (const rig::Ballast& one : ballasts) {
    mass.add(one.mass_g * (1 - wood_g_cm3 / one.density_g_cm3), one.at_mm);
  }
  return mass;
}

/// The tail angle at which a lure that is symmetric left and right floats back up: where the moment
/// of weight and buoyancy changes sign, by bisection over angles and waterlines, each a plain loop
/// over the facets.
double tail_afloat_deg(const geometry::ClosedMesh& body, const Mass& mass, double about_deg) {
  const auto moment = [&](double tail_deg) {
    const Vec3 up(-std::sin(tail_deg * degree), 0, std::cos(tail_deg * degree));
    double low = -100;
    double high = 100;
    geometry::BelowPlane under;
    for (int i = 0; i < 60; ++i) {
      const double offset = (low + high) / 2;
      under = geometry::moments_below(body, {up, offset});
      (under.volume_mm3 / 1000 < mass.grams ? low : high) = offset;
    }
    const Vec3 aft(std::cos(tail_deg * degree), 0, std::sin(tail_deg * degree));
    return aft.dot(mass.centre_mm() - under.first_moment_mm4 / under.volume_mm3);
  };
  double low = about_deg - 3;  // weight ahead of buoyancy would lift the tail
  double high = about_deg + 3;
  EXPECT_GT(moment(low), 0);  // the tail goes down
  EXPECT_LT(moment(high), 0);
  for (int i = 0; i < 40; ++i) {
    const double tail_deg = (low + high) / 2;
    (moment(tail_deg) > 0 ? low : high) = tail_deg;
  }
  return (low + high) / 2;
}

double net(double wood_g_cm3) { return 1 - wood_g_cm3 / lead_g_cm3; }

TEST(Restore, ACopyLikeItsMasterNeedsNothing) {
  const BenchLure master(ellipsoid(), floating_rig());
  const Restored all = restored(master, balance_of(master));
  EXPECT_FALSE(all.needed);
  EXPECT_THAT(all.ways, IsEmpty());
}

// A skin that is known: 0.1 mm all over. What is to be added is the skin's displacement less its
// weight, as lead in place of wood.
TEST(Restore, AddsWhatSkinCarriesMore) {
  const BenchLure master(ellipsoid(), floating_rig());
  const auto swollen = geometry::coated(master.body, 0.1);
  ASSERT_TRUE(swollen);
  const BenchLure copy(swollen->mesh(), floating_rig());
  const water::Balance as_master = balance_of(master);
  const Restored all = restored(copy, as_master);
  ASSERT_TRUE(all.needed);
  ASSERT_THAT(all.ways, SizeIs(3)) << told(all);
  const Restoring& lead = all.ways[0];
  EXPECT_EQ(lead.kind, Restoring::Kind::added);
  EXPECT_EQ(lead.metal, "lead");
  EXPECT_EQ(all.ways[1].metal, "bismuth");
  EXPECT_EQ(all.ways[2].kind, Restoring::Kind::changed);
  const double skin_g = (copy.whole.volume_mm3 - master.whole.volume_mm3) / 1000;
  const double expected_g = skin_g * (1 - 0.4) / net(0.4);  // Archimedes
  EXPECT_NEAR(lead.grams, expected_g, 0.0051) << told(all);
  for (const Restoring& way : all.ways) {
    EXPECT_TRUE(way.met) << told(all);
    std::vector<rig::Ballast> ballasts = floating_rig().ballasts;
    if (way.kind == Restoring::Kind::changed) {
      EXPECT_NEAR(way.grams, expected_g, 0.0051) << told(all);
      ballasts.clear();
    } else {
      EXPECT_EQ(way.at_mm.y(), 0);
      EXPECT_GE(*way.wall_mm, 2.99);
      // As low as it may be: the ballast that is there comes before the belly.
      EXPECT_LE(*way.wall_mm, 3.2);
      EXPECT_LT(way.at_mm.z(), -6) << told(all);
    }
    // Solved again by other means.
    ballasts.push_back(
        {.at_mm = way.at_mm, .mass_g = way.mass_g, .density_g_cm3 = way.density_g_cm3});
    const Mass mass = weighed(copy.body, 0.4, ballasts);
    EXPECT_NEAR(copy.whole.volume_mm3 / 1000 - mass.grams, as_master.reserve_g, 0.01);
    const double tail_deg = tail_afloat_deg(copy.body, mass, as_master.poses[0].tail_down_deg);
    EXPECT_NEAR(tail_deg, as_master.poses[0].tail_down_deg, 0.05);
    EXPECT_NEAR(*way.left.tail_down_deg, tail_deg - as_master.poses[0].tail_down_deg, 1e-4);
    EXPECT_NEAR(way.left.reserve_g, copy.whole.volume_mm3 / 1000 - mass.grams - as_master.reserve_g,
                1e-8);
  }
}

// Under water: Σ net m ((x − c_x) + tan(tail_down) (z − c_z)) = 0 about the copy's centroid c.
TEST(Restore, ASinkersWeightIsALinearEquation) {
  const double wood = 0.6;
  const rig::Rig rig = rig_with(wood, 30, {74, 0, -6});
  const BenchLure master(ellipsoid(), rig);
  const BenchLure copy(grown(1.006, Vec3::Zero()), rig);
  const water::Balance as_master = balance_of(master);
  ASSERT_EQ(as_master.state, water::State::sinks);
  const Restored all = restored(copy, as_master);
  ASSERT_FALSE(all.ways.empty());
  const Restoring& lead = all.ways[0];
  ASSERT_TRUE(lead.met) << told(all);
  const double more_g =
      (copy.whole.volume_mm3 - master.whole.volume_mm3) / 1000 * (1 - wood) / net(wood);
  EXPECT_NEAR(lead.grams, more_g, 0.0051);
  const double tangent = 4.0 / 6;  // the master's: its lead is so far off its centroid
  const Vec3 c = 1.006 * middle;
  const double has = 30 * ((74 - c.x()) + tangent * -6);
  const double x = c.x() - tangent * lead.at_mm.z() - has / lead.mass_g;
  EXPECT_NEAR(lead.at_mm.x(), x, 0.02) << told(all);  // rounded to 0.01 mm
}

// Where the volume only lies elsewhere, the weight goes with it.
TEST(Restore, MovesABallastWhereTheTailAloneIsOff) {
  const rig::Rig rig = rig_with(0.6, 30, {74, 0, -6});
  const BenchLure master(ellipsoid(), rig);
  const BenchLure copy(test_bodies::moved(ellipsoid(), Mat3::Identity(), Vec3(0.8, 0, 0)), rig);
  const Restored all = restored(copy, balance_of(master));
  ASSERT_TRUE(all.needed);
  ASSERT_THAT(all.ways, SizeIs(1)) << told(all);
  const Restoring& way = all.ways[0];
  EXPECT_EQ(way.kind, Restoring::Kind::changed);
  EXPECT_EQ(way.ballast, "belly");
  EXPECT_NEAR(way.grams, 0, 0.011);
  EXPECT_NEAR(way.moved_mm, 0.8, 0.02);
  EXPECT_TRUE(way.met) << told(all);
}

/// The lowest 3 mm cut off level: all below is brought up to the cut.
geometry::TriangleMesh without_belly() {
  geometry::TriangleMesh mesh = ellipsoid();
  mesh.positions_mm.row(2) = mesh.positions_mm.row(2).cwiseMax(-12);
  return mesh;
}

TEST(Restore, TakesOffABallastWhereTheBellyIsMissing) {
  const BenchLure master(ellipsoid(), floating_rig());
  const BenchLure copy(without_belly(), floating_rig());
  const water::Balance as_master = balance_of(master);
  const Restored all = restored(copy, as_master);
  ASSERT_THAT(all.ways, SizeIs(1)) << told(all);
  const Restoring& way = all.ways[0];
  EXPECT_EQ(way.kind, Restoring::Kind::changed);
  const double missing_g = (master.whole.volume_mm3 - copy.whole.volume_mm3) / 1000;
  ASSERT_GT(missing_g, 0.5);
  EXPECT_NEAR(way.grams, -missing_g * (1 - 0.4) / net(0.4), 0.0051) << told(all);
  EXPECT_EQ(way.at_mm.z(), -6);
  EXPECT_NEAR(way.mass_g, 20 + way.grams, 1e-12);
  EXPECT_NEAR(way.at_mm.x(), 90 + way.moved_mm, 1e-12);
  ASSERT_TRUE(way.met) << told(all);
  const Mass mass = weighed(
      copy.body, 0.4, {{.at_mm = way.at_mm, .mass_g = way.mass_g, .density_g_cm3 = lead_g_cm3}});
  EXPECT_NEAR(copy.whole.volume_mm3 / 1000 - mass.grams, as_master.reserve_g, 0.01);
  EXPECT_NEAR(tail_afloat_deg(copy.body, mass, as_master.poses[0].tail_down_deg),
              as_master.poses[0].tail_down_deg, 0.05);
}

// With nothing to take off: so much wood as it carries too little, closed over, since the hole goes
// on displacing.
TEST(Restore, DrillsWhereThereIsNoBallast) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.7;
  rig.water.density_g_cm3 = 1;
  rig.hooks.push_back({.name = "belly treble",
                       .eye_mm = {60, 0, -15},
                       .mass_g = 8,
                       .density_g_cm3 = 7.85,
                       .hang_mm = 10});
  const BenchLure master(ellipsoid(), rig);
  const BenchLure copy(grown(0.99, Vec3(60, 0, 0)), rig);
  const water::Balance as_master = balance_of(master);
  const Restored all = restored(copy, as_master);
  ASSERT_THAT(all.ways, SizeIs(1)) << told(all);
  const Restoring& way = all.ways[0];
  EXPECT_EQ(way.kind, Restoring::Kind::drilled);
  const double less_g = (master.whole.volume_mm3 - copy.whole.volume_mm3) / 1000 * (1 - 0.7);
  EXPECT_NEAR(way.grams, -less_g, 1e-9) << told(all);
  EXPECT_TRUE(way.met) << told(all);
  EXPECT_GT(*way.wall_mm, 0);
  // As a pocket of the rig, of another shape and solved from anew, it does the same.
  rig::Rig drilled = rig;
  const double volume_mm3 = less_g / 0.7 * 1000;
  const double diameter_mm = 8;
  drilled.pockets.push_back(
      {.name = "hole",
       .at_mm = way.at_mm,
       .diameter_mm = diameter_mm,
       .depth_mm = volume_mm3 / (std::numbers::pi / 4 * diameter_mm * diameter_mm),
       .axis = rig::HoleAxis::along});
  const water::Balance then = balance_of(copy, drilled);
  EXPECT_NEAR(then.reserve_g, as_master.reserve_g, 0.01);
  EXPECT_NEAR(then.poses.at(0).tail_down_deg, as_master.poses[0].tail_down_deg, 0.05);
}

// One weight on the mirror plane can't right a list: the nearest compromise, and what remains.
TEST(Restore, SaysWhatRemains) {
  const BenchLure master(ellipsoid(), floating_rig());
  const BenchLure copy(
      test_bodies::moved(test_bodies::two_halves(half_length_mm, 11, 11.6, 15, 24, 24),
                         Mat3::Identity(), middle),
      floating_rig());
  const Restored all = restored(copy, balance_of(master));
  ASSERT_TRUE(all.needed);
  ASSERT_FALSE(all.ways.empty());
  const Restoring& way = all.ways[0];
  EXPECT_FALSE(way.met) << told(all);
  EXPECT_NEAR(way.left.reserve_g, 0, 0.02) << told(all);
  EXPECT_NEAR(*way.left.tail_down_deg, 0, 0.1) << told(all);
  ASSERT_TRUE(way.left.list_deg);
  EXPECT_GT(std::abs(*way.left.list_deg), 0.5);
}

// A round master that lies on any side: there is no list to bring back.
TEST(Restore, ARoundMasterHasNoListToBringBack) {
  const auto round = [&](double factor) {
    return test_bodies::moved(test_bodies::ellipsoid(half_length_mm, 12, 12, 24, 48),
                              Mat3::Identity(), (1 - factor) * Vec3(50, 0, 0) + factor * middle,
                              factor);
  };
  const rig::Rig rig = rig_with(0.5, 12, {76, 0, 0});
  const BenchLure master(round(1), rig);
  const BenchLure copy(round(0.99), rig);
  const water::Balance as_master = balance_of(master);
  ASSERT_TRUE(as_master.poses.at(0).indifferent);
  const Restored all = restored(copy, as_master);
  ASSERT_FALSE(all.ways.empty());
  EXPECT_TRUE(all.ways[0].met) << told(all);
  EXPECT_FALSE(all.ways[0].then.list_deg) << told(all);
}

// One that stands on its tail has no list either.
TEST(Restore, AMasterThatStandsOnItsTail) {
  const rig::Rig rig = rig_with(0.4, 20, {120, 0, -2});
  const BenchLure master(ellipsoid(), rig);
  const BenchLure copy(grown(1.006, middle), rig);
  const water::Balance as_master = balance_of(master);
  ASSERT_GT(as_master.poses.at(0).tail_down_deg, 85);
  const Restored all = restored(copy, as_master);
  ASSERT_FALSE(all.ways.empty());
  EXPECT_TRUE(all.ways[0].met) << told(all);
}

// Heavier than all its ballast is worth: nothing brings it back, and the least is told.
TEST(Restore, SaysWhereNothingDoes) {
  const rig::Rig rig = rig_with(0.4, 0.5, {72, 0, -7});
  const BenchLure master(ellipsoid(), rig);
  const BenchLure copy(without_belly(), rig);
  const Restored all = restored(copy, balance_of(master));
  ASSERT_TRUE(all.needed);
  for (const Restoring& way : all.ways) {
    if (way.kind != Restoring::Kind::changed) continue;
    EXPECT_FALSE(way.met) << told(all);
    EXPECT_GE(way.mass_g, 0);
    EXPECT_LT(way.left.reserve_g, -0.1) << told(all);
  }
}

TEST(Restore, IsTheSameWithAnyNumberOfThreads) {
  const BenchLure master(ellipsoid(), floating_rig());
  const BenchLure copy(grown(1.006, Vec3::Zero()), floating_rig());
  const water::Balance as_master = balance_of(master);
  const Restored one = restored(copy, as_master);
  ASSERT_FALSE(one.ways.empty());
  for (const int threads : {2, 7}) {
    const Restored other = restored(copy, as_master, water::on_threads(threads));
    ASSERT_EQ(other.ways.size(), one.ways.size());
    for (std::size_t i = 0; i < one.ways.size(); ++i) {
      EXPECT_EQ(other.ways[i].grams, one.ways[i].grams);
      EXPECT_EQ(other.ways[i].at_mm, one.ways[i].at_mm);
      EXPECT_EQ(other.ways[i].then.tail_down_deg, one.ways[i].then.tail_down_deg);
    }
  }
}

}  // namespace
}  // namespace trueblank::tests
