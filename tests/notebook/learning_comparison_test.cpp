// SPDX-License-Identifier: GPL-3.0-or-later
// What was read beside what was foretold, which causes are looked for, and what is expected of the
// next build.
#include <gmock/gmock.h>

#include <array>
#include <cmath>

#include "notebook/invented_book.h"
#include "notebook/learning.h"

namespace trueblank::tests {
namespace {

using notebook::Cause;
using notebook::CauseKind;
using notebook::Learned;

constexpr std::array<double, 4> nothing_off = {0, 0, 0, 0};

TEST(Comparison, LeavesOutALureThatLayInAnotherPose) {
  InventedBook book = invented_book(3, nothing_off, {}, 1);
  book.builds[1].tank[0].list_deg = 170;
  const notebook::Comparison found =
      notebook::compare(book.builds, book.foretelling(), {}, book.options);
  int left_out = 0;
  for (const notebook::Reading& reading : found.readings) {
    if (!reading.other_pose) continue;
    ++left_out;
    EXPECT_EQ(reading.build, 1U);
  }
  EXPECT_EQ(left_out, 2);  // both angles
  EXPECT_EQ(book.learn().readings, 13);
}

TEST(Comparison, TakesListsTheShortWayRound) {
  InventedBook book = invented_book(1, nothing_off, {}, 1);
  book.builds[0].tank = {{.number = 1, .list_deg = -179, .list_sd_deg = 1, .water = plain_water()}};
  notebook::Foretelling upside_down = book.foretelling();
  upside_down.figures = [](std::size_t, const rig::Water&, std::span<const double>) {
    return notebook::FigureSet{5.0, 8.0, 178.0, 40.0, 0.0};
  };
  const notebook::Comparison found = notebook::compare(book.builds, upside_down, {});
  ASSERT_EQ(found.readings.size(), 1U);
  EXPECT_DOUBLE_EQ(found.readings[0].off(), 3);
  EXPECT_FALSE(found.readings[0].other_pose);
}

TEST(Comparison, SaysWhichLuresSankThatWereToFloat) {
  InventedBook book = invented_book(3, nothing_off, {}, 1);
  book.builds[0].tank[0].state = water::State::floats;
  book.builds[1].tank[0].state = water::State::sinks;
  book.builds[2].tank[0].state = water::State::suspends;  // neither here nor there
  const notebook::Comparison found =
      notebook::compare(book.builds, book.foretelling(), {}, book.options);
  EXPECT_EQ(found.states, 2);
  ASSERT_EQ(found.wrong_states.size(), 1U);
  EXPECT_EQ(found.wrong_states[0].build, 1U);
  EXPECT_EQ(found.wrong_states[0].read, water::State::sinks);
  EXPECT_EQ(found.wrong_states[0].foretold, water::State::floats);
}

// Source: what hangs on a lure loses in water what it displaces (Archimedes).
TEST(Comparison, TakesTheLeadsOwnBuoyancyOff) {
  InventedBook book = invented_book(1, nothing_off, {}, 1);
  book.builds[0].tank = {{.number = 1,
                          .sank_with_g = 10,
                          .sank_sd_g = 0.5,
                          .water = {.density_g_cm3 = 1.025, .density_given = true}}};
  const notebook::Comparison found =
      notebook::compare(book.builds, book.foretelling(), {}, book.options);
  ASSERT_EQ(found.readings.size(), 1U);
  EXPECT_NEAR(found.readings[0].read, 10 * (1 - 1.025 / 11.34), 1e-12);
  EXPECT_NEAR(found.readings[0].sd, 0.5 * (1 - 1.025 / 11.34), 1e-12);
}

TEST(Comparison, CountsWhatWasWeighedOnTheBench) {
  InventedBook book = invented_book(1, nothing_off, {}, 1);
  book.builds[0].tank.clear();
  book.builds[0].facts.as_built = notebook::AsBuilt{.total_g = 44.5};
  const notebook::Comparison found =
      notebook::compare(book.builds, book.foretelling(), {}, book.options);
  ASSERT_EQ(found.readings.size(), 1U);
  EXPECT_EQ(found.readings[0].tank_record, 0);
  EXPECT_EQ(found.readings[0].figure, notebook::Figure::mass_g);
  EXPECT_EQ(found.readings[0].read, 44.5);
}

// Source: first-order propagation; the formula lure's reserve falls by a gram a hook.
TEST(Expected, IsTheSheetsWithWhatWasLearntAndItsDoubt) {
  InventedBook book = invented_book(6, std::array<double, 4>{0, 0, 0, 0.4}, {}, 9);
  const Learned learned = book.learn();
  ASSERT_EQ(learned.named.size(), 1U);
  ASSERT_EQ(learned.named[0].found.cause, 3U);
  notebook::Foretelling foretelling = book.foretelling();
  foretelling.scatter = [](std::size_t) {
    notebook::FigureScatter scatter = notebook::FigureScatter::Zero();
    scatter(0, 0) = 0.25;
    return scatter;
  };
  const auto found = notebook::expected(learned, foretelling, 2, plain_water());
  ASSERT_EQ(found.size(), 5U);
  const double hooks = book.lures[2].hooks;
  EXPECT_NEAR(found[0].learned - found[0].by_sheet, -hooks * learned.named[0].found.value, 1e-9);
  EXPECT_NEAR(found[0].sd, std::hypot(learned.scatter * 0.5, hooks * learned.named[0].found.sd),
              1e-9);
}

TEST(Causes, AreOfEachWoodThatWasTriedTwice) {
  InventedBook book = invented_book(5, nothing_off, {}, 1);
  book.builds[3].facts.figures.wood = "basswood";
  book.builds[4].facts.figures.wood = "basswood";
  book.builds[4].tank.clear();  // never tried
  const rig::Tolerances tolerances{.mass_g = 0.2, .wood_density_percent = 4, .scale_percent = 0};
  const std::vector<Cause> causes = notebook::causes_of(book.builds, tolerances);
  ASSERT_EQ(causes.size(), 3U);  // a maker who is sure of the scale is taken at their word
  EXPECT_EQ(causes[0].kind, CauseKind::wood_density_percent);
  EXPECT_EQ(causes[0].wood, "balsa");
  EXPECT_EQ(causes[0].prior_sd, 4);
  EXPECT_EQ(causes[1].kind, CauseKind::water_taken_up_percent);
  EXPECT_EQ(causes[2].kind, CauseKind::hook_mass_g);
  EXPECT_EQ(causes[2].prior_sd, 0.2);
  book.builds.resize(1);
  EXPECT_EQ(notebook::causes_of(book.builds, {})[1].wood, std::nullopt);
}

}  // namespace
}  // namespace trueblank::tests
