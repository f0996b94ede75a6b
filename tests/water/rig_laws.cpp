// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/rig_laws.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <limits>
#include <sstream>
#include <string>
#include <vector>

#include "water/floating_bodies.h"
#include "water/plain_energy.h"
#include "water/random_lures.h"
#include "water/rest_places.h"

namespace trueblank::water {
namespace {

// Of mass × length: what a sum over some thousand facets leaves.
constexpr double energy_rounding = 1e-12;
constexpr double couple_rounding = 1e-12;
// Rounding of the couple turns a soft pose further than a stiff one.
constexpr double pose_within_deg = 1e-5;

// What a pose of a ring may differ from another place on it.
double slack_g_mm(const RestPose& pose) { return pose.indifferent ? indifferent_within_g_mm : 0; }

class Laws {
 public:
  Laws(const RandomLure& made, RigCount& count)
      : made_(made), energy_(made.wet(), made.rigged), found_(balance(made.lure)), count_(count) {}

  void hold(int directions, std::uint64_t number) {
    tell_state();
    ASSERT_FALSE(found_.poses.empty());
    if (found_.reserve_g <= 0) {
      hold_under_water();
      return;
    }
    for (const RestPose& pose : found_.poses) {
      hold_at(pose);
      hold_near(pose);
    }
    if (::testing::Test::HasFatalFailure()) return;
    const geometry::Mat3 turn = test_bodies::random_turn(static_cast<unsigned>(number));
    for (const Vec3& up : judge::even_directions(directions, turn)) hold_from(up);
  }

  [[nodiscard]] std::string told() const { return described(found_); }

 private:
  void tell_state() {
    (found_.state == State::floats     ? count_.floated
     : found_.state == State::suspends ? count_.suspended
                                       : count_.sank) += 1;
    count_.poses += static_cast<int>(found_.poses.size());
    if (found_.state == State::floats && found_.poses.front().up.z() < std::cos(60 * degree)) {
      count_.rolled += 1;
    }
  }

  [[nodiscard]] double rounding_g_mm() const { return energy_rounding * energy_.scale_g_mm(); }

  // Under water the energy of a turn about G is -D·BG·cos: B hangs above G.
  void hold_under_water() const {
    ASSERT_EQ(found_.poses.size(), 1U);
    const RestPose& pose = found_.poses.front();
    const Vec3 lever = energy_.centre_of_full_buoyancy_mm() - made_.rigged.centre_of_mass_mm;
    const double least = -energy_.displaced_full_g() * lever.norm();
    EXPECT_NEAR(pose.energy_g_mm, least, 1e-9 * energy_.scale_g_mm());
    if (!pose.indifferent) {
      EXPECT_LT(angle_deg(pose.up, lever.normalized()), pose_within_deg);
    }
  }

  // It carries its weight, nothing turns it, and its energy is what the law says.
  void hold_at(const RestPose& pose) const {
    ASSERT_TRUE(pose.waterline_offset_mm.has_value());
    EXPECT_NEAR(pose.up.norm(), 1, 1e-14);
    EXPECT_NEAR(energy_.excess_g(pose.up, *pose.waterline_offset_mm), 0, 1e-9 * energy_.mass_g());
    const judge::Afloat there = energy_.at(pose.up, pose.waterline_offset_mm);
    EXPECT_NEAR(there.energy_g_mm, pose.energy_g_mm, 1e-10 * energy_.scale_g_mm());
    const double couple =
        std::max(0.0, there.couple_g_mm.norm() - couple_rounding * energy_.scale_g_mm());
    if (pose.indifferent) {
      EXPECT_LT(couple * degree, indifferent_within_g_mm);
    } else {
      EXPECT_GT(pose.least_stiffness_g_mm_per_deg, 0);
      const double turn_deg = couple / pose.least_stiffness_g_mm_per_deg;
      EXPECT_LT(turn_deg, pose_within_deg);
      count_.worst_turn_deg = std::max(count_.worst_turn_deg, turn_deg);
    }
  }

  void hold_near(const RestPose& pose) const {
    const double here = energy_.at(pose.up, pose.waterline_offset_mm).energy_g_mm;
    const Vec3 side = pose.up.unitOrthogonal();
    const Vec3 other = pose.up.cross(side);
    for (const double away_deg : {0.02, 0.1, 0.3, 0.6, 1.0}) {
      for (int i = 0; i < 12; ++i) {
        const double round = (i * 30 + 7 * away_deg) * degree;
        const Vec3 towards = std::cos(round) * side + std::sin(round) * other;
        const Vec3 up = judge::tilted(pose.up, towards, away_deg * degree);
        const double there = energy_.at(up, pose.waterline_offset_mm).energy_g_mm;
        EXPECT_LE(here, there + rounding_g_mm() + slack_g_mm(pose))
            << "at " << away_deg << " deg from tail down " << pose.tail_down_deg;
      }
    }
  }

  void hold_from(const Vec3& up) {
    const RestPose& lowest = *std::min_element(
        found_.poses.begin(), found_.poses.end(),
        [](const RestPose& a, const RestPose& b) { return a.energy_g_mm < b.energy_g_mm; });
    const judge::Afloat start = energy_.at(up);
    EXPECT_LE(lowest.energy_g_mm, start.energy_g_mm + rounding_g_mm() + slack_g_mm(lowest))
        << "up " << up.transpose();
    const judge::Ended ended = judge::downhill(energy_, up);
    count_.descents += 1;
    const RestPose* reached = nullptr;
    for (const RestPose& pose : found_.poses) {
      if (is_at(ended, pose)) reached = &pose;
    }
    EXPECT_NE(reached, nullptr) << "from up " << up.transpose() << " down to "
                                << ended.up.transpose() << ", energy " << ended.there.energy_g_mm
                                << ", couple " << ended.there.couple_g_mm.norm();
    if (reached != nullptr && reached->share == 0) count_.without_share += 1;
  }

  // Of a ring any place will do: only its energy tells.
  [[nodiscard]] bool is_at(const judge::Ended& ended, const RestPose& pose) const {
    if (pose.indifferent) {
      return std::abs(ended.there.energy_g_mm - pose.energy_g_mm) <=
             rounding_g_mm() + indifferent_within_g_mm;
    }
    return angle_deg(ended.up, pose.up) <= same_pose_deg;
  }

  const RandomLure& made_;
  judge::PlainEnergy energy_;
  Balance found_;
  RigCount& count_;
};

}  // namespace

void RigCount::add(const RigCount& other) {
  floated += other.floated;
  suspended += other.suspended;
  sank += other.sank;
  rolled += other.rolled;
  poses += other.poses;
  descents += other.descents;
  without_share += other.without_share;
  worst_turn_deg = std::max(worst_turn_deg, other.worst_turn_deg);
}

void expect_laws(std::uint64_t number, int directions, int least_facets, int most_facets,
                 RigCount& count) {
  const RandomLure made = random_lure(number, least_facets, most_facets);
  SCOPED_TRACE("lure " + std::to_string(number) + ": " + made.told);
  Laws laws(made, count);
  SCOPED_TRACE(laws.told());
  laws.hold(directions, number);
}

void expect_laws_of_all(std::uint64_t first, int how_many, int directions, int least_facets,
                        int most_facets) {
  RigCount count;
  for (int i = 0; i < how_many; ++i) {
    RigCount one;
    expect_laws(first + static_cast<std::uint64_t>(i), directions, least_facets, most_facets, one);
    count.add(one);
  }
  std::cout << how_many << " lures from number " << first << ": " << count.floated << " floated ("
            << count.rolled << " of them rolled), " << count.suspended << " suspended, "
            << count.sank << " sank; " << count.poses << " poses, within " << count.worst_turn_deg
            << " deg of rest; " << count.descents << " descents, " << count.without_share
            << " to a pose without a share\n";
  // A draw that makes only one kind of lure would prove little.
  EXPECT_GT(count.floated, how_many / 2);
  EXPECT_GT(count.sank, 0);
  EXPECT_GT(count.rolled, 0);
  EXPECT_GT(count.poses, how_many);
}

}  // namespace trueblank::water
