// SPDX-License-Identifier: GPL-3.0-or-later
// A sheet's text with another wood, or for another folder: what is changed and what is kept.
#include "sheet/rewritten.h"

#include <gtest/gtest.h>

namespace trueblank::sheet {
namespace {

TEST(WithWood, KeepsTheOldLinesAsComments) {
  EXPECT_EQ(with_wood("# mine\n[body]\nmesh = \"a.stl\"\n\n[wood]   # dry\nweighed = \"31.4 g\"\n"
                      "balance = 80\n[water]\nkind = \"sea\"\n",
                      "western redcedar", 0.3584),
            "# mine\n[body]\nmesh = \"a.stl\"\n\n[wood]   # dry\nspecies = \"western redcedar\"\n"
            "# weighed = \"31.4 g\"\n# balance = 80\n[water]\nkind = \"sea\"\n");
}

TEST(WithWood, ADensityReadsBackToTheSameNumber) {
  EXPECT_EQ(with_wood("[wood]\nspecies = \"balsa\"\n", "", 0.1 + 0.2),
            "[wood]\ndensity = 0.30000000000000004\n# species = \"balsa\"\n");
}

TEST(WithWood, OfHalvesInAnyForm) {
  EXPECT_EQ(with_wood("[wood]\nhalves = { left = 15, right = 16 }\n", "", 0.5),
            "[wood]\ndensity = 0.5\n# halves = { left = 15, right = 16 }\n");
  EXPECT_EQ(with_wood("[wood]\n[wood.halves]\nleft = 15\nright = 16\n", "", 0.5),
            "[wood]\ndensity = 0.5\n# [wood.halves]\n# left = 15\n# right = 16\n");
}

TEST(WithWood, OfOneLineOrOfDottedKeys) {
  EXPECT_EQ(with_wood("wood = { density = 0.4 }\ntitle = \"x\"\n", "", 0.5),
            "# wood = { density = 0.4 }\nwood = { density = 0.5 }\ntitle = \"x\"\n");
  EXPECT_EQ(with_wood("wood.density = 0.4", "", 0.5),
            "# wood.density = 0.4\nwood = { density = 0.5 }\n");
}

TEST(ForFile, InTheSameFolderChangesNothing) {
  const std::string text = "[body]\nmesh = \"a.stl\"\r\n";
  EXPECT_EQ(for_file(text, "lures/one.toml", "lures/two.toml"), text);
  EXPECT_EQ(for_file(text, "-", "two.toml"), text);
  EXPECT_EQ(for_file(text, "one.toml", "./two.toml"), text);
}

TEST(ForFile, FromAnotherFolderLeadsToTheSameFile) {
  EXPECT_EQ(for_file("[body]\nmesh = 'a.stl'  # scanned\nnose = \"-x\"\n", "lures/one.toml",
                     "plans/2026/two.toml"),
            "[body]\n# mesh = 'a.stl'  # scanned\nmesh = \"../../lures/a.stl\"  # scanned\n"
            "nose = \"-x\"\n");
  EXPECT_EQ(for_file("[body]\nmesh = \"in/a.stl\"\n", "one.toml", "in/two.toml"),
            "[body]\n# mesh = \"in/a.stl\"\nmesh = \"a.stl\"\n");
}

TEST(ForFile, AnAbsoluteNameStays) {
  const std::string text = "[body]\nmesh = \"/lures/a.stl\"\n";
  EXPECT_EQ(for_file(text, "one.toml", "in/two.toml"), text);
}

TEST(ForFile, BothDrawingsEvenOnOneLine) {
  EXPECT_EQ(
      for_file("body = { side = \"s\\\"ü.svg\", top = \"t.svg\" }\n", "one.toml", "in/two.toml"),
      "# body = { side = \"s\\\"ü.svg\", top = \"t.svg\" }\n"
      "body = { side = \"../s\\\"ü.svg\", top = \"../t.svg\" }\n");
}

}  // namespace
}  // namespace trueblank::sheet
