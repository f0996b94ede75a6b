// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/materials.h"

#include <gtest/gtest.h>

#include <string>

namespace trueblank::rig {
namespace {

struct Row {
  const char* name;
  double density_g_cm3;
};

// The names and figures that a sheet may count on. Sources: materials.cpp, row by row.
TEST(Materials, HaveTheDensitiesThatASheetCountsOn) {
  for (const Row& row :
       {Row{"lead", 11.34}, Row{"tungsten", 19.3}, Row{"steel", 7.85}, Row{"stainless steel", 7.9},
        Row{"brass", 8.5}, Row{"zinc", 7.13}, Row{"tin", 7.29}, Row{"bismuth", 9.79},
        Row{"glass", 2.5}, Row{"epoxy", 1.15}}) {
    const std::optional<Material> found = find_material(row.name);
    ASSERT_TRUE(found) << row.name;
    EXPECT_EQ(found->density_g_cm3, row.density_g_cm3) << row.name;
    EXPECT_EQ(found->name, row.name);
  }
}

struct Range {
  const char* name;
  double from;
  double to;
};

// Physical ranges, so that a slip of a digit is caught (a textbook prints tungsten as 1.9, a web
// list as 19.6). Alloys: ASTM B777-15, table 1. Tungsten, bismuth, resins and plastics: from
// memory.
TEST(Materials, LieInTheirPhysicalRange) {
  const Range ranges[] = {
      {"lead", 11.3, 11.36},
      {"tungsten", 19.2, 19.35},
      {"tungsten alloy class 1", 16.85, 17.30},
      {"tungsten alloy class 2", 17.15, 17.85},
      {"tungsten alloy class 3", 17.75, 18.35},
      {"tungsten alloy class 4", 18.25, 18.85},
      {"steel", 7.75, 7.9},
      {"stainless steel", 7.7, 8.05},
      {"stainless steel 304", 7.9, 7.9},
      {"stainless steel 316", 8.0, 8.0},
      {"stainless spring wire", 7.7, 8.05},
      {"brass", 8.4, 8.7},
      {"zinc", 7.1, 7.15},
      {"tin", 7.26, 7.31},
      {"bismuth", 9.7, 9.81},
      {"bismuth-tin alloy", 8.5, 8.75},
      {"glass", 2.4, 2.8},
      {"epoxy", 1.10, 1.20},
      {"polyurethane resin", 1.03, 1.10},
      {"ABS", 1.02, 1.21},
      {"PLA", 1.2, 1.27},
  };
  for (const Range& range : ranges) {
    const std::optional<Material> found = find_material(range.name);
    ASSERT_TRUE(found) << range.name;
    EXPECT_GE(found->density_g_cm3, range.from) << range.name;
    EXPECT_LE(found->density_g_cm3, range.to) << range.name;
  }
  EXPECT_EQ(std::size(ranges), materials().size()) << "every row has its range";
}

// Source: Wood Handbook, FPL-GTR-190, tables 5-3 and 5-5, as ρ at 12 % in kg/m³, rounded to 1.
TEST(Woods, HaveTheDensityOfTheHandbookAtTwelvePercent) {
  const Row rows[] = {
      {"western redcedar", 358},
      {"American basswood", 414},
      {"yellow-poplar", 470},
      {"eastern white pine", 392},
      {"western white pine", 426},
      {"sugar pine", 403},
      {"northern white-cedar", 347},
      {"white ash", 672},
      {"sugar maple", 706},
      {"American beech", 717},
      {"white oak", 762},
      {"teak", 675},
      {"Spanish-cedar", 491},
      {"balsa", 184},
      {"jelutong", 428},
      {"true mahogany", 543},
      {"obeche", 353},
      {"paulownia", 318},
  };
  for (const Row& row : rows) {
    const std::optional<Wood> found = find_wood(row.name);
    ASSERT_TRUE(found) << row.name;
    EXPECT_NEAR(1000 * found->density_g_cm3, row.density_g_cm3, 0.5) << row.name;
  }
  EXPECT_EQ(std::size(rows), woods().size()) << "every row is checked";
}

// Source: 1.120 × G12 exactly, since G12 is oven-dry mass over the volume at 12 %.
TEST(WesternRedcedar, IsTwelvePercentAboveItsTabulatedGravity) {
  EXPECT_DOUBLE_EQ(find_wood("western redcedar")->density_g_cm3, 0.3584);
}

// Source: density of balsa 130 to 220 kg/m³ (Chudnoff, Tropical Timbers of the World, 1984,
// second-hand); oven-dry woods 160 to some 1040 kg/m³ (Wood Handbook, chapter 4).
TEST(Woods, LieInTheRangeOfWoods) {
  for (const Wood& wood : woods()) {
    EXPECT_GT(wood.density_g_cm3, 0.13) << wood.name;
    EXPECT_LT(wood.density_g_cm3, 1.05) << wood.name;
  }
}

// Source: Wood Handbook, chapter 4, worked example: white ash, basic gravity 0.55, 12 %: 675 kg/m³.
TEST(WoodDensity, MeetsTheHandbooksWhiteAsh) {
  EXPECT_NEAR(1000 * wood_density_g_cm3(0.55, 12), 675, 0.5);
}

// Source: by hand: no shrinkage at fibre saturation, so gravity × 1.3; Gb 0.5 bone dry shrinks by
// 13.25 %.
TEST(WoodDensity, IsGreenAtThirtyPercentAndShrunkWhenDry) {
  EXPECT_DOUBLE_EQ(wood_density_g_cm3(0.5, 30), 0.65);
  EXPECT_DOUBLE_EQ(wood_density_g_cm3(0.5, 0), 0.5 / 0.8675);
}

TEST(Names, MindNeitherCapitalsNorHyphensNorSpaces) {
  EXPECT_EQ(find_wood("Yellow  Poplar")->name, "yellow-poplar");
  EXPECT_EQ(find_wood("western red cedar")->name, "western redcedar");
  EXPECT_EQ(find_wood("SPANISH CEDAR")->name, "Spanish-cedar");
  EXPECT_EQ(find_material(" Stainless-Steel ")->name, "stainless steel");
}

TEST(Names, MayStandAsInAnIndexOrInShort) {
  EXPECT_EQ(find_wood("basswood")->name, "American basswood");
  EXPECT_EQ(find_wood("basswood, American")->name, "American basswood");
  EXPECT_EQ(find_wood("mahogany")->name, "true mahogany");
  EXPECT_EQ(find_wood("mahogany, true")->name, "true mahogany");
}

// A sheet may say anything; a call for each comma ran over the stack.
TEST(Names, MayBeAMillionCommas) {
  EXPECT_FALSE(find_wood(std::string(1'000'000, ',')).has_value());
  EXPECT_FALSE(find_material(std::string(1'000'000, ',')).has_value());
  EXPECT_EQ(find_wood(std::string(1'000'000, ',') + "mahogany, true")->name, "true mahogany");
}

TEST(Names, ThatAreNotInTheTableGiveNothing) {
  EXPECT_FALSE(find_wood("ironwood"));
  EXPECT_FALSE(find_wood(""));
  EXPECT_FALSE(find_material("western redcedar"));
  EXPECT_FALSE(find_material("leed"));
  EXPECT_FALSE(find_material(","));
}

TEST(Tables, SayWhereEveryFigureComesFrom) {
  for (const Wood& wood : woods()) EXPECT_GT(wood.source.size(), 10U) << wood.name;
  for (const Material& material : materials()) EXPECT_GT(material.source.size(), 10U);
}

}  // namespace
}  // namespace trueblank::rig
