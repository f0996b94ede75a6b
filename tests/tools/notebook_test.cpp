// SPDX-License-Identifier: GPL-3.0-or-later
// The notebook as a user keeps it. All builds and trials are invented.
#include <gmock/gmock.h>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;
using Words = std::vector<std::string>;

std::string sheet_of(const std::string& title, const std::string& species) {
  return "title = \"" + title + R"("
[body]
mesh = "blank.stl"           # beside the sheet
nose = "-x"
back = "+z"
[wood]
species = ")" +
         species + R"("
[water]
kind = "sea"
[[ballast]]
name = "belly weight"
at = [75, -7]
mass = 6
metal = "lead"
[[hook]]
name = "belly treble"
eye = [60, -12]
mass = 8
metal = "steel"
hang = 15
)";
}

class Notebook : public Tool {
 protected:
  Notebook() {
    write_stl("blank.stl", test_bodies::pencil(2000));
    write("sheet.toml", sheet_of("Invented pencil", "western redcedar"));
  }

  Words with_book(Words words) const {
    words.insert(words.begin(), "notebook");
    words.insert(words.end(), {"--book", "book.db"});
    return words;
  }

  Json done(const Words& words) { return json_of(with_book(words)); }

  Ran ran(const Words& words) { return run(with_book(words)); }
};

TEST_F(Notebook, ABuildIsKeptWithWhatFloatSaysOfIt) {
  const Json added = done({"add", "sheet.toml", "--notes", "first of two", "--date", "2026-03-01"});
  ASSERT_EQ(added["builds"].size(), 1U);
  const Json& build = added["builds"][0];
  const Json floated = json_of({"float", "sheet.toml"});
  EXPECT_EQ(build["id"], 1);
  EXPECT_EQ(build["added"], "2026-03-01");
  EXPECT_EQ(build["title"], "Invented pencil");
  EXPECT_EQ(build["figures"]["mass_g"], floated["mass_g"]);
  EXPECT_EQ(build["figures"]["reserve_g"], floated["reserve_g"]);
  EXPECT_EQ(build["figures"]["tail_down_deg"], floated["poses"][0]["tail_down_deg"]);
  EXPECT_EQ(build["figures"]["wood"], "western redcedar");
  EXPECT_EQ(added["input"]["file"], "blank.stl");
  const Ran shown = ran({"show", "1"});
  EXPECT_THAT(shown.out, HasSubstr("first of two"));
  EXPECT_THAT(shown.out, HasSubstr("blank.stl"));
}

TEST_F(Notebook, NothingThatABuildIsMadeOfIsWrittenOver) {
  (void)done({"add", "sheet.toml"});
  write("other.stl", read("blank.stl"));
  write("built.toml", "total = 33\n");
  const std::string book = read("book.db");
  for (const std::string over : {"sheet.toml", "blank.stl"}) {
    EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--json", over})),
                HasSubstr("would overwrite"))
        << over;
  }
  EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--mesh", "other.stl", "--as-built",
                                 "built.toml", "--json", "other.stl"})),
              HasSubstr("would overwrite"));
  EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--mesh", "other.stl", "--as-built",
                                 "built.toml", "--json", "built.toml"})),
              HasSubstr("would overwrite"));
  EXPECT_EQ(read("book.db"), book);
}

TEST_F(Notebook, ItStandsWithoutTheFilesThatItWasMadeFrom) {
  (void)done({"add", "sheet.toml"});
  (void)done({"tank", "1", "--tail-down", "6", "--sank-with", "3.5"});
  write("blank.stl", "gone");
  write("sheet.toml", "gone");
  const Json shown = done({"show", "1"});
  EXPECT_EQ(shown["learned"]["readings"], 2);
  EXPECT_TRUE(shown["warnings"].empty());
}

// The tub is fresh water of 20 °C where nothing is said; the sheet's is the sea.
TEST_F(Notebook, WhatTheWaterShowedIsHeldAgainstWhatTheSheetSaysForThatWater) {
  (void)done({"add", "sheet.toml"});
  const Json kept = done({"tank", "1", "--state", "floats", "--tail-down", "6", "--sank-with",
                          "3.5", "--before", "31", "--after", "31.4", "--date", "2026-03-02"});
  EXPECT_EQ(kept["tank_record"], 1);
  const Json& record = kept["builds"][0]["tank"][0];
  EXPECT_EQ(record["water"]["salinity"], 0);
  EXPECT_EQ(record["water"]["temperature_c"], 20);
  const Json learned = done({"learn"});
  double by_sheet_g = 0;
  for (const Json& reading : learned["learned"]["by_sheet"]) {
    if (reading["figure"] == "reserve") by_sheet_g = reading["foretold"].get<double>();
  }
  // Source: what `float` says of the tub, which is the same water.
  const Json floated = json_of({"float", "sheet.toml"});
  EXPECT_NEAR(by_sheet_g, floated["tank"]["reserve_g"].get<double>(), 1e-6);
  EXPECT_LT(by_sheet_g, floated["reserve_g"].get<double>());
}

TEST_F(Notebook, APhotographTellsTheAngle) {
  (void)done({"add", "sheet.toml"});
  // Nose at the left, tail 100 px lower over 400 px: atan(1/4), the waterline level.
  const Json kept = done({"tank", "1", "--photo", "100,200", "500,300", "0,250", "600,250"});
  const Json& record = kept["builds"][0]["tank"][0];
  EXPECT_NEAR(record["tail_down_deg"].get<double>(), 14.036243, 1e-5);
  EXPECT_TRUE(record["from_photograph"].get<bool>());
}

TEST_F(Notebook, BuildsAreListedFoundAndForgotten) {
  (void)done({"add", "sheet.toml"});
  write("other.toml", sheet_of("Second", "basswood"));
  (void)done({"add", "other.toml", "--kind", "pencil", "--notes", "swims wide"});
  EXPECT_EQ(done({"list"})["builds"].size(), 2U);
  EXPECT_EQ(done({"find", "--wood", "basswood"})["builds"][0]["id"], 2);
  EXPECT_EQ(done({"find", "--words", "wide"})["builds"][0]["id"], 2);
  EXPECT_EQ(done({"find", "--kind", "pencil", "--length", "100:200"})["builds"].size(), 1U);
  EXPECT_TRUE(done({"find", "--state", "sinks"})["builds"].empty());
  EXPECT_THAT(refusal(with_book({"forget", "1"})), HasSubstr("write --yes"));
  EXPECT_EQ(done({"list"})["builds"].size(), 2U);
  (void)done({"forget", "1", "--yes", "--date", "2026-04-01"});
  const Json left = done({"list"});
  EXPECT_EQ(left["builds"].size(), 1U);
  EXPECT_EQ(left["forgotten"][0]["id"], 1);
  EXPECT_EQ(left["forgotten"][0]["title"], "Invented pencil");
  EXPECT_THAT(refusal(with_book({"show", "1"})), HasSubstr("forgotten"));
  EXPECT_EQ(done({"add", "sheet.toml"})["builds"][0]["id"], 3);
}

TEST_F(Notebook, ACopyFloatsAsItsOriginalAndAScaledOneSaysWhatDoesNotScale) {
  (void)done({"add", "sheet.toml"});
  const Ran made = ran({"copy", "1", "--write", "again.toml"});
  EXPECT_EQ(made.exit, 0) << made.err;
  const Json first = json_of({"float", "sheet.toml"});
  const Json again = json_of({"float", "again.toml"});
  EXPECT_EQ(again["reserve_g"], first["reserve_g"]);
  EXPECT_EQ(again["poses"][0]["tail_down_deg"], first["poses"][0]["tail_down_deg"]);
  const Json scaled = done({"copy", "1", "--write", "longer.toml", "--length", "200"});
  EXPECT_THAT(scaled["warnings"].dump(), HasSubstr("hooks"));
  const Json longer = json_of({"float", "longer.toml"});
  EXPECT_GT(longer["displacement_full_g"].get<double>(),
            2.5 * first["displacement_full_g"].get<double>());
  EXPECT_THAT(read("longer.toml"), HasSubstr("copied from build 1"));
  EXPECT_THAT(refusal(with_book({"copy", "1"})), HasSubstr("--write"));
  write("blank.stl", "another");
  EXPECT_THAT(refusal(with_book({"copy", "1", "--write", "third.toml"})),
              HasSubstr("another file is there already"));
}

TEST_F(Notebook, AnExportMakesTheSameBookAgain) {
  (void)done({"add", "sheet.toml", "--notes", "with \"quotes\" and ü"});
  (void)done({"tank", "1", "--list", "-3", "--notes", "lists left"});
  EXPECT_EQ(ran({"export", "folder"}).exit, 0);
  const Json imported = json_of({"notebook", "import", "folder", "--book", "second.db"});
  EXPECT_EQ(imported["imported"]["added"].size(), 1U);
  const Json one = done({"list"});
  const Json two = json_of({"notebook", "list", "--book", "second.db"});
  EXPECT_EQ(one["builds"], two["builds"]);
  EXPECT_TRUE(json_of({"notebook", "import", "folder", "--book", "second.db"})["imported"]["added"]
                  .empty());
}

TEST_F(Notebook, RatiosSuggestNothingFromFewerThanThree) {
  (void)done({"add", "sheet.toml"});
  (void)done({"add", "sheet.toml"});
  const Json two = done({"ratios", "--blank", "15", "--wood", "western redcedar"});
  EXPECT_TRUE(two["suggestion"].is_null());
  EXPECT_EQ(two["ratios"][0]["builds"], 2);
  (void)done({"add", "sheet.toml"});
  const Json three = done({"ratios", "--blank", "15", "--wood", "western redcedar"});
  EXPECT_EQ(three["suggestion"]["builds"], 3);
  const double per_100g = three["ratios"][0]["weight_g_per_100g_wood"]["median"].get<double>();
  EXPECT_NEAR(three["suggestion"]["weight_g"]["median"].get<double>(), 0.15 * per_100g, 1e-9);
}

TEST_F(Notebook, TheNextPredictionSaysHowGoodTheLastOnesWere) {
  for (int i = 0; i < 3; ++i) {
    (void)done({"add", "sheet.toml"});
    (void)done({"tank", std::to_string(i + 1), "--tail-down", std::to_string(5 + i)});
  }
  const Ran next = ran({"add", "sheet.toml", "--quiet"});
  EXPECT_EQ(next.exit, 0) << next.err;
  EXPECT_THAT(next.out, HasSubstr("On your last 3 builds the tail was predicted within"));
  EXPECT_THAT(ran({"show", "4"}).out, HasSubstr("with what was learnt"));
}

TEST_F(Notebook, AnotherMeshAndBenchFiguresMayStandBesideTheSheet) {
  write_stl("other.stl", test_bodies::needle(2000));
  write("bench.toml", "total = \"33 g\"\n[[part]]\nname = \"belly weight\"\nmass = \"9.3 g\"\n");
  const Json added = done({"add", "sheet.toml", "--mesh", "other.stl", "--as-built", "bench.toml"});
  EXPECT_EQ(added["input"]["file"], "other.stl");
  EXPECT_EQ(added["builds"][0]["as_built"]["total_g"], 33);
  write("bad.toml", "total = 33\nweight = 3\n");
  EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--as-built", "bad.toml"})),
              HasSubstr("bad.toml:2"));
}

TEST_F(Notebook, BadInputGetsOneLine) {
  EXPECT_THAT(refusal({"notebook", "scribble"}), HasSubstr("notebook --help"));
  EXPECT_THAT(refusal(with_book({"add"})), StartsWith("trueblank: notebook add: SHEET is missing"));
  EXPECT_THAT(refusal(with_book({"show", "1"})), HasSubstr("book.db"));
  EXPECT_FALSE(exists("book.db"));
  EXPECT_THAT(refusal(with_book({"show", "first"})), HasSubstr("ID"));
  EXPECT_THAT(refusal(with_book({"add", "nowhere.toml"})), HasSubstr("nowhere.toml"));
  EXPECT_FALSE(exists("book.db"));
  (void)done({"add", "sheet.toml"});
  EXPECT_THAT(refusal(with_book({"tank", "1"})), HasSubstr("nothing that the water showed"));
  EXPECT_THAT(refusal(with_book({"tank", "7", "--list", "2"})), HasSubstr("7"));
  EXPECT_THAT(refusal(with_book({"tank", "1", "--tail-down", "120"})), HasSubstr("--tail-down"));
  EXPECT_THAT(refusal(with_book({"tank", "1", "--state", "swims"})), HasSubstr("--state"));
  EXPECT_THAT(refusal(with_book({"tank", "1", "--photo", "1,2", "3,4"})), HasSubstr("--photo"));
  EXPECT_THAT(refusal(with_book({"tank", "1", "--photo", "1,2 3,4 5,6 7,9 8,8"})),
              HasSubstr("--photo needs 4 values"));
  EXPECT_THAT(refusal(with_book({"find", "--length", "200:100"})),
              HasSubstr("the lesser length first"));
  EXPECT_THAT(refusal(with_book({"tank", "1", "--list", "2", "--date", "yesterday"})),
              HasSubstr("yesterday"));
  // What can't be written leaves the book as it was.
  EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--json", "book.db"})), HasSubstr("book.db"));
  EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--json", "nowhere/a.json"})),
              HasSubstr("nowhere"));
  EXPECT_THAT(refusal(with_book({"add", "sheet.toml", "--page", "a.html"})), HasSubstr("page"));
  EXPECT_EQ(done({"list"})["builds"].size(), 1U);
  write("no-book.db", "this is a text and no notebook at all, however long it goes on");
  EXPECT_THAT(refusal({"notebook", "list", "--book", "no-book.db"}), HasSubstr("no-book.db"));
}

}  // namespace
}  // namespace trueblank::test_tool
