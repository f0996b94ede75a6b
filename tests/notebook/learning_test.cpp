// SPDX-License-Identifier: GPL-3.0-or-later
// What explains how builds lay, on books whose truth is known: figures are formulas, readings are
// drawn with the doubts that are stated.
#include "notebook/learning.h"

#include <gmock/gmock.h>

#include <array>
#include <cmath>
#include <random>

#include "notebook/invented_book.h"

namespace trueblank::tests {
namespace {

using notebook::Cause;
using notebook::CauseKind;
using notebook::Learned;
using notebook::LearningEnd;

constexpr std::array<double, 4> nothing_off = {0, 0, 0, 0};

// How often a share may be counted in `books` before it is over its level: three standard
// deviations of the count.
double most_of(int books, double level) {
  return level + 3 * std::sqrt(level * (1 - level) / books);
}

double share_named(int books, int builds, const Tub& tub) {
  int named = 0;
  for (int seed = 0; seed < books; ++seed) {
    const InventedBook book =
        invented_book(builds, nothing_off, tub, static_cast<std::uint64_t>(seed));
    if (!book.learn().named.empty()) ++named;
  }
  return static_cast<double>(named) / books;
}

TEST(Learning, NamesNothingInNoiseMoreOftenThanItsLevel) {
  for (const int builds : {2, 3, 5, 12}) {
    EXPECT_LE(share_named(1000, builds, {}), most_of(1000, 0.05)) << builds << " builds";
  }
}

TEST(Learning, NamesNothingInNoiseThatIsTwiceWhatIsStated) {
  for (const int builds : {3, 5, 12}) {
    EXPECT_LE(share_named(1000, builds, {.noise = 2}), most_of(1000, 0.05)) << builds << " builds";
  }
}

// Each build's figures scatter about what is foretold, the same in all of its trials.
double share_named_of_scattered(int books, bool scatter_told) {
  notebook::FigureScatter scatter = notebook::FigureScatter::Zero();
  scatter(0, 0) = 1;    // reserve, g²
  scatter(1, 1) = 4;    // tail_down, degrees²
  scatter(0, 1) = 1.2;  // and as one goes, so does mostly the other
  scatter(1, 0) = 1.2;
  int named = 0;
  for (int seed = 0; seed < books; ++seed) {
    InventedBook book = invented_book(5, nothing_off, {}, static_cast<std::uint64_t>(seed));
    Normal normal(static_cast<std::uint64_t>(seed) + 5000);
    for (std::size_t i = 0; i < book.builds.size(); ++i) {
      const double reserve_g = normal(1);
      const double tail_down_deg = 1.2 * reserve_g + normal(std::sqrt(4 - 1.2 * 1.2));
      book.builds[i].tank.clear();
      for (int number = 1; number <= 4; ++number) {
        notebook::TankRecord record = tried(book.lures[i], book, nothing_off, {}, normal);
        record.number = number;
        *record.sank_with_g += reserve_g / (1 - 1 / lead_g_cm3);
        *record.tail_down_deg += tail_down_deg;
        book.builds[i].tank.push_back(record);
      }
    }
    notebook::Foretelling foretelling = book.foretelling();
    if (scatter_told) foretelling.scatter = [&](std::size_t) { return scatter; };
    if (!notebook::learn(book.builds, book.causes, foretelling, book.options).named.empty()) {
      ++named;
    }
  }
  return static_cast<double>(named) / books;
}

TEST(Learning, TakesABuildsOwnScatterForNoCause) {
  EXPECT_LE(share_named_of_scattered(500, true), most_of(500, 0.05));
  // So it would, were each trial taken for a build of its own.
  EXPECT_GT(share_named_of_scattered(500, false), 0.2);
}

// Two priors each: further out the prior pulls an estimate back by more than its doubt says.
TEST(Learning, NamesWhatIsPlantedAndItsDoubtHolds) {
  constexpr std::array<double, 4> planted = {1, 6, 4, 0.2};
  for (std::size_t cause = 0; cause < 4; ++cause) {
    int named_first = 0;
    int held = 0;
    constexpr int books = 200;
    for (int seed = 0; seed < books; ++seed) {
      std::array<double, 4> off = nothing_off;
      off[cause] = planted[cause];
      const Learned learned = invented_book(6, off, {}, static_cast<std::uint64_t>(seed)).learn();
      if (learned.named.empty() || learned.named.front().found.cause != cause) continue;
      ++named_first;
      const notebook::Estimate& found = learned.named.front().found;
      if (std::abs(found.value - planted[cause]) <= 2 * found.sd) ++held;
    }
    EXPECT_GE(named_first, 0.9 * books) << "cause " << cause;
    EXPECT_GE(held, 0.9 * named_first) << "cause " << cause;
  }
}

// All causes drawn as the priors have them: then the doubts hold as often as normal ones do.
TEST(Learning, DoubtsOfAllCausesHoldOverManyBooks) {
  const std::vector<Cause> causes = four_causes();
  std::array<int, 4> within_one = {};
  std::array<int, 4> within_two = {};
  constexpr int books = 400;
  for (int seed = 0; seed < books; ++seed) {
    Normal normal(static_cast<std::uint64_t>(seed) + 77);
    std::array<double, 4> off = {};
    for (std::size_t i = 0; i < 4; ++i) off[i] = normal(causes[i].prior_sd);
    const Learned learned = invented_book(5, off, {}, static_cast<std::uint64_t>(seed)).learn();
    for (const notebook::Estimate& one : learned.all) {
      const double miss = std::abs(one.value - off[one.cause]);
      if (miss <= one.sd) ++within_one[one.cause];
      if (miss <= 2 * one.sd) ++within_two[one.cause];
    }
  }
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_GE(within_two[i], 0.9 * books) << "cause " << i;
    EXPECT_GE(within_one[i], 0.6 * books) << "cause " << i;   // 68 % of a normal
    EXPECT_LE(within_one[i], 0.85 * books) << "cause " << i;  // nor are they too wide
  }
}

// Source: one cause and one reading a build: Σs·y/σ² over Σs²/σ² + 1/τ² (ridge regression), once at
// the stated doubts, then with these as wide as what is left scatters (Birge's ratio).
TEST(Learning, OfOneCauseIsTheClosedForm) {
  for (std::uint64_t seed = 0; seed < 12; ++seed) {
    InventedBook book =
        invented_book(5, std::array<double, 4>{0, 0, 0, 0.4}, {.angles = false}, seed);
    book.causes = {four_causes()[3]};
    const double in_water = 1 - 1 / lead_g_cm3;
    std::vector<double> slopes;
    std::vector<double> off;
    for (std::size_t i = 0; i < book.lures.size(); ++i) {
      notebook::TankRecord& record = book.builds[i].tank[0];
      record.mass_before_g.reset();
      record.mass_after_g.reset();
      slopes.push_back(-book.lures[i].hooks);  // a gram a hook
      off.push_back(in_water * *record.sank_with_g - *formula_figures(book.lures[i], {}, {}, 0)[0]);
    }
    double value = 0;
    double sd = 0;
    double left = 0;
    const auto fit = [&](double variance) {
      double information = 1 / (0.1 * 0.1);
      double pull = 0;
      for (std::size_t i = 0; i < off.size(); ++i) {
        information += slopes[i] * slopes[i] / variance;
        pull += slopes[i] * off[i] / variance;
      }
      value = pull / information;
      sd = 1 / std::sqrt(information);
      left = 0;
      for (std::size_t i = 0; i < off.size(); ++i) left += std::pow(off[i] - slopes[i] * value, 2);
    };
    const double variance = std::pow(in_water * 0.2, 2);
    fit(variance);
    const double birge = std::max(1.0, left / variance / 4);
    fit(variance * birge);
    const Learned learned = book.learn();
    ASSERT_EQ(learned.named.size(), 1U) << seed;
    EXPECT_NEAR(learned.scatter, std::sqrt(birge), 1e-6) << seed;
    EXPECT_NEAR(learned.named[0].found.value, value, 1e-9) << seed;
    EXPECT_NEAR(learned.named[0].found.sd, sd, 1e-9) << seed;
    EXPECT_NEAR(learned.squares_after, left / variance, 1e-6) << seed;
  }
}

TEST(Learning, NamesNoMoreThanTheBuildsCarry) {
  const std::array<double, 4> all_off = {3, 20, 12, 1};
  for (const int builds : {1, 2, 3, 4, 6}) {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
      const Learned learned = invented_book(builds, all_off, {}, seed).learn();
      EXPECT_LE(static_cast<int>(learned.named.size()), builds - 1) << seed;
      EXPECT_EQ(learned.builds, builds);
    }
  }
}

TEST(Learning, OfOneReadingInEachOfTwoBuildsNamesAtMostOne) {
  const InventedBook book =
      invented_book(2, std::array<double, 4>{3, 20, 0, 1}, {.angles = false, .soak = false}, 5);
  const Learned learned = book.learn();
  EXPECT_EQ(learned.readings, 2);
  EXPECT_LE(learned.named.size(), 1U);
}

TEST(Learning, OfOneRecordAloneNamesNothing) {
  const Learned learned = invented_book(1, std::array<double, 4>{3, 0, 0, 0}, {}, 1).learn();
  EXPECT_TRUE(learned.named.empty());
  EXPECT_EQ(learned.end, LearningEnd::no_more_fit);
  EXPECT_EQ(learned.builds, 1);
  EXPECT_EQ(learned.readings, 5);
  EXPECT_THAT(learned.values, testing::Each(0.0));
}

TEST(Learning, OfNoBuildsHasNothingToSay) {
  const InventedBook book = invented_book(0, nothing_off, {}, 1);
  const Learned learned = book.learn();
  EXPECT_EQ(learned.end, LearningEnd::no_readings);
  EXPECT_TRUE(learned.named.empty());
  EXPECT_EQ(learned.scatter, 1);
  ASSERT_EQ(learned.all.size(), 4U);
  EXPECT_NEAR(learned.all[1].sd, 3, 1e-12);  // what was known beforehand
}

// One lure tried twice, with readings that can't both be right.
TEST(Learning, OfRecordsThatContradictEachOtherSaysSo) {
  InventedBook book = invented_book(4, nothing_off, {}, 8);
  notebook::TankRecord other = book.builds[0].tank[0];
  other.number = 2;
  *other.sank_with_g += 12;
  *other.tail_down_deg -= 20;
  book.builds[0].tank.push_back(other);
  const Learned learned = book.learn();
  EXPECT_TRUE(learned.named.empty());
  EXPECT_GT(learned.scatter, 5);
  ASSERT_EQ(learned.doubtful.size(), 2U);
  EXPECT_EQ(learned.doubtful[0].build, 0U);
  EXPECT_EQ(learned.doubtful[0].tank_record, 2);
  EXPECT_EQ(learned.doubtful[0].figure, notebook::Figure::reserve_g);
  EXPECT_EQ(learned.doubtful[1].figure, notebook::Figure::tail_down_deg);
}

TEST(Learning, TakesWhatIsThereOfRecordsThatMissFigures) {
  InventedBook book = invented_book(9, std::array<double, 4>{0, 9, 0, 0}, {}, 4);
  book.builds[0].tank[0] = {.number = 1, .notes = "lost in the reeds"};
  book.builds[1].tank.clear();
  book.builds[2].tank[0].sank_with_g.reset();
  book.builds[3].tank[0].tail_down_deg.reset();
  book.builds[4].tank[0].list_deg.reset();
  book.builds[5].tank[0].mass_after_g.reset();
  const Learned learned = book.learn();
  EXPECT_EQ(learned.builds, 7);
  EXPECT_EQ(learned.readings, 7 * 5 - 4);
  ASSERT_EQ(learned.named.size(), 1U);
  EXPECT_EQ(learned.named[0].found.cause, 1U);
  EXPECT_NEAR(learned.named[0].found.value, 9, 3 * learned.named[0].found.sd);
}

TEST(Learning, SaysTheSameTwice) {
  const InventedBook book = invented_book(7, std::array<double, 4>{1.5, 0, 3, 0}, {}, 11);
  const Learned one = book.learn();
  const Learned other = book.learn();
  ASSERT_FALSE(one.named.empty());
  EXPECT_EQ(one.values, other.values);
  EXPECT_TRUE((one.covariance.array() == other.covariance.array()).all());
  EXPECT_TRUE((one.all_correlation.array() == other.all_correlation.array()).all());
}

// Water in the wood weighs as denser wood does: only the scale before and after the soak tells one
// from the other.
TEST(Learning, SaysWhichCausesTheRecordsDoNotTellApart) {
  const std::array<double, 4> dense = {0, 12, 0, 0};
  InventedBook book = invented_book(6, dense, {.soak = false}, 2);
  // Two causes that these records tell alike.
  book.causes = {four_causes()[1], four_causes()[2]};
  const Learned learned = book.learn();
  ASSERT_EQ(learned.alike.size(), 1U);
  EXPECT_EQ(learned.alike[0], (std::array<std::size_t, 2>{0, 1}));
  ASSERT_EQ(learned.named.size(), 1U);
  InventedBook weighed = invented_book(6, dense, {}, 2);
  weighed.causes = book.causes;
  EXPECT_TRUE(weighed.learn().alike.empty());
}

TEST(Learning, NamesTheOtherCausesThatWouldDoAsWell) {
  InventedBook book = invented_book(6, std::array<double, 4>{0, 6, 0, 0}, {.soak = false}, 2);
  book.causes = {{.kind = CauseKind::wood_density_percent, .prior_sd = 3},
                 {.kind = CauseKind::wood_density_percent, .wood = "balsa", .prior_sd = 3}};
  const Learned learned = book.learn();
  ASSERT_EQ(learned.named.size(), 1U);
  EXPECT_EQ(learned.named[0].found.cause, 0U);  // the first of two that are alike
  ASSERT_EQ(learned.named[0].or_else.size(), 1U);
  EXPECT_EQ(learned.named[0].or_else[0].cause, 1U);
  EXPECT_NEAR(learned.named[0].or_else[0].value, learned.named[0].found.value, 1e-6);
  // Each by itself is known well; how much of it is one and how much the other is not.
  EXPECT_GT(learned.all[0].sd, 1.4 * learned.named[0].found.sd);
  EXPECT_LT(learned.all_correlation(0, 1), -0.8);
}

TEST(Learning, NeverNamesWaterThatLeavesTheWood) {
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    InventedBook book = invented_book(6, std::array<double, 4>{0, 0, -5, 0}, {}, seed);
    book.causes = {four_causes()[2]};
    for (std::size_t i = 0; i < book.builds.size(); ++i) {
      notebook::TankRecord& record = book.builds[i].tank[0];
      record.mass_after_g = *record.mass_before_g - 1;
    }
    EXPECT_TRUE(book.learn().named.empty());
  }
}

// Whatever is missing or wild, what is told is finite and no more than the records carry.
TEST(Learning, OfWildRecordsTellsFiniteFigures) {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    std::mt19937_64 engine(seed);
    const auto chance = [&](double share) {
      return std::uniform_real_distribution<double>(0, 1)(engine) < share;
    };
    InventedBook book = invented_book(static_cast<int>(seed % 6), nothing_off, {}, seed);
    for (notebook::ListedBuild& build : book.builds) {
      notebook::TankRecord& record = build.tank[0];
      if (chance(0.3)) record.sank_with_g.reset();
      if (chance(0.3)) record.tail_down_deg.reset();
      if (chance(0.3)) record.list_deg = 200 * (chance(0.5) ? 1 : -1);
      if (chance(0.3)) record.mass_before_g.reset();
      if (chance(0.2)) record.tail_down_sd_deg = 0;
      if (chance(0.2)) record.sank_with_g = 1e6;
      if (chance(0.2)) record.sank_sd_g = 1e-9;
      if (chance(0.3)) build.tank.push_back(record);
      if (chance(0.1)) build.tank.clear();
    }
    notebook::Foretelling foretelling = book.foretelling();
    if (seed % 2 == 0) {
      foretelling.scatter = [](std::size_t) {
        return notebook::FigureScatter(notebook::FigureScatter::Identity());
      };
    }
    const Learned learned = notebook::learn(book.builds, book.causes, foretelling, book.options);
    EXPECT_LE(learned.named.size(), static_cast<std::size_t>(std::max(0, learned.builds - 1)));
    for (const notebook::Estimate& one : learned.all) {
      EXPECT_TRUE(std::isfinite(one.value) && one.sd > 0) << seed;
    }
    EXPECT_TRUE(learned.all_correlation.allFinite()) << seed;
    EXPECT_TRUE(std::isfinite(learned.scatter) && learned.scatter >= 1) << seed;
  }
}

// Source: two readings that agree, both free of doubt, say of a build that scatters what one says.
TEST(Learning, CountsABuildOnceHoweverOftenItIsReadWithoutDoubt) {
  InventedBook book = invented_book(5, std::array<double, 4>{0, 0, 0, 0.4},
                                    {.sank_sd_g = 1e-9, .angles = false, .soak = false}, 6);
  book.causes = {four_causes()[3]};
  notebook::Foretelling foretelling = book.foretelling();
  foretelling.scatter = [](std::size_t) {
    notebook::FigureScatter scatter = notebook::FigureScatter::Zero();
    scatter(0, 0) = 0.04;
    return scatter;
  };
  const auto learned = [&] {
    return notebook::learn(book.builds, book.causes, foretelling, book.options);
  };
  const Learned once = learned();
  for (notebook::ListedBuild& build : book.builds) build.tank.resize(3, build.tank[0]);
  const Learned thrice = learned();
  ASSERT_EQ(once.named.size(), 1U);
  ASSERT_EQ(thrice.named.size(), 1U);
  EXPECT_NEAR(thrice.named[0].found.value, once.named[0].found.value, 1e-6);
  EXPECT_NEAR(thrice.named[0].found.sd, once.named[0].found.sd, 1e-6);
  // Where they don't agree the build's scatter is no excuse.
  *book.builds[2].tank[1].sank_with_g += 0.05;
  EXPECT_GT(learned().scatter, 10);
}

}  // namespace
}  // namespace trueblank::tests
