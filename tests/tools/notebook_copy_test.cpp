// SPDX-License-Identifier: GPL-3.0-or-later
// What a copy of a build weighs at another length, and where the book is kept.
#include <gmock/gmock.h>

#include <cstdlib>
#include <filesystem>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::StartsWith;
using Words = std::vector<std::string>;

// An ellipsoid of 160, 20 and 24 mm, with a weight and a hook.
std::string egg(const std::string& wood) {
  return "title = \"Egg\"\n[body]\nmesh = \"egg.ply\"\nnose = \"-x\"\nback = \"+z\"\n[wood]\n" +
         wood +
         "[[ballast]]\nname = \"belly\"\nat = [70, -6]\nmass = 4\nmetal = \"tungsten\"\n"
         "[[hook]]\nname = \"treble\"\neye = { station = 60, below_belly = 1 }\nmass = 2\n"
         "metal = \"steel\"\nhang = 10\n";
}

class CopiedBuild : public Tool {
 protected:
  CopiedBuild() {
    write_ply("egg.ply", test_bodies::ellipsoid(80, 10, 12, 24, 24));
    std::filesystem::create_directory(path("next"));
  }

  Json kept(const std::string& wood) {
    write("egg.toml", egg(wood));
    return json_of({"notebook", "add", "egg.toml", "--book", "book.db"})["builds"][0]["figures"];
  }

  Json copied(const Words& more) {
    Words words{"notebook", "copy", "1", "--write", "next/egg.toml", "--book", "book.db"};
    words.insert(words.end(), more.begin(), more.end());
    return json_of(words);
  }
};

// Source: a body's wood grows with the cube of its length, 1.25 here; the weight of 4 g and the
// hook of 2 g stay, and so does the wood that the weight takes the place of.
TEST_F(CopiedBuild, OfAnotherLengthWeighsWhatTheCubeOfItMakes) {
  for (const bool weighed : {false, true}) {
    const Json figures = kept(weighed ? "weighed = \"19.9 g\"\n" : "density = 0.5\n");
    const double volume_cm3 = figures["volume_mm3"].get<double>() / 1000;
    const double density_g_cm3 = weighed ? 19.9 / volume_cm3 : 0.5;
    EXPECT_THAT(copied({"--length", "200"})["warnings"][0].get<std::string>(),
                StartsWith("The design is scaled by 1.25"));
    const Json lies = json_of({"float", "next/egg.toml"});
    const double wood_g = density_g_cm3 * (volume_cm3 * 1.25 * 1.25 * 1.25 - 4 / 19.3);
    // The density is written to 0.0001 g/cm³.
    EXPECT_NEAR(lies["mass_g"].get<double>(), wood_g + 4 + 2, 0.00006 * wood_g / density_g_cm3);
    std::filesystem::remove(path("book.db"));
  }
}

TEST_F(CopiedBuild, OfTheSameLengthIsTheSameSheetBesideItsMesh) {
  (void)kept("density = 0.5\n");
  EXPECT_EQ(copied({})["written"], "next/egg.toml");
  EXPECT_EQ(read("next/egg.ply"), read("egg.ply"));
  EXPECT_EQ(read("next/egg.toml"), "# copied from build 1, \"Egg\"\n" + egg("density = 0.5\n"));
}

TEST_F(CopiedBuild, IsKeptInTheDataHomeUnlessABookIsNamed) {
  write("egg.toml", egg("density = 0.5\n"));
  ::setenv("XDG_DATA_HOME", path("data").c_str(), 1);
  const Ran ran = run({"notebook", "add", "egg.toml"});
  ::unsetenv("XDG_DATA_HOME");
  EXPECT_EQ(ran.exit, 0) << ran.err;
  EXPECT_TRUE(exists("data/trueblank/notebook.db"));
  EXPECT_FALSE(exists("data/trueblank/notebook.db-wal"));
}

}  // namespace
}  // namespace trueblank::test_tool
