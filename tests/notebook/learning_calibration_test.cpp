// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/learning_calibration.h"

#include <gmock/gmock.h>

#include <array>
#include <cmath>

#include "notebook/invented_book.h"

namespace trueblank::tests {
namespace {

using notebook::Calibration;
using notebook::Figure;
using notebook::Hindsight;
using notebook::KnownThen;

std::vector<Hindsight> hindsight_of(const InventedBook& book,
                                    KnownThen known = KnownThen::other_builds) {
  return notebook::hindsight(book.builds, book.causes, book.foretelling(), known, book.options);
}

TEST(Calibration, SaysHowFarOffTheLastSixWere) {
  std::vector<Hindsight> all;
  const std::array<double, 8> off = {9, -0.3, 1.9, -1.2, 0.1, 0.8, -1.1, 0.4};
  for (std::size_t i = 0; i < off.size(); ++i) {
    all.push_back({.build = i,
                   .figure = Figure::tail_down_deg,
                   .off = off[i],
                   .off_by_sheet = 2 * off[i],
                   .sd = 0.9});
  }
  all.push_back({.build = 9, .figure = Figure::list_deg, .off = -0.5, .off_by_sheet = 1, .sd = 1});
  const std::vector<Calibration> found = notebook::calibration(all);
  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0].figure, Figure::tail_down_deg);
  EXPECT_EQ(found[0].builds, 6);
  EXPECT_DOUBLE_EQ(found[0].within, 1.9);  // the 9 and the -0.3 are of before
  EXPECT_DOUBLE_EQ(found[0].within_by_sheet, 3.8);
  EXPECT_DOUBLE_EQ(found[0].median, 0.95);  // of 0.1 0.4 0.8 1.1 1.2 1.9
  EXPECT_EQ(found[0].held, 5);              // 1.9 is over 2·0.9
  EXPECT_DOUBLE_EQ(found[0].chance_next, 6.0 / 7);
  EXPECT_EQ(found[1].figure, Figure::list_deg);
  EXPECT_EQ(found[1].builds, 1);
  EXPECT_DOUBLE_EQ(found[1].within, 0.5);
  EXPECT_TRUE(notebook::calibration({}).empty());
}

// A build's own records have no part in how it is foretold: whatever is read of it, what was
// foretold stays.
TEST(Hindsight, LeavesABuildsOwnRecordsOut) {
  InventedBook book = invented_book(6, std::array<double, 4>{0, 9, 0, 0}, {}, 3);
  const auto foretold = [&](Figure figure) {
    for (const Hindsight& one : hindsight_of(book)) {
      if (one.build == 2 && one.figure == figure) {
        return *book.builds[2].tank[0].tail_down_deg - one.off;
      }
    }
    return std::nan("");
  };
  const double before = foretold(Figure::tail_down_deg);
  *book.builds[2].tank[0].tail_down_deg += 3;
  *book.builds[2].tank[0].sank_with_g += 2;
  EXPECT_NEAR(foretold(Figure::tail_down_deg), before, 1e-3);
}

TEST(Hindsight, OfTheFirstBuildKnowsTheSheetAloneWhereOnlyEarlierOnesCount) {
  const InventedBook book = invented_book(6, std::array<double, 4>{0, 9, 0, 0}, {}, 3);
  const std::vector<Hindsight> all = hindsight_of(book, KnownThen::earlier_builds);
  ASSERT_EQ(all.size(), 30U);
  for (const Hindsight& one : all) {
    if (one.build > 1) continue;  // of one build no cause is named
    EXPECT_EQ(one.off, one.off_by_sheet);
  }
  // The last has learnt: its mass comes nearer than by the sheet.
  EXPECT_LT(std::abs(all[28].off), std::abs(all[28].off_by_sheet));
  EXPECT_EQ(all[28].figure, Figure::mass_g);
}

TEST(Hindsight, TellsOneLineOfABuildThatWasTriedTwice) {
  InventedBook book = invented_book(3, std::array<double, 4>{}, {}, 3);
  notebook::TankRecord again = book.builds[1].tank[0];
  again.number = 2;
  *again.tail_down_deg += 4;
  book.builds[1].tank.push_back(again);
  int lines = 0;
  for (const Hindsight& one : hindsight_of(book)) {
    if (one.build != 1 || one.figure != Figure::tail_down_deg) continue;
    ++lines;
    EXPECT_NEAR(std::abs(one.off),
                std::max(std::abs(*again.tail_down_deg - 8), std::abs(*again.tail_down_deg - 12)),
                1e-9);
  }
  EXPECT_EQ(lines, 1);
}

// Over many books: what is learnt brings predictions nearer, two stated standard deviations hold
// nine times in ten, and the next build is within as often as is said.
TEST(Hindsight, HoldsOverManyBooks) {
  int builds = 0;
  int held = 0;
  double squares = 0;
  double squares_by_sheet = 0;
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    const InventedBook book = invented_book(7, std::array<double, 4>{1, 6, 0, 0}, {}, seed);
    for (const Hindsight& one : hindsight_of(book)) {
      if (one.figure != Figure::reserve_g) continue;
      ++builds;
      if (std::abs(one.off) <= 2 * one.sd) ++held;
      squares += one.off * one.off;
      squares_by_sheet += one.off_by_sheet * one.off_by_sheet;
    }
  }
  EXPECT_EQ(builds, 420);
  EXPECT_GE(held, 0.9 * builds);
  EXPECT_LT(squares, 0.5 * squares_by_sheet);
}

TEST(Calibration, TellsHowOftenTheNextIsWithin) {
  int within = 0;
  constexpr int books = 600;
  for (int seed = 0; seed < books; ++seed) {
    const InventedBook book =
        invented_book(7, std::array<double, 4>{}, {}, static_cast<std::uint64_t>(seed));
    std::vector<Hindsight> all = hindsight_of(book);
    std::vector<Hindsight> last;
    std::erase_if(all, [&](const Hindsight& one) {
      if (one.build == 6) last.push_back(one);
      return one.build == 6;
    });
    const Calibration said = notebook::calibration(all)[1];
    ASSERT_EQ(said.figure, Figure::tail_down_deg);
    ASSERT_EQ(said.builds, 6);
    if (std::abs(last[1].off) <= said.within) ++within;
  }
  // 6/7 by symmetry, give or take three standard deviations of the count.
  const double share = static_cast<double>(within) / books;
  EXPECT_NEAR(share, 6.0 / 7, 3 * std::sqrt(6.0 / 49 / books));
}

}  // namespace
}  // namespace trueblank::tests
