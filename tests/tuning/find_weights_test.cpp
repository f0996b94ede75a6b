// SPDX-License-Identifier: GPL-3.0-or-later
// Weight finding against closed forms: what a weight under an ellipsoid must weigh and where it
// must be follows from Archimedes and from symmetry; two weights and two wishes are two linear
// equations.
#include "tuning/find_weights.h"

#include <gmock/gmock.h>

#include <Eigen/Dense>
#include <cmath>
#include <numbers>
#include <sstream>

#include "geometry/inside.h"
#include "tuning/bench_lure.h"

namespace trueblank::tests {
namespace {

using tuning::FoundWeights;
using tuning::Plan;

constexpr double degree = std::numbers::pi / 180;

rig::WeightPlace belly_place() {
  return {.name = "belly",
          .x_mm = {20, 120},
          .height_mm = rig::Range{-10, -4},
          .mass_g = {0, 60},
          .density_g_cm3 = lead_g_cm3};
}

// A plan in words, for a failure's message.
std::string told(const FoundWeights& found) {
  std::ostringstream text;
  for (const tuning::PlannedWeight& weight : found.plan.weights) {
    text << weight.ballast.name << ' ' << weight.ballast.mass_g << " g at "
         << weight.ballast.at_mm.transpose() << ", wall " << weight.wall_mm << '\n';
  }
  for (const tuning::WishResult& wish : found.plan.wishes) {
    text << "wish " << static_cast<int>(wish.kind) << ": " << wish.wanted << " +- "
         << wish.tolerance << ", reached " << wish.reached.value_or(NAN)
         << (wish.met ? "" : " NOT MET") << '\n';
  }
  for (const tuning::Concession& one : found.concessions) {
    text << "concession " << static_cast<int>(one.kind) << ' ' << static_cast<int>(one.limit) << ' '
         << one.place << ' ' << one.asked << " -> " << one.needed << '\n';
  }
  return text.str();
}

const water::RestPose& meant(const Plan& plan) {
  return plan.balance.poses.at(static_cast<std::size_t>(plan.pose));
}

// Net of the wood whose place it takes.
double net(double wood_g_cm3) { return 1 - wood_g_cm3 / lead_g_cm3; }

TEST(FindWeights, OneWeightUnderAnEllipsoidForAReserve) {
  const double wood = 0.4;
  const BenchLure lure = ellipsoid_lure(70, 11, 15, wood);
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 4.0,
                                .tail_down_deg = 0.0,
                                .tail_down_tolerance_deg = 0.5},
                     .places = {belly_place()}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  ASSERT_EQ(found.plan.weights.size(), 1U);
  const rig::Ballast& weight = found.plan.weights[0].ballast;
  const double displaced_g = lure.whole.volume_mm3 / 1000;
  const double expected_g = (displaced_g * (1 - wood) - 4) / net(wood);  // Archimedes
  EXPECT_NEAR(weight.mass_g, expected_g, 0.0051);
  EXPECT_NEAR(found.plan.balance.reserve_g, 4, 0.01);
  EXPECT_NEAR(meant(found.plan).tail_down_deg, 0, 0.5);
  EXPECT_NEAR(*meant(found.plan).list_deg, 0, 1e-6);
  // As far off the middle as the tolerance of the tail lets it be, at most.
  EXPECT_NEAR(weight.at_mm.x(), 70, 3);
}

// Under water the pose is B over G: tan(tail_down) = (Gx − Bx)/(Bz − Gz), so that mass and tail are
// two linear equations in the two masses.
TEST(FindWeights, TwoPlacesAndTwoWishesAreALinearSystem) {
  const double wood = 0.6;
  const BenchLure lure = ellipsoid_lure(70, 11, 15, wood);
  rig::WeightPlace front{.name = "front",
                         .x_mm = {50, 50},
                         .height_mm = rig::Range{-6, -6},
                         .mass_g = {0, 80},
                         .density_g_cm3 = lead_g_cm3};
  rig::WeightPlace rear = front;
  rear.name = "rear";
  rear.x_mm = {95, 95};
  rear.height_mm = rig::Range{-4, -4};
  const double tail_deg = 10;
  rig::Wishes wishes{.target = {.state = rig::WantedState::sinks,
                                .reserve_g = 2.0,
                                .tail_down_deg = tail_deg,
                                .tail_down_tolerance_deg = 0.02},
                     .places = {front, rear}};
  const double displaced_g = lure.whole.volume_mm3 / 1000;
  const Eigen::Vector3d& b = lure.whole.centroid_mm;
  const double tangent = std::tan(tail_deg * degree);
  Eigen::Matrix2d equations;
  Eigen::Vector2d right;
  // Σ net m = what is missing to a weight in water of 2 g.
  equations.row(0) << net(wood), net(wood);
  right[0] = displaced_g * (1 - wood) + 2;
  // Σ net m ((x − bx) + tan·(z − bz)) = 0: the wood's own centre is b.
  equations.row(1) << (50 - b.x()) + tangent * (-6 - b.z()), (95 - b.x()) + tangent * (-4 - b.z());
  right[1] = 0;
  const Eigen::Vector2d masses = equations.fullPivLu().solve(right);
  const FoundWeights found = lure.find(wishes);
  ASSERT_EQ(found.plan.weights.size(), 2U);
  EXPECT_NEAR(found.plan.weights[0].ballast.mass_g, masses[0], 0.02);
  EXPECT_NEAR(found.plan.weights[1].ballast.mass_g, masses[1], 0.02);
}

TEST(FindWeights, RoundsToWhatCanBeMade) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  rig::WeightPlace place = belly_place();
  place.step_g = 0.5;
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 4.0,
                                .tail_down_deg = 5.0,
                                .tail_down_tolerance_deg = 1},
                     .places = {place}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  const double steps = found.plan.weights.at(0).ballast.mass_g / 0.5;
  EXPECT_EQ(steps, std::round(steps));
  EXPECT_NEAR(found.plan.balance.reserve_g, 4, 0.25);
  EXPECT_NEAR(meant(found.plan).tail_down_deg, 5, 1);
}

TEST(FindWeights, SaysWhatWouldHaveToGive) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  rig::WeightPlace place = belly_place();
  place.x_mm = {40, 60};  // ahead of the middle: the tail can't be down
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 4.0,
                                .tail_down_deg = 10.0,
                                .tail_down_tolerance_deg = 1},
                     .places = {place}};
  const FoundWeights found = lure.find(wishes);
  EXPECT_FALSE(found.plan.met) << told(found);
  const auto of = [&](tuning::Concession::Limit limit) {
    return std::ranges::find(found.concessions, limit, &tuning::Concession::limit);
  };
  const auto further_aft = of(tuning::Concession::Limit::x_high);
  ASSERT_NE(further_aft, found.concessions.end()) << told(found);
  EXPECT_GT(further_aft->needed, 70);
  // And with that much given, all is met.
  wishes.places[0].x_mm.high = further_aft->needed + 0.1;
  EXPECT_TRUE(lure.find(wishes).plan.met);
}

TEST(FindWeights, KeepsWoodAroundTheHole) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  rig::WeightPlace place = belly_place();
  place.height_mm.reset();
  place.diameters_mm = {12};
  place.axis = rig::HoleAxis::along;
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 6.0,
                                .tail_down_deg = 4.0,
                                .tail_down_tolerance_deg = 1,
                                .wall_min_mm = 3,
                                .prefer = rig::Prefer::firm},
                     .places = {place}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  EXPECT_GE(found.plan.weights.at(0).wall_mm, 3);
  EXPECT_LE(found.plan.weights.at(0).wall_mm, 3.1);  // as low as the wall lets it
}

// Heights from the skin are those of the skin itself, not of what is searched on between its nodes.
TEST(FindWeights, AHeightKeepsToItsRange) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  rig::WeightPlace place = belly_place();
  place.height_from = rig::HeightFrom::above_belly;
  place.height_mm = rig::Range{9, 12};
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 4.0,
                                .tail_down_deg = 6.0,
                                .tail_down_tolerance_deg = 1,
                                .prefer = rig::Prefer::firm},
                     .places = {place}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  const geometry::Vec3& at = found.plan.weights.at(0).ballast.at_mm;
  const auto skin = geometry::skin_heights_mm(lure.body, at.x(), at.y());
  ASSERT_TRUE(skin);
  EXPECT_GE(at.z() - skin->first, 9);
  EXPECT_LE(at.z() - skin->first, 9.05);  // as low as it may be
}

TEST(FindWeights, SaysHowManyChoicesWereNotTried) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4, 12, 12);
  rig::WeightPlace place = belly_place();
  for (int i = 0; i < 70; ++i) place.diameters_mm.push_back(8 + 0.05 * i);
  place.axis = rig::HoleAxis::along;
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats}, .places = {place}};
  const FoundWeights found = tuning::find_weights(lure.workpiece(), wishes, rig::Tolerances{},
                                                  geometry::serial_for, tuning::Effort::quick);
  EXPECT_EQ(found.choices_left_out, 6U);
}

TEST(FindWeights, ASuspenderHangsWithHardlyAnyReserve) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.6);
  rig::WeightPlace place = belly_place();
  place.height_mm = rig::Range{-8, -3};
  rig::Wishes wishes{.target = {.state = rig::WantedState::suspends,
                                .tail_down_deg = 8.0,
                                .tail_down_tolerance_deg = 1},
                     .places = {place}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  EXPECT_EQ(found.plan.balance.state, water::State::suspends);
  EXPECT_LE(std::abs(found.plan.balance.reserve_g), 0.01 * found.plan.balance.mass_g);
  EXPECT_NEAR(meant(found.plan).tail_down_deg, 8, 1);
}

// Beyond 5 % of its mass in water a sinker turns as it falls: the angle asked for is that of the
// middle of the falling band.
TEST(FindWeights, AHeavySinkerIsJudgedAsItFalls) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.6);
  rig::WeightPlace place = belly_place();
  place.height_mm = rig::Range{-6, -2};
  rig::Wishes wishes{.target = {.state = rig::WantedState::sinks,
                                .reserve_g = 5.0,
                                .tail_down_deg = 6.0,
                                .tail_down_tolerance_deg = 2},
                     .places = {place}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  EXPECT_TRUE(found.plan.judged_falling);
  EXPECT_NEAR(*found.plan.falls_tail_down_deg, 6, 2);
}

TEST(FindWeights, AHookMayBeAnother) {
  BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  lure.rig.hooks.push_back({.name = "treble",
                            .eye_mm = {60, 0, -15},
                            .mass_g = 4,
                            .density_g_cm3 = 7.85,
                            .hang_mm = 15});
  rig::WeightPlace place = belly_place();
  place.mass_g = {0, 13};  // with the small hook too little
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 4.0,
                                .tail_down_deg = 4.0,
                                .tail_down_tolerance_deg = 2},
                     .places = {place},
                     .hooks = {{.hook = 0,
                                .masses_g = {4, 14},
                                .eye_x_mm = rig::Range{50, 80},
                                .eye_from = rig::HeightFrom::above_belly,
                                .eye_height_mm = -1}}};
  const FoundWeights found = lure.find(wishes);
  ASSERT_TRUE(found.plan.met) << told(found);
  ASSERT_EQ(found.plan.hooks.size(), 1U);
  EXPECT_EQ(found.plan.hooks[0].mass_g, 14);
  EXPECT_EQ(found.plan.rig.hooks[0].mass_g, 14);
}

// Each preference is at least as good by its own measure as the others.
TEST(FindWeights, GivesWhatIsPreferred) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4);
  rig::WeightPlace tail{.name = "tail",
                        .x_mm = {90, 125},
                        .height_mm = rig::Range{-3, 0},
                        .mass_g = {0, 10},
                        .density_g_cm3 = lead_g_cm3};
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .tail_down_deg = 8.0,
                                .tail_down_tolerance_deg = 3,
                                .least_stiffness_min_g_mm_per_deg = 0.8},
                     .places = {belly_place(), tail}};
  const auto with = [&](rig::Prefer prefer) {
    wishes.target.prefer = prefer;
    const FoundWeights found = lure.find(wishes);
    EXPECT_TRUE(found.plan.met) << told(found);
    return found.plan;
  };
  const Plan light = with(rig::Prefer::light);
  const Plan firm = with(rig::Prefer::firm);
  const Plan cast = with(rig::Prefer::cast);
  const auto stiffness = [](const Plan& plan) { return meant(plan).least_stiffness_g_mm_per_deg; };
  constexpr double rounding = 0.03;
  EXPECT_LE(light.added_g, firm.added_g + rounding);
  EXPECT_LE(light.added_g, cast.added_g + rounding);
  EXPECT_GE(stiffness(firm), stiffness(light) - rounding);
  EXPECT_GE(stiffness(firm), stiffness(cast) - rounding);
  EXPECT_GE(cast.centre_of_mass_mm.x(), light.centre_of_mass_mm.x() - rounding);
  EXPECT_GE(cast.centre_of_mass_mm.x(), firm.centre_of_mass_mm.x() - rounding);
}

TEST(FindWeights, TheSamePlanWhateverTheLoop) {
  const BenchLure lure = ellipsoid_lure(70, 11, 15, 0.4, 20, 20);
  rig::Wishes wishes{.target = {.state = rig::WantedState::floats,
                                .reserve_g = 4.0,
                                .tail_down_deg = 5.0,
                                .tail_down_tolerance_deg = 1},
                     .places = {belly_place()}};
  const auto backwards = [](int count, const std::function<void(int)>& body) {
    for (int i = count - 1; i >= 0; --i) body(i);
  };
  const Plan one = lure.find(wishes).plan;
  const Plan other =
      tuning::find_weights(lure.workpiece(), wishes, rig::Tolerances{}, backwards).plan;
  ASSERT_EQ(one.weights.size(), other.weights.size());
  EXPECT_EQ(one.weights[0].ballast.mass_g, other.weights[0].ballast.mass_g);
  EXPECT_EQ(one.weights[0].ballast.at_mm, other.weights[0].ballast.at_mm);
}

}  // namespace
}  // namespace trueblank::tests
