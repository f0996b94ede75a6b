// SPDX-License-Identifier: GPL-3.0-or-later
// float --tolerances, and what it is refused.
#include <gmock/gmock.h>

#include <set>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;

class Tolerances : public Tool {
 protected:
  Tolerances() {
    write_stl("egg.stl", test_bodies::ellipsoid(80, 10, 12, 24, 24));
    write("egg.toml", sheet(""));
    write("sure.toml", sheet("[tolerances]\nmass = 0\nplace = 0\nwood_density = 0\nscale = 0\n"));
    write("165.toml", sheet(""));
  }

  static std::string sheet(const std::string& more) {
    return "[body]\nmesh = \"egg.stl\"\nnose = \"-x\"\nback = \"+z\"\n[wood]\ndensity = 0.4\n"
           "[[ballast]]\nname = \"keel\"\nat = [82, -7]\nmass = 12\nmetal = \"bismuth\"\n" +
           more;
  }

  Json draws(const std::vector<std::string>& line) {
    std::vector<std::string> all = {"float"};
    all.insert(all.end(), line.begin(), line.end());
    return json_of(all)["tolerances"];
  }
};

TEST_F(Tolerances, AreNotDrawnUnlessAskedFor) { EXPECT_TRUE(draws({"egg.toml"}).is_null()); }

TEST_F(Tolerances, DrawAThousandBuildsUnlessToldOtherwise) {
  const Json json = draws({"egg.toml", "--tolerances"});
  EXPECT_EQ(json["builds"], 1000);
  EXPECT_EQ(json["seed"], 1);
  EXPECT_EQ(json["one_standard_deviation"], Json({{"mass_g", 0.1},
                                                  {"place_mm", 1.0},
                                                  {"wood_density_percent", 3.0},
                                                  {"scale_percent", 0.5}}));
  EXPECT_EQ(draws({"egg.toml", "--tolerances", "20"})["builds"], 20);
  EXPECT_EQ(draws({"egg.toml", "--tolerances=20", "--seed", "0"})["seed"], 0);
}

// The number may be left out before the sheet too; a sheet's name that begins with digits is none.
TEST_F(Tolerances, DoNotTakeTheSheetForANumber) {
  EXPECT_EQ(draws({"--tolerances", "egg.toml"})["builds"], 1000);
  EXPECT_EQ(draws({"--tolerances", "165.toml"})["builds"], 1000);
  EXPECT_EQ(draws({"--tolerances", "30", "165.toml"})["builds"], 30);
}

TEST_F(Tolerances, AreTheSameBytesWhateverTheThreads) {
  std::set<std::string> results;
  for (const std::string threads : {"1", "2", "7"}) {
    const Ran result = run({"float", "egg.toml", "--tolerances", "300", "--seed", "5", "--threads",
                            threads, "--json", "out.json", "--verbose"});
    EXPECT_EQ(result.exit, 0) << result.err;
    results.insert(result.out + read("out.json"));
  }
  EXPECT_EQ(results.size(), 1U);
}

TEST_F(Tolerances, ThrowOtherDiceWithAnotherSeed) {
  const Json one = draws({"egg.toml", "--tolerances", "50"});
  EXPECT_EQ(one, draws({"egg.toml", "--tolerances", "50", "--seed", "1"}));
  EXPECT_NE(one["reserve_g"],
            draws({"egg.toml", "--tolerances", "50", "--seed", "2"})["reserve_g"]);
}

TEST_F(Tolerances, OfNothingLeaveEveryBuildAsItIs) {
  const Json json = draws({"sure.toml", "--tolerances", "25"});
  EXPECT_EQ(json["share_as_nominal"], 1.0);
  EXPECT_EQ(json["share_floats"], 1.0);
  EXPECT_EQ(json["not_settled"], 0);
  EXPECT_NEAR(json["reserve_g"]["sd"].get<double>(), 0, 1e-9);
}

TEST_F(Tolerances, AreToldInASentence) {
  EXPECT_THAT(run({"float", "egg.toml", "--tolerances", "40", "--seed", "3"}).out,
              HasSubstr("Of 40 builds within ± (one standard deviation) 0.1 g, 1 mm, 3 % of"));
  EXPECT_THAT(run({"float", "egg.toml"}).out, ::testing::Not(HasSubstr("builds")));
}

TEST_F(Tolerances, ThatAreNoNumbersAreRefused) {
  for (const std::string bad : {"0", "-5", "2.5", "1e3", "1000001", "99999999999999999999"}) {
    EXPECT_THAT(refusal({"float", "egg.toml", "--tolerances", bad}),
                StartsWith("trueblank: --tolerances: \"" + bad + "\" is not a number of builds"));
  }
  EXPECT_THAT(refusal({"float", "egg.toml", "--tolerances=some"}),
              HasSubstr("write a whole number from 1 to 1000000"));
  EXPECT_THAT(refusal({"float", "egg.toml", "--tolerances", "--tolerances"}),
              HasSubstr("given more than once"));
  EXPECT_NE(refusal({"float", "egg.toml", "--tolerances="}), "");
}

TEST_F(Tolerances, ASeedIsForThemAlone) {
  EXPECT_EQ(refusal({"float", "egg.toml", "--seed", "3"}),
            "trueblank: float: --seed is for --tolerances, which is not given; add --tolerances, "
            "or leave --seed out");
  for (const std::string bad : {"-1", "1.5", "x", "9007199254740992"}) {
    EXPECT_THAT(refusal({"float", "egg.toml", "--tolerances", "--seed", bad}),
                StartsWith("trueblank: --seed: \"" + bad + "\" is not a seed"));
  }
  EXPECT_THAT(refusal({"float", "egg.toml", "--tolerances", "--seed"}), HasSubstr("needs a value"));
  EXPECT_THAT(refusal({"check", "egg.stl", "--tolerances"}), HasSubstr("is not an option"));
}

}  // namespace
}  // namespace trueblank::test_tool
