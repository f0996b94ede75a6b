// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/ratios.h"

#include <gmock/gmock.h>

#include <string>
#include <vector>

namespace trueblank::tests {
namespace {

using notebook::BuildFacts;
using notebook::Reach;

// Invented builds: a blank of `blank_g` with weights of `weight_g`, hooks of 4 g among them.
BuildFacts build(const std::string& wood, const std::string& kind, double blank_g, double weight_g,
                 water::State state = water::State::floats) {
  BuildFacts facts;
  facts.kind = kind;
  notebook::Figures& figures = facts.figures;
  figures.wood = wood;
  figures.state = state;
  figures.undrilled_wood_g = blank_g;
  figures.wire_g = 0.25 * (weight_g - 4);
  figures.ballast_g = 0.75 * (weight_g - 4);
  figures.pocket_g = 0;
  figures.hooks_g = 4;
  figures.outside_g = 0;
  figures.mass_g = blank_g + weight_g;
  figures.reserve_g = 0.1 * (blank_g + weight_g);
  figures.least_stiffness_g_mm_per_deg = 0.02 * (blank_g + weight_g);
  return facts;
}

// Source: the definitions of CONTRACT's ratio_g_per_100g_wood, and plain division.
TEST(Ratios, OfABuildAreGramsPerHundred) {
  BuildFacts facts = build("balsa", "slim", 20, 24);
  facts.figures.pocket_g = 1;
  facts.figures.outside_g = 2;
  const notebook::Ratios ratios = notebook::ratios_of(facts.figures);
  EXPECT_DOUBLE_EQ(*ratios.weight_g_per_100g_wood, 135);
  EXPECT_DOUBLE_EQ(*ratios.weight_without_hooks_g_per_100g_wood, 115);
  EXPECT_DOUBLE_EQ(*ratios.wire_percent, 25);
  EXPECT_DOUBLE_EQ(*ratios.reserve_g_per_100g, 10);
  EXPECT_DOUBLE_EQ(*ratios.least_stiffness_g_mm_per_deg_per_100g, 2);
}

TEST(Ratios, AreNotMadeUpWhereAFigureIsMissing) {
  BuildFacts facts = build("balsa", "slim", 20, 24);
  facts.figures.hooks_g.reset();
  EXPECT_FALSE(notebook::ratios_of(facts.figures).weight_g_per_100g_wood);
  EXPECT_TRUE(notebook::ratios_of(facts.figures).weight_without_hooks_g_per_100g_wood);
  facts.figures.undrilled_wood_g = 0;
  EXPECT_FALSE(notebook::ratios_of(facts.figures).weight_without_hooks_g_per_100g_wood);
  facts.figures.wire_g = 0;
  facts.figures.ballast_g = 0;
  EXPECT_FALSE(notebook::ratios_of(facts.figures).wire_percent);
  const notebook::Ratios none = notebook::ratios_of({});
  EXPECT_FALSE(none.reserve_g_per_100g);
  EXPECT_FALSE(none.least_stiffness_g_mm_per_deg_per_100g);
}

TEST(RatioGroups, AreAllThenByWoodThenByKindThenByBoth) {
  const std::vector<BuildFacts> builds = {
      build("basswood", "stout", 30, 33), build("balsa", "slim", 20, 24),
      build("balsa", "stout", 25, 25), build("", "slim", 10, 9)};
  std::vector<std::string> names;
  std::vector<int> counts;
  for (const notebook::RatioGroup& group : notebook::ratio_groups(builds)) {
    names.push_back(group.wood.value_or("*") + "/" + group.kind.value_or("*"));
    counts.push_back(group.builds);
  }
  EXPECT_THAT(names, testing::ElementsAre("*/*", "balsa/*", "basswood/*", "*/slim", "*/stout",
                                          "balsa/slim", "balsa/stout", "basswood/stout"));
  EXPECT_THAT(counts, testing::ElementsAre(4, 2, 1, 2, 2, 1, 1, 1));
  EXPECT_TRUE(notebook::ratio_groups({}).empty());
}

TEST(RatioGroups, CountOnlyBuildsThatHaveTheFigure) {
  std::vector<BuildFacts> builds = {build("balsa", "", 20, 24), build("balsa", "", 20, 26),
                                    build("balsa", "", 20, 28)};
  builds[1].figures.least_stiffness_g_mm_per_deg.reset();
  const notebook::RatioGroup all = notebook::ratio_groups(builds).front();
  EXPECT_EQ(all.builds, 3);
  EXPECT_EQ(all.weight_g_per_100g_wood->count, 3);
  EXPECT_DOUBLE_EQ(all.weight_g_per_100g_wood->median, 130);
  EXPECT_DOUBLE_EQ(all.weight_g_per_100g_wood->lower_quartile, 125);
  EXPECT_DOUBLE_EQ(all.weight_g_per_100g_wood->greatest, 140);
  EXPECT_EQ(all.least_stiffness_g_mm_per_deg_per_100g->count, 2);
}

class ThreeOfBalsa : public testing::Test {
 protected:
  // 120, 100 and 140 g per 100 g of wood.
  std::vector<BuildFacts> builds_ = {build("balsa", "slim", 20, 24), build("balsa", "slim", 30, 30),
                                     build("balsa", "stout", 25, 35)};
};

TEST_F(ThreeOfBalsa, SuggestTheirRatiosForANewBlank) {
  const auto found = notebook::suggestion(builds_, {.wood_g = 22, .wood = "balsa"});
  ASSERT_TRUE(found);
  EXPECT_EQ(found->builds, 3);
  EXPECT_FALSE(found->kind_left_out);
  EXPECT_DOUBLE_EQ(found->weight_g.median, 26.4);
  EXPECT_DOUBLE_EQ(found->weight_g.least, 22);
  EXPECT_DOUBLE_EQ(found->weight_g.greatest, 30.8);
  // Without the 4 g of hooks: 100, 86.7 and 124.
  EXPECT_DOUBLE_EQ(found->weight_without_hooks_g.median, 22);
  EXPECT_DOUBLE_EQ(found->lightest_blank_g, 20);
  EXPECT_DOUBLE_EQ(found->heaviest_blank_g, 30);
  EXPECT_EQ(found->reach, Reach::within);
  EXPECT_DOUBLE_EQ(found->chance_within, 0.5);
}

TEST_F(ThreeOfBalsa, SuggestNothingForAnotherWood) {
  EXPECT_FALSE(notebook::suggestion(builds_, {.wood_g = 22, .wood = "basswood"}));
  EXPECT_FALSE(notebook::suggestion(builds_, {.wood_g = 22, .wood = ""}));
}

TEST_F(ThreeOfBalsa, StandInForTheirKindAndItIsSaid) {
  const auto found = notebook::suggestion(builds_, {.wood_g = 22, .wood = "balsa", .kind = "slim"});
  ASSERT_TRUE(found);
  EXPECT_TRUE(found->kind_left_out);
  EXPECT_EQ(found->builds, 3);
  builds_.push_back(build("balsa", "slim", 22, 22));
  const auto of_kind =
      notebook::suggestion(builds_, {.wood_g = 22, .wood = "balsa", .kind = "slim"});
  ASSERT_TRUE(of_kind);
  EXPECT_FALSE(of_kind->kind_left_out);
  EXPECT_EQ(of_kind->builds, 3);
  EXPECT_DOUBLE_EQ(of_kind->weight_g.greatest, 26.4);  // not the stout one's
}

TEST_F(ThreeOfBalsa, SaySoWhereABlankIsBeyondThem) {
  const auto light = notebook::suggestion(builds_, {.wood_g = 15, .wood = "balsa"});
  ASSERT_TRUE(light);
  EXPECT_EQ(light->reach, Reach::lighter);
  EXPECT_DOUBLE_EQ(light->beyond_percent, 25);
  const auto heavy = notebook::suggestion(builds_, {.wood_g = 60, .wood = "balsa"});
  ASSERT_TRUE(heavy);
  EXPECT_EQ(heavy->reach, Reach::heavier);
  EXPECT_DOUBLE_EQ(heavy->beyond_percent, 100);
}

TEST(Suggestion, NeedsThreeBuildsThatTellIt) {
  std::vector<BuildFacts> builds = {build("balsa", "", 20, 24), build("balsa", "", 30, 30)};
  EXPECT_FALSE(notebook::suggestion(builds, {.wood_g = 22, .wood = "balsa"}));
  builds.push_back(build("balsa", "", 25, 35));
  builds.back().figures.ballast_g.reset();
  EXPECT_FALSE(notebook::suggestion(builds, {.wood_g = 22, .wood = "balsa"}));
}

TEST(Suggestion, KeepsFloatersAndSinkersApart) {
  const std::vector<BuildFacts> builds = {build("balsa", "", 20, 24), build("balsa", "", 30, 30),
                                          build("balsa", "", 25, 35),
                                          build("balsa", "", 20, 80, water::State::sinks)};
  const auto floater =
      notebook::suggestion(builds, {.wood_g = 22, .wood = "balsa", .state = water::State::floats});
  ASSERT_TRUE(floater);
  EXPECT_EQ(floater->builds, 3);
  EXPECT_FALSE(
      notebook::suggestion(builds, {.wood_g = 22, .wood = "balsa", .state = water::State::sinks}));
  EXPECT_EQ(notebook::suggestion(builds, {.wood_g = 22, .wood = "balsa"})->builds, 4);
}

}  // namespace
}  // namespace trueblank::tests
