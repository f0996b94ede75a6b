// SPDX-License-Identifier: GPL-3.0-or-later
// The flat arrays against closed forms, and against the rooms themselves, which are checked
// elsewhere.
#include "live/live.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

#include "geometry/coat.h"
#include "geometry/inside.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "live/rig_arrays.h"
#include "rig/assembly.h"
#include "support/bodies.h"
#include "water/back_up.h"
#include "water/baseline.h"
#include "water/near_pose.h"
#include "water/sensitivity.h"
#include "water/sweep.h"

namespace trueblank::live {
namespace {

using test_bodies::box;
using test_bodies::closed;
using test_bodies::pencil;
using testing::ElementsAre;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double degree = std::numbers::pi / 180;
constexpr std::size_t pose_at = 3;  // in a copied answer of trueblank_live_pose
constexpr std::size_t pose_numbers = trueblank_live_pose_numbers;
constexpr std::size_t why_at = pose_at + pose_numbers;

rig::Rig bare_wood(double density_g_cm3) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = density_g_cm3;
  rig.water = {.density_g_cm3 = 1, .density_given = true};
  return rig;
}

// The box inside out: the wall of a cavity.
geometry::TriangleMesh hollow_box() {
  return test_bodies::joined(box(100, 40, 20), test_bodies::inside_out(box(60, 20, 10)));
}

std::vector<double> posed(const Opened& lure) {
  return copied(trueblank_live_pose(lure.get(), nullptr));
}

// Source: Archimedes, On Floating Bodies, book I, proposition 5: it displaces its own weight of
// water. So a box 100×40×20 of 0.6 g/cm³ weighs 48 g and draws 12 of its 20 mm. Bouguer's
// metacentre: KB 6, BM = B²/(12·draught) = 11.1111, KG 10: GM 7.1111 mm.
TEST(LiveBox, FloatsAtItsDraughtAndHasItsMetacentre) {
  const Opened lure = opened(box(100, 40, 20));
  const std::vector<double> masses = laid(lure, array_of(bare_wood(0.6)));
  ASSERT_EQ(masses[0], trueblank_live_good);
  EXPECT_NEAR(masses[1], 48, 1e-12);  // mass
  EXPECT_NEAR(masses[2], 80, 1e-12);  // all that it can displace
  EXPECT_NEAR(masses[3], 32, 1e-12);  // reserve
  EXPECT_EQ(masses[4], 0);            // floats
  EXPECT_NEAR(masses[16], 80000, 1e-8);
  const double gm_mm = 6 + 1600.0 / 144 - 10;
  const std::vector<double> answer = posed(lure);
  ASSERT_EQ(answer.size(), why_at + 3 + 2);  // one part: its wood
  ASSERT_EQ(answer[0], trueblank_live_good);
  EXPECT_NEAR(answer[why_at], gm_mm, 1e-9);
  EXPECT_NEAR(answer[why_at + 1], 0, 1e-9);
  EXPECT_EQ(answer[why_at + 2], 1);
  EXPECT_NEAR(answer[why_at + 3], -gm_mm, 1e-9);      // so much higher G could lie
  EXPECT_NEAR(answer[1], 48 * gm_mm * degree, 1e-9);  // upright stiffness
  EXPECT_EQ(answer[2], 1);                            // stands
  const double* pose = answer.data() + pose_at;
  EXPECT_NEAR(pose[2], 1, 1e-12);      // up is z
  EXPECT_NEAR(pose[5], 2, 1e-9);       // the surface is 12 mm over the floor, which is at −10
  EXPECT_NEAR(pose[6], 48000, 1e-6);   // submerged
  EXPECT_NEAR(pose[9], -4, 1e-9);      // B is in the middle of the draught
  EXPECT_NEAR(pose[10], 4000, 1e-8);   // waterplane
  EXPECT_NEAR(pose[15], gm_mm, 1e-9);  // GM for rolling
}

// A box as high as it is wide and light in its water lies on an edge or corner, not on a side
// (Derrett, rev. Barrass, 1999, loll): of 0.5, GM = KB + BM − KG = 5 + 400/(12·10) − 10 < 0.
TEST(LiveBox, OfASquareSectionHalfUnderRollsOver) {
  const Opened lure = opened(box(100, 20, 20));
  ASSERT_EQ(laid(lure, array_of(bare_wood(0.5)))[0], trueblank_live_good);
  const std::vector<double> answer = posed(lure);
  EXPECT_NEAR(answer[1], 20 * (5 + 400.0 / 120 - 10) * degree, 1e-9);
  EXPECT_NEAR(std::abs(answer[pose_at + 4]), 45, 1e-6);  // by symmetry
}

// Weighed wood is as dense as the body's volume makes it; heavier than its water it sinks.
TEST(LiveBox, TakesWeighedWoodAndHalves) {
  const Opened lure = opened(box(100, 40, 20));
  rig::Rig rig = bare_wood(0);
  rig.wood_weighed = true;
  std::vector<double> masses = laid(lure, array_of(rig, 88));
  EXPECT_NEAR(masses[8], 1.1, 1e-12);
  EXPECT_NEAR(masses[3], -8, 1e-12);
  EXPECT_EQ(masses[4], 2);  // sinks
  rig.halves = rig::Halves{.left_g = 20, .right_g = 28};
  masses = laid(lure, array_of(rig));
  ASSERT_EQ(masses[0], trueblank_live_good);
  EXPECT_NEAR(masses[1], 48, 1e-12);
  EXPECT_NEAR(masses[6], (28 - 20) * 10. / 48, 1e-12);  // each half's centre is 10 mm off
}

// Closed forms of a box in a box: air in the cavity is displaced, a flood is not; the coat lies on
// the outer skin alone, whose corners have normals along the diagonals.
TEST(LiveHollowBox, DisplacesItsCavityWhereThatHoldsAir) {
  const rig::Rig rig = bare_wood(0.6);
  for (const bool air : {true, false}) {
    SCOPED_TRACE(air);
    const Opened lure = opened(hollow_box(), air);
    ASSERT_TRUE(lure);
    std::vector<double> masses = laid(lure, array_of(rig));
    EXPECT_NEAR(masses[1], 0.6 * 68, 1e-11);
    EXPECT_NEAR(masses[2], air ? 80 : 68, 1e-11);
    rig::Rig coated = rig;
    coated.finish = rig::Finish{.thickness_mm = 0.3, .density_g_cm3 = 1.2};
    masses = laid(lure, array_of(coated));
    ASSERT_EQ(masses[0], trueblank_live_good);
    const double out = 2 * 0.3 / std::sqrt(3.);
    const double coated_cm3 = (100 + out) * (40 + out) * (20 + out) / 1000;
    EXPECT_NEAR(masses[19], 1.2 * (coated_cm3 - 80), 1e-10);  // g of finish
    EXPECT_NEAR(masses[2], coated_cm3 - (air ? 0 : 12), 1e-10);
    EXPECT_NEAR(masses[17] / 1000, masses[2], 1e-10);  // what the water sees
  }
}

TEST(LiveOpen, RefusesWhatIsNotClosed) {
  geometry::TriangleMesh mesh = box(100, 40, 20);
  EXPECT_TRUE(opened(mesh));
  mesh.facets.conservativeResize(3, 11);
  EXPECT_FALSE(opened(mesh));
  EXPECT_FALSE(opened(test_bodies::inside_out(box(100, 40, 20))));
  mesh = box(100, 40, 20);
  mesh.facets(0, 3) = 8;
  EXPECT_FALSE(opened(mesh));
  EXPECT_FALSE(opened({}));
}

TEST(LiveOpen, ARigIsWantedFirst) {
  const Opened lure = opened(box(100, 40, 20));
  EXPECT_EQ(posed(lure)[0], 1);
  EXPECT_EQ(copied(trueblank_live_balance(lure.get()))[0], 1);
  EXPECT_EQ(copied(trueblank_live_slopes(lure.get()))[0], 1);
  const double wish[] = {3, 0, 0, 40, 100, 5, 2, 12, 5};
  EXPECT_EQ(copied(trueblank_live_map(lure.get(), wish))[0], 1);
  EXPECT_EQ(laid(lure, {})[0], trueblank_live_malformed);
  ASSERT_EQ(laid(lure, array_of(bare_wood(0.6)))[0], trueblank_live_good);
  EXPECT_EQ(copied(trueblank_live_slopes(lure.get()))[0], 1);  // no balance yet
}

TEST(LiveOpen, TellsTheSkinsHeights) {
  const Opened lure = opened(box(100, 40, 20));
  EXPECT_THAT(copied(trueblank_live_heights(lure.get(), 3, 4)), ElementsAre(0, -10, 10));
  EXPECT_THAT(copied(trueblank_live_heights(lure.get(), 51, 0)), ElementsAre(1));
}

class LivePencil : public testing::Test {
 protected:
  geometry::TriangleMesh mesh_ = pencil(3000);
  Opened lure_ = opened(mesh_);
  rig::Rig rig_ = every_kind();
};

// What the rooms tell of the same rig.
struct Judge {
  geometry::ClosedMesh bare;
  geometry::Moments whole = geometry::moments(bare);
  geometry::ClosedMesh coated;
  geometry::MomentTree tree{coated};
  rig::Assembly assembly;
  rig::RiggedLure rigged = rig::add_up(assembly);
  water::Floater lure = water::floater(tree, rigged);

  Judge(const geometry::TriangleMesh& mesh, const rig::Rig& rig)
      : bare(closed(mesh)),
        coated(rig.finish ? geometry::coated(bare, rig.finish->thickness_mm).value() : bare),
        assembly(rig::assemble(bare, whole, rig, geometry::moments(coated))) {}
};

void expect_equal(double number, std::optional<double> judge) {
  if (judge) {
    EXPECT_EQ(number, *judge);
  } else {
    EXPECT_TRUE(std::isnan(number));
  }
}

void expect_pose(const double* told, const water::RestPose& pose) {
  for (int k = 0; k < 3; ++k) {
    EXPECT_EQ(told[k], pose.up(k));
    EXPECT_EQ(told[7 + k], pose.centre_of_buoyancy_mm(k));
  }
  EXPECT_EQ(told[3], pose.tail_down_deg);
  expect_equal(told[4], pose.list_deg);
  expect_equal(told[5], pose.waterline_offset_mm);
  EXPECT_EQ(told[6], pose.submerged_mm3);
  EXPECT_EQ(told[10], pose.waterplane_mm2);
  expect_equal(told[11], pose.roll_stiffness_g_mm_per_deg);
  expect_equal(told[12], pose.pitch_stiffness_g_mm_per_deg);
  EXPECT_EQ(told[13], pose.least_stiffness_g_mm_per_deg);
  expect_equal(told[14], pose.list_stiffness_g_mm_per_deg);
  expect_equal(told[15], pose.gm_roll_mm);
  expect_equal(told[16], pose.gm_pitch_mm);
  EXPECT_EQ(told[17], pose.share);
  EXPECT_EQ(told[18], pose.indifferent ? 1 : 0);
  const auto& barrier = pose.barrier;
  expect_equal(told[19], barrier ? std::optional(barrier->barrier_g_mm) : std::nullopt);
  expect_equal(told[20], barrier ? std::optional(static_cast<double>(barrier->to)) : std::nullopt);
  expect_equal(told[23], barrier ? std::optional(barrier->up.z()) : std::nullopt);
  expect_equal(told[24], barrier ? std::optional(barrier->hardest_push_g_mm) : std::nullopt);
  expect_equal(told[25], pose.overturn_g_mm);
  EXPECT_EQ(told[26], pose.energy_g_mm);
}

void expect_slope(const double* told, const water::Slope& slope) {
  expect_equal(told[0], slope.tail_down_deg);
  expect_equal(told[1], slope.list_deg);
  EXPECT_EQ(told[2], slope.reserve_g);
  expect_equal(told[3], slope.least_stiffness_g_mm_per_deg);
  EXPECT_EQ(told[4], slope.at_border ? 1 : 0);
}

TEST_F(LivePencil, WeighsWhatTheMassModelTells) {
  const Judge judge(mesh_, rig_);
  const std::vector<double> masses = laid(lure_, array_of(rig_));
  ASSERT_EQ(masses[0], trueblank_live_good);
  EXPECT_EQ(masses[1], judge.rigged.mass_g);
  EXPECT_EQ(masses[2], judge.lure.displacement_full_g());
  EXPECT_EQ(masses[5], judge.rigged.centre_of_mass_mm.x());
  EXPECT_EQ(masses[7], judge.rigged.centre_of_mass_mm.z());
  EXPECT_EQ(masses[9], judge.rigged.undrilled_wood_g);
  EXPECT_EQ(masses[10], judge.rigged.ratio_g_per_100g_wood);
  EXPECT_EQ(masses[11], judge.rigged.ratio_without_hooks_g_per_100g_wood);
  EXPECT_EQ(masses[12], judge.rigged.dry_mass_g);
  EXPECT_EQ(masses[13], judge.rigged.dry_balance_mm);
  EXPECT_EQ(masses[14], judge.rigged.blank_balance_mm);
  EXPECT_EQ(masses[15], judge.rigged.water_density_g_cm3);
  EXPECT_EQ(masses[16], judge.whole.volume_mm3);
  ASSERT_EQ(masses[25], static_cast<double>(judge.rigged.parts.size()));
  ASSERT_EQ(masses.size(), 26 + 5 * judge.rigged.parts.size());
  for (std::size_t i = 0; i < judge.rigged.parts.size(); ++i) {
    const rig::MassPart& part = judge.rigged.parts[i];
    EXPECT_EQ(masses[26 + 5 * i], static_cast<double>(part.kind));
    EXPECT_EQ(masses[27 + 5 * i], part.mass_g);
    EXPECT_EQ(masses[28 + 5 * i], part.centre_mm.x());
    EXPECT_EQ(masses[30 + 5 * i], part.centre_mm.z());
  }
}

TEST_F(LivePencil, LiesAsTheWaterRoomTells) {
  const Judge judge(mesh_, rig_);
  const Vec3 nose(0, 0, 1);
  const Vec3 tail(138, 0, 2);
  laid(lure_, with_baseline(array_of(rig_), nose, tail));
  const water::BackUp up = water::BackUpSearch(judge.lure).let_go(judge.lure);
  ASSERT_TRUE(up.pose);
  const std::vector<double> told = posed(lure_);
  EXPECT_EQ(told[1], up.upright_stiffness_g_mm_per_deg);
  EXPECT_EQ(told[2], up.stands ? 1 : 0);
  expect_pose(told.data() + pose_at, *up.pose);
  EXPECT_EQ(told[pose_at + 27], water::tail_down_along_deg(up.pose->up, nose, tail));
  const double from[] = {0.2, 1, -2};
  const std::vector<double> on_its_back = copied(trueblank_live_pose(lure_.get(), from));
  const std::optional<water::RestPose> near = water::pose_near(
      judge.lure, Vec3(0.2, 1, -2) / Vec3(0.2, 1, -2).norm(), {.look_for_rings = false});
  ASSERT_TRUE(near);
  EXPECT_EQ(on_its_back[1], up.upright_stiffness_g_mm_per_deg);
  expect_pose(on_its_back.data() + pose_at, *near);
  const double nowhere[] = {0, 0, 0};
  const std::vector<double> none = copied(trueblank_live_pose(lure_.get(), nowhere));
  EXPECT_EQ(none[0], 1);
  EXPECT_EQ(none[1], up.upright_stiffness_g_mm_per_deg);
  EXPECT_TRUE(std::isnan(none[pose_at]));
}

TEST_F(LivePencil, HasThePosesAndSlopesOfTheWaterRoom) {
  const Judge judge(mesh_, rig_);
  laid(lure_, array_of(rig_));
  const water::Balance balance = water::balance(judge.lure);
  const std::vector<double> told = copied(trueblank_live_balance(lure_.get()));
  ASSERT_EQ(balance.state, water::State::floats);
  ASSERT_EQ(told[1], static_cast<double>(balance.poses.size()));
  ASSERT_EQ(told.size(), 2 + pose_numbers * balance.poses.size());
  for (std::size_t i = 0; i < balance.poses.size(); ++i) {
    expect_pose(told.data() + 2 + pose_numbers * i, balance.poses[i]);
  }
  // Finish, wire, two ballasts, two pockets, then the hooks.
  const std::vector<water::HookSize> hooks = {{.part = 6, .size_up_g = {}},
                                              {.part = 7, .size_up_g = 2.8}};
  const water::Sensitivity slopes =
      water::sensitivity(&judge.tree, judge.assembly, balance.poses.front(), hooks);
  const std::vector<double> answer = copied(trueblank_live_slopes(lure_.get()));
  const std::size_t n = slopes.parts.size();
  ASSERT_EQ(answer[1], static_cast<double>(n));
  for (std::size_t i = 0; i < n; ++i) {
    const double* part = answer.data() + 2 + 21 * i;
    EXPECT_EQ(part[0], static_cast<double>(slopes.parts[i].kind));
    if (slopes.parts[i].per_g) {
      expect_slope(part + 1, *slopes.parts[i].per_g);
    } else {
      EXPECT_TRUE(std::isnan(part[3]));
    }
    for (std::size_t k = 0; k < 3; ++k) {
      if (slopes.parts[i].per_mm) {
        expect_slope(part + 6 + 5 * k, (*slopes.parts[i].per_mm)[k]);
      } else {
        EXPECT_TRUE(std::isnan(part[8 + 5 * k]));
      }
    }
  }
  const double* rest = answer.data() + 2 + 21 * n;
  expect_slope(rest, slopes.wood_per_percent);
  expect_slope(rest + 5, slopes.wood_per_g);
  ASSERT_EQ(rest[10], 4);
  ASSERT_EQ(answer.size(), 2 + 21 * n + 11 + 4 * 11);
  for (std::size_t i = 0; i < 4; ++i) {
    const water::HookChange& change = slopes.changes[i];
    const double* told_of = rest + 11 + 11 * i;
    EXPECT_EQ(told_of[0], static_cast<double>(i / 2));
    EXPECT_EQ(told_of[1], static_cast<double>(i % 2));
    EXPECT_EQ(told_of[2], change.mass_g);
    EXPECT_EQ(told_of[3], change.assumed ? 1 : 0);
    EXPECT_EQ(told_of[5], change.reserve_g);
    ASSERT_TRUE(change.pose);
    EXPECT_EQ(told_of[7], change.pose->tail_down_deg);
    EXPECT_EQ(told_of[9], change.turns_deg.value());
    EXPECT_EQ(told_of[10], change.rolls ? 1 : 0);
  }
}

TEST_F(LivePencil, MapsWhatTheSweepTells) {
  const Judge judge(mesh_, rig_);
  laid(lure_, array_of(rig_));
  const water::SweepAxis place{.what = water::Swept::z,
                               .part = 3,
                               .place_mm = rig_.ballasts[1].at_mm,
                               .inside = true,
                               .nominal = -4,
                               .from = -9.5,
                               .to = 9,
                               .count = 9};
  water::SweepAxis mass = place;
  mass.what = water::Swept::mass;
  mass.nominal = 2;
  mass.from = 1;
  mass.to = 25;
  mass.count = 7;
  const water::Sweep map = water::sweep(&judge.tree, judge.bare, judge.assembly, {place, mass});
  const double wish[] = {3, 1, 2, -9.5, 9, 9, 1, 25, 7};
  const std::vector<double> told = copied(trueblank_live_map(lure_.get(), wish));
  ASSERT_EQ(told[0], trueblank_live_good);
  EXPECT_EQ(told[1], 9);
  EXPECT_EQ(told[2], 7);
  const auto count = [&](const auto& is) {
    return std::count_if(map.cells.begin(), map.cells.end(), is);
  };
  ASSERT_GT(count([](const water::SweepCell& cell) { return cell.stands; }), 0);
  ASSERT_GT(count([](const water::SweepCell& cell) { return cell.told && !cell.stands; }), 0);
  ASSERT_GT(map.untold(), 0);
  for (std::size_t i = 0; i < map.cells.size(); ++i) {
    const water::SweepCell& cell = map.cells[i];
    const double* one = told.data() + 3 + 7 * i;
    EXPECT_EQ(one[0], cell.told ? 1 : 0);
    EXPECT_EQ(one[1], cell.stands ? 1 : 0);
    EXPECT_EQ(one[2], static_cast<double>(cell.state));
    EXPECT_EQ(one[3], cell.reserve_g);
    expect_equal(one[4], cell.tail_down_deg);
    expect_equal(one[5], cell.list_deg);
    expect_equal(one[6], cell.least_stiffness_g_mm_per_deg);
  }
  const double* at = told.data() + 3 + 7 * map.cells.size();
  ASSERT_FALSE(map.border.empty());
  ASSERT_EQ(*at++, static_cast<double>(map.border.size()));
  for (const std::vector<Eigen::Vector2d>& line : map.border) {
    ASSERT_EQ(*at++, static_cast<double>(line.size()));
    for (const Eigen::Vector2d& point : line) {
      EXPECT_EQ(*at++, point.x());
      EXPECT_EQ(*at++, point.y());
    }
  }
  EXPECT_EQ(at, told.data() + told.size());
}

TEST_F(LivePencil, MapsNothingThatCannotBe) {
  laid(lure_, array_of(rig_));
  const std::vector<std::vector<double>> wishes = {
      {3, 2, 0, 40, 100, 5, 2, 12, 5},    // no third ballast
      {1, 0, 0, 40, 100, 5, 2, 12, 5},    // a coat has no place
      {4, 0, 0, 40, 100, 5, 2, 12, 5},    // a hole has no mass
      {0, 0, 0, 40, 100, 5, 2, 12, 5},    // wood
      {7, 0, 0, 40, 100, 5, 2, 12, 5},    // no kind
      {3, 0, 3, 40, 100, 5, 2, 12, 5},    // no axis
      {3, 0, 0, 40, 40, 5, 2, 12, 5},     // nowhere to
      {3, 0, 0, 40, nan, 5, 2, 12, 5},    // not said
      {3, 0, 0, 40, 100, 1, 2, 12, 5},    // one place
      {3, 0, 0, 40, 100, 5, 0, 12, 5},    // no mass
      {3, 0, 0, 40, 100, 2.5, 2, 12, 5},  // half a place
      {3, 0, 0, 40, 100, 1001, 2, 12, 1001}};
  for (const std::vector<double>& wish : wishes) {
    SCOPED_TRACE(testing::PrintToString(wish));
    EXPECT_THAT(copied(trueblank_live_map(lure_.get(), wish.data())), ElementsAre(1));
  }
}

// A build that was laid after many others answers as one that was laid at once, to the last bit.
TEST_F(LivePencil, AnswersAlikeWhateverWasLaidBefore) {
  const auto expect_as_anew = [&](const rig::Rig& rig, double wood_g = 0) {
    const std::vector<double> array = array_of(rig, wood_g);
    const Opened anew = opened(mesh_);
    const std::vector<double> masses = laid(lure_, array);
    ASSERT_EQ(masses[0], trueblank_live_good);
    EXPECT_EQ(bits(masses), bits(laid(anew, array)));
    EXPECT_EQ(bits(posed(lure_)), bits(posed(anew)));
  };
  rig::Rig rig = rig_;
  for (int step = 0; step < 8; ++step) {  // dragged
    rig.ballasts[0].at_mm.x() = 40 + 6 * step;
    rig.ballasts[0].mass_g = 3 + step;
    expect_as_anew(rig);
  }
  rig.water = rig::water_at(35, 10);
  expect_as_anew(rig);
  rig.finish->thickness_mm = 0.5;
  expect_as_anew(rig);
  rig.finish.reset();
  expect_as_anew(rig);
  rig.wires[0].path_mm[1].z() = -2;
  rig.pockets[0].at_mm.x() = 80;
  expect_as_anew(rig);
  std::swap(rig.pockets[0], rig.pockets[1]);
  expect_as_anew(rig);
  rig.wood_density_g_cm3 = 0.5;
  expect_as_anew(rig);
  rig.wood_weighed = true;
  expect_as_anew(rig, 11);
  rig.halves = rig::Halves{.left_g = 5, .right_g = 6};
  expect_as_anew(rig);
  rig.pockets.clear();
  rig.wood_balance_mm = 66;
  expect_as_anew(rig);
  laid(lure_, array_of(rig_));
  const Opened anew = opened(mesh_);
  laid(anew, array_of(rig_));
  EXPECT_EQ(bits(all_answers(lure_)), bits(all_answers(anew)));
}

TEST_F(LivePencil, KeepsItsRigWhereAnArrayIsMalformed) {
  const std::vector<double> good = array_of(rig_);
  laid(lure_, good);
  const std::vector<double> before = all_answers(lure_);
  const auto expect_malformed = [&](const std::vector<double>& array) {
    const std::vector<double> answer = laid(lure_, array);
    ASSERT_EQ(answer.size(), 3);
    EXPECT_EQ(answer[0], trueblank_live_malformed);
    EXPECT_TRUE(std::isnan(answer[1]));
    EXPECT_TRUE(std::isnan(answer[2]));
  };
  for (std::size_t size = 0; size < good.size(); ++size) {
    SCOPED_TRACE(size);
    expect_malformed({good.begin(), good.begin() + static_cast<std::ptrdiff_t>(size)});
  }
  std::vector<double> longer = good;
  longer.push_back(1);
  expect_malformed(longer);
  for (std::size_t place = 16; place < 21; ++place) {  // the counts
    for (const double wrong : {-1., 0.5, nan, 1e300, good[place] + 1, good[place] + 1000}) {
      SCOPED_TRACE(testing::Message() << place << ' ' << wrong);
      std::vector<double> array = good;
      array[place] = wrong;
      const std::vector<double> answer = laid(lure_, array);
      EXPECT_THAT(answer[0],
                  testing::AnyOf(trueblank_live_malformed, trueblank_live_number_out_of_range));
    }
  }
  std::vector<double> array = good;
  array[0] = 3;  // no such wood
  expect_malformed(array);
  array = good;
  array[24] = 1;  // a wire of one point
  expect_malformed(array);
  EXPECT_EQ(bits(all_answers(lure_)), bits(before));
}

TEST_F(LivePencil, SaysWhichPartIsAtFault) {
  laid(lure_, array_of(rig_));
  const std::vector<double> before = all_answers(lure_);
  const auto expect_fault = [&](const auto& change, int status, double kind, double index) {
    rig::Rig rig = rig_;
    change(rig);
    EXPECT_THAT(laid(lure_, array_of(rig)), ElementsAre(status, kind, index));
  };
  constexpr int range = trueblank_live_number_out_of_range;
  expect_fault([](rig::Rig& rig) { rig.ballasts[1].at_mm.z() = -30; },
               trueblank_live_ballast_outside, 3, 1);
  expect_fault([](rig::Rig& rig) { rig.pockets[1].at_mm.z() = 30; }, trueblank_live_pocket_outside,
               4, 1);
  expect_fault(
      [](rig::Rig& rig) {
        rig.wires[0].path_mm = {{0, 0, 40}, {100, 0, 40}};
      },
      trueblank_live_wire_misses, 2, 0);
  expect_fault([](rig::Rig& rig) { rig.wood_density_g_cm3 = 0; }, range, 0, 0);
  expect_fault([](rig::Rig& rig) { rig.wood_balance_mm = 150; }, range, 0, 0);
  expect_fault([](rig::Rig& rig) { rig.finish->thickness_mm = 5.1; }, range, 1, 0);
  expect_fault([](rig::Rig& rig) { rig.finish->density_g_cm3 = -1; }, range, 1, 0);
  expect_fault([](rig::Rig& rig) { rig.wires[0].diameter_mm = 0; }, range, 2, 0);
  expect_fault([](rig::Rig& rig) { rig.wires[0].path_mm[1] = rig.wires[0].path_mm[0]; }, range, 2,
               0);
  expect_fault([](rig::Rig& rig) { rig.ballasts[0].mass_g = 0; }, range, 3, 0);
  expect_fault([](rig::Rig& rig) { rig.ballasts[1].at_mm.x() = nan; }, range, 3, 1);
  expect_fault([](rig::Rig& rig) { rig.pockets[0].depth_mm = -1; }, range, 4, 0);
  expect_fault([](rig::Rig& rig) { rig.pockets[0].filling_density_g_cm3 = -1; }, range, 4, 0);
  expect_fault([](rig::Rig& rig) { rig.hooks[1].hang_mm = -1; }, range, 5, 1);
  expect_fault([](rig::Rig& rig) { rig.hooks[1].size_up_g = 0; }, range, 5, 1);
  expect_fault([](rig::Rig& rig) { rig.outsides[0].density_g_cm3 = INFINITY; }, range, 6, 0);
  expect_fault([](rig::Rig& rig) { rig.water.salinity = 43; }, range, trueblank_live_water, 0);
  std::vector<double> array = with_baseline(array_of(rig_), {1, 0, 0}, {1, 0, 0});
  EXPECT_THAT(laid(lure_, array), ElementsAre(range, trueblank_live_baseline, 0));
  EXPECT_EQ(bits(all_answers(lure_)), bits(before));
}

// A rod of triangular section, a hair thick, with a round bore. A coat far thicker than that turns
// the bore inside out, where it takes more away than the three edges, whose flanks move out by half
// the coat only, add.
geometry::TriangleMesh bored_hair() {
  constexpr int bore = 24;
  geometry::TriangleMesh mesh{Eigen::Matrix3Xd(3, 2 * (3 + bore)),
                              Eigen::Matrix3Xi(3, 2 * (3 + bore) * 2)};
  int count = 0;
  const auto facet = [&](int a, int b, int c) { mesh.facets.col(count++) << a, b, c; };
  const auto outer = [](int end, int k) { return end * (3 + bore) + k % 3; };
  const auto inner = [](int end, int k) { return end * (3 + bore) + 3 + k % bore; };
  const auto put = [&](int vertex, int end, double radius_mm, double turn) {
    mesh.positions_mm.col(vertex) << 10 * end, radius_mm * std::cos(turn),
        radius_mm * std::sin(turn);
  };
  for (int end = 0; end < 2; ++end) {
    for (int k = 0; k < 3; ++k) put(outer(end, k), end, 0.2, 120 * degree * k);
    for (int k = 0; k < bore; ++k) put(inner(end, k), end, 0.08, 360 * degree * k / bore);
  }
  const auto side = [&](int a, int b, int a_end, int b_end) {  // seen with the far end on the right
    facet(a, a_end, b);
    facet(b, a_end, b_end);
  };
  for (int k = 0; k < 3; ++k) side(outer(0, k + 1), outer(0, k), outer(1, k + 1), outer(1, k));
  for (int k = 0; k < bore; ++k) side(inner(0, k), inner(0, k + 1), inner(1, k), inner(1, k + 1));
  for (int k = 0; k < bore; ++k) {
    const int corner = (k + bore / 6) / (bore / 3);  // the nearest
    const int next = (k + 1 + bore / 6) / (bore / 3);
    const auto cap = [&](int end, int a, int b, int c) {
      end == 1 ? facet(a, b, c) : facet(a, c, b);
    };
    for (int end = 0; end < 2; ++end) {
      cap(end, inner(end, k), outer(end, corner), inner(end, k + 1));
      if (next != corner) {
        cap(end, inner(end, k + 1), outer(end, corner), outer(end, next));
      }
    }
  }
  mesh.facets.conservativeResize(3, count);
  return mesh;
}

TEST(LiveCoat, ThatFoldsIsRefused) {
  const geometry::TriangleMesh hair = bored_hair();
  const Opened lure = opened(hair);
  ASSERT_TRUE(lure);
  rig::Rig rig = bare_wood(0.5);
  rig.finish = rig::Finish{.thickness_mm = 0.01, .density_g_cm3 = 1};
  const std::vector<double> masses = laid(lure, array_of(rig));
  EXPECT_EQ(masses[0], trueblank_live_good);
  const std::vector<double> before = posed(lure);
  const auto coat = geometry::coated(closed(hair), 5);
  ASSERT_TRUE(!coat || geometry::moments(*coat).volume_mm3 < masses[16]);
  rig.finish->thickness_mm = 5;
  EXPECT_THAT(laid(lure, array_of(rig)), ElementsAre(trueblank_live_coat_folds, 1, 0));
  EXPECT_EQ(bits(posed(lure)), bits(before));
}

// All of it on one side of y = 0.
TEST(LiveHalves, WantABodyOnBothSides) {
  const Opened lure =
      opened(test_bodies::moved(box(100, 40, 20), geometry::Mat3::Identity(), {0, 21, 0}));
  rig::Rig rig = bare_wood(0);
  rig.wood_weighed = true;
  rig.halves = rig::Halves{.left_g = 20, .right_g = 28};
  EXPECT_THAT(laid(lure, array_of(rig)), ElementsAre(trueblank_live_half_missing, 0, 0));
}

// Pockets of air for more than all the wood leave a lure that weighs nothing.
TEST(LiveHoles, MayNotTakeMoreThanAllTheWood) {
  const Opened lure = opened(box(100, 40, 20));
  rig::Rig rig = bare_wood(0.5);
  rig.pockets = {{.diameter_mm = 80, .depth_mm = 20}};
  EXPECT_THAT(laid(lure, array_of(rig)), ElementsAre(trueblank_live_number_out_of_range, 0, 0));
}

}  // namespace
}  // namespace trueblank::live
