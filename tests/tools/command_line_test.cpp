// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>

#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;

class CommandLine : public Tool {
 protected:
  CommandLine() { write_stl("box.stl", test_bodies::box(100, 20, 30)); }
};

TEST_F(CommandLine, HelpAndVersionEndWithZero) {
  // With the commit behind it where it was built from a checkout; tests/package looks closer.
  EXPECT_THAT(run({"--version"}).out, StartsWith("trueblank 0.1.0"));
  EXPECT_EQ(run({"check", "--version"}).out, run({"--version"}).out);
  for (const std::string verb : {"check", "weigh", "mirror", "float", "ballast", "compare"}) {
    const Ran help = run({verb, "--help"});
    EXPECT_EQ(help.exit, 0);
    EXPECT_EQ(help.err, "");
    EXPECT_THAT(help.out, HasSubstr("--json FILE"));
    EXPECT_THAT(run({"--help"}).out, HasSubstr("trueblank " + verb));
  }
  EXPECT_EQ(run({"--help"}).exit, 0);
}

TEST_F(CommandLine, WithoutAVerbItIsRefused) {
  EXPECT_EQ(refusal({}),
            "trueblank: no verb; write trueblank check, weigh, mirror, float, ballast, compare or "
            "notebook, or trueblank --help");
  EXPECT_THAT(refusal({"--quiet", "box.stl"}), HasSubstr("no verb"));
  EXPECT_EQ(refusal({"chekc", "box.stl"}),
            "trueblank: \"chekc\" is not a verb; the verbs are check, weigh, mirror, "
            "float, ballast, compare and notebook");
}

TEST_F(CommandLine, EachThingThatANotebookDoesHasItsHelp) {
  for (const std::string action : {"add", "tank", "list", "show", "find", "copy", "export",
                                   "import", "forget", "ratios", "learn"}) {
    EXPECT_THAT(run({"notebook", "--help"}).out, HasSubstr("notebook " + action));
    EXPECT_THAT(run({"notebook", action, "--help"}).out, HasSubstr("--book FILE"));
  }
  EXPECT_THAT(refusal({"notebook"}), HasSubstr("nothing for it to do"));
}

TEST_F(CommandLine, ASheetHasTheBodysOptionsInside) {
  for (const std::string key : {"units", "length", "nose", "back"}) {
    EXPECT_EQ(refusal({"float", "sheet.toml", "--" + key, "mm"}),
              "trueblank: float: --" + key +
                  " is not for a build sheet; the sheet has it inside: [body] " + key);
  }
  EXPECT_THAT(refusal({"float", "sheet.toml", "--aligned", "a.stl"}),
              HasSubstr("it belongs to check, weigh, mirror and compare"));
  EXPECT_THAT(refusal({"float", "sheet.toml", "--map", "m.ply"}),
              HasSubstr("it belongs to check, weigh, mirror and compare"));
}

TEST_F(CommandLine, AnUnknownOptionNamesTheNearest) {
  EXPECT_EQ(refusal({"check", "box.stl", "--lenght", "100"}),
            "trueblank: check: --lenght is not an option; did you mean --length?");
  EXPECT_EQ(refusal({"check", "box.stl", "--frobnicate"}),
            "trueblank: check: --frobnicate is not an option; see trueblank check --help");
  EXPECT_THAT(refusal({"check", "box.stl", "--density", "1"}), HasSubstr("is not an option"));
  EXPECT_THAT(refusal({"weigh", "box.stl", "--limit", "1"}), HasSubstr("is not an option"));
  EXPECT_THAT(refusal({"check", "-q", "box.stl"}), HasSubstr("-q is not an option"));
}

TEST_F(CommandLine, TheInputMustBeThereOnce) {
  EXPECT_EQ(refusal({"check"}),
            "trueblank: check: BODY is missing; give a mesh file (STL, OBJ, PLY, OFF, glTF or "
            "3MF), or - for standard input");
  EXPECT_EQ(refusal({"float"}),
            "trueblank: float: SHEET is missing; give a build sheet, such as needle.toml");
  EXPECT_EQ(refusal({"check", "box.stl", "two.stl"}),
            "trueblank: check: \"two.stl\" is one file too many; give one at a time");
  EXPECT_THAT(refusal({"check", ""}), HasSubstr("not a value"));
}

TEST_F(CommandLine, AnOptionNeedsItsValueOnce) {
  EXPECT_EQ(refusal({"check", "box.stl", "--length"}),
            "trueblank: check: --length needs a value; see trueblank check --help");
  EXPECT_EQ(refusal({"check", "box.stl", "--length", "1", "--length", "2"}),
            "trueblank: check: --length is given more than once; give it once");
  EXPECT_EQ(refusal({"mirror", "box.stl", "--split-line", "0,0,0", "1,0,0"}),
            "trueblank: mirror: --split-line needs 3 values; see trueblank mirror --help");
  EXPECT_EQ(refusal({"check", "box.stl", "--quiet=yes"}),
            "trueblank: check: --quiet takes no value; write it alone");
}

TEST_F(CommandLine, ValuesThatAreNoneAreRefused) {
  const std::vector<std::vector<std::string>> lines = {
      {"--length", "long"}, {"--length", "0"},        {"--length", "-5"},  {"--length", "14 g"},
      {"--length", "6,5"},  {"--length", "inf"},      {"--length", "nan"}, {"--units", "furlong"},
      {"--nose", "q"},      {"--nose", "0,0,0"},      {"--back", "1,2"},   {"--mend", "glue"},
      {"--map", "map.stl"}, {"--map", "-"},           {"--threads", "0"},  {"--threads", "-1"},
      {"--threads", "2.5"}, {"--threads", "1000000"}, {"--json", ""}};
  for (const std::vector<std::string>& line : lines) {
    EXPECT_THAT(refusal({"check", "box.stl", line[0], line[1]}),
                StartsWith("trueblank: " + line[0] + ": "));
  }
}

TEST_F(CommandLine, ValuesOfWeighAndMirrorThatAreNoneAreRefused) {
  for (const std::string value : {"0", "-1", "heavy", "3 mm", "1/0"}) {
    EXPECT_THAT(refusal({"weigh", "box.stl", "--density", value}),
                StartsWith("trueblank: --density: "));
    EXPECT_THAT(refusal({"weigh", "box.stl", "--mass", value}), StartsWith("trueblank: --mass: "));
  }
  EXPECT_THAT(refusal({"weigh", "box.stl", "--density", "0.4", "--mass", "20"}),
              HasSubstr("--density and --mass can't both be given"));
  for (const std::string value :
       {"0,1,0", "0,0,0,1", "a,b,c,d", "0,1,0,1,2", "0,1,0,", "nan,1,0,0"}) {
    EXPECT_THAT(refusal({"mirror", "box.stl", "--plane", value}),
                StartsWith("trueblank: --plane: "));
  }
  for (const std::string value : {"0", "-3", "0mm", "-1mm", "2.5", "x", "10 g", "999999999"}) {
    EXPECT_THAT(refusal({"mirror", "box.stl", "--stations", value}),
                StartsWith("trueblank: --stations: "));
  }
  EXPECT_THAT(refusal({"mirror", "box.stl", "--fit", "loose"}), StartsWith("trueblank: --fit: "));
  EXPECT_THAT(refusal({"mirror", "box.stl", "--limit", "-0.1"}),
              StartsWith("trueblank: --limit: "));
  EXPECT_THAT(refusal({"mirror", "box.stl", "--split-line", "0,0,0", "1,1,1", "2,2,2"}),
              HasSubstr("three points that are not on one line"));
  EXPECT_THAT(refusal({"mirror", "box.stl", "--plane", "0,1,0,0", "--split-line", "0,0,0", "1,0,0",
                       "0,0,1"}),
              HasSubstr("can't both be given"));
}

TEST_F(CommandLine, ALineEndInANameDoesNotMakeASecondLine) {
  EXPECT_THAT(refusal({"check", "no\nsuch\x1b[31m.stl"}), HasSubstr("no?such?[31m.stl"));
}

TEST_F(CommandLine, ValuesMayBeginWithAMinus) {
  write_ply("egg.ply", test_bodies::ellipsoid(60, 9, 12, 60, 40));
  const Json json =
      json_of({"mirror", "egg.ply", "--nose", "-x", "--back", "-z", "--plane", "-0.0,2,0,0"});
  EXPECT_EQ(json["plane_from"], "given");
  EXPECT_NEAR(json["frame"]["x"][0].get<double>(), 1, 1e-9);
  EXPECT_NEAR(json["frame"]["z"][2].get<double>(), -1, 1e-9);
  const Json split = json_of({"mirror", "--split-line", "-1,0,0", "-2,0,0", "-.5,0,-3", "egg.ply"});
  EXPECT_EQ(split["plane_from"], "split-line");
}

TEST_F(CommandLine, AfterTwoMinusesAllAreFiles) {
  write_stl("-box.stl", test_bodies::box(100, 20, 30));
  EXPECT_EQ(run({"check", "--", "-box.stl"}).exit, 0);
}

}  // namespace
}  // namespace trueblank::test_tool
