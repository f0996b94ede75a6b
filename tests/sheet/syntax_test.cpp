// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

using Syntax = InAFolder;

std::string repeated(std::string_view what, int times) {
  std::string text;
  for (int i = 0; i < times; ++i) text += what;
  return text;
}

TEST_F(Syntax, AnUnclosedTextIsNamedWhereItBegins) {
  const std::string tail =
      "a text begins here and is not closed; put the same quote at its end, on the same line";
  EXPECT_EQ(refusal("title = \"Needle\n[body]\n"), "needle.toml:1:9: " + tail);
  EXPECT_EQ(refusal("# \"\n\ntitle = 'Needle"), "needle.toml:3:9: " + tail);
  EXPECT_EQ(refusal("title = \"\"\"Needle\"\"\n[body]\n"), "needle.toml:1:9: " + tail);
  EXPECT_EQ(refusal("title = \"ends in a bar\\\"\n"), "needle.toml:1:9: " + tail);
  EXPECT_EQ(refusal("title = it's"), "needle.toml:1:11: " + tail);
}

TEST_F(Syntax, AQuantityOrAWordWithoutQuotesIsShownWithThem) {
  EXPECT_EQ(refusal("[[hook]]\nmass = 14 g # the treble\n"),
            "needle.toml:2:8: a text needs quotes; write \"14 g\"");
  EXPECT_EQ(refusal("mass = 1/2 oz"), "needle.toml:1:8: a text needs quotes; write \"1/2 oz\"");
  EXPECT_EQ(refusal("[body]\n  mesh = needle.stl"),
            "needle.toml:2:10: a text needs quotes; write \"needle.stl\"");
  EXPECT_EQ(refusal("nose = -x"), "needle.toml:1:8: a text needs quotes; write \"-x\"");
  EXPECT_EQ(refusal("title = “Needle”"),
            "needle.toml:1:9: a text needs straight quotes; write \" in place of the curly ones");
}

TEST_F(Syntax, NumbersThatAreNoneAreShown) {
  EXPECT_EQ(refusal("mass = 0,5"), "needle.toml:1:8: a number has a decimal comma; write 0.5");
  EXPECT_EQ(refusal("mass = .5"),
            "needle.toml:1:8: \".5\" is no number; write it as 14 or 0.5, or with its unit in "
            "quotes, as \"14 g\"");
  EXPECT_EQ(refusal("mass = 1.5.2"),
            "needle.toml:1:8: \"1.5.2\" is no number; write it as 14 or 0.5, or with its unit in "
            "quotes, as \"14 g\"");
  EXPECT_EQ(refusal("mass = 1e999"),
            "needle.toml:1:8: \"1e999\" is no number; write it as 14 or 0.5, or with its unit in "
            "quotes, as \"14 g\"");
}

TEST_F(Syntax, LinesThatAreNoneAreShown) {
  const std::string mend = "; write key = value, a heading such as [body], or # before a remark";
  EXPECT_EQ(refusal("\n  mass 14"), "needle.toml:2:3: \"mass 14\" is no line of a sheet" + mend);
  EXPECT_EQ(refusal("mass: 14"), "needle.toml:1:1: \"mass: 14\" is no line of a sheet" + mend);
  EXPECT_EQ(refusal("= 5"), "needle.toml:1:1: \"= 5\" is no line of a sheet" + mend);
  EXPECT_EQ(refusal("länge = 5"), "needle.toml:1:1: \"länge = 5\" is no line of a sheet" + mend);
  EXPECT_EQ(refusal("mass ="),
            "needle.toml:1:7: \"mass\" has no value; write one after the =, or remove the line");
  EXPECT_EQ(refusal("mass = \"14\" g"),
            "needle.toml:1:8: something follows the value on its line; write one key = value a "
            "line");
  EXPECT_EQ(refusal("mass = 1 hang = 2"),
            "needle.toml:1:8: something follows the value on its line; write one key = value a "
            "line");
}

TEST_F(Syntax, KeysAndHeadingsGivenTwiceAreNamed) {
  EXPECT_EQ(refusal("sheet = 1\nsheet = 1"),
            "needle.toml:2:1: \"sheet\" is given twice; keep one of them");
  EXPECT_EQ(refusal("[body]\n[body]"),
            "needle.toml:2:1: \"body\" is given twice; keep one of them");
  EXPECT_EQ(refusal("[[hook]]\n[hook]"),
            "needle.toml:2:1: \"hook\" stands in single and in double brackets; write [[hook]] "
            "each time");
}

TEST_F(Syntax, BracketsAndBracesAreMended) {
  EXPECT_EQ(refusal("[body\nmesh = 1"),
            "needle.toml:1:6: this heading can't be read; write it as [body] or [[hook]], alone on "
            "its line");
  EXPECT_EQ(refusal("path = [1 2]"),
            "needle.toml:1:11: this list can't be read; put commas between its values and a ] at "
            "its end, as in [70, -9]");
  EXPECT_EQ(refusal("path = [1, 2\n[[hook]]\n"),
            "needle.toml:2:1: this list can't be read; put commas between its values and a ] at "
            "its end, as in [70, -9]");
  EXPECT_EQ(refusal("eye = { station = 70"),
            "needle.toml:1:21: these braces can't be read; write them on one line, as in { station "
            "= 70, above_belly = 6 }");
}

TEST_F(Syntax, ABackslashOfAnotherSystemsPathIsExplained) {
  const std::string tail =
      "a backslash in double quotes has a meaning of its own; write / in file names, or put the "
      "text in single quotes";
  EXPECT_EQ(refusal("[body]\nmesh = \"C:\\Users\\needle.stl\""), "needle.toml:2:13: " + tail);
  EXPECT_EQ(refusal("[body]\nmesh = \"D:\\queue.stl\""), "needle.toml:2:12: " + tail);
}

TEST_F(Syntax, WhatIsNoTextIsRefusedInOneLine) {
  EXPECT_EQ(refusal(""),
            "needle.toml:1:1: the sheet is empty; it needs at least [body] with mesh, and [wood]");
  EXPECT_EQ(refusal(" \n\t\r\n"),
            "needle.toml:1:1: the sheet is empty; it needs at least [body] with mesh, and [wood]");
  EXPECT_EQ(refusal(std::string_view("a = 1\n\0\0\0", 9)),
            "needle.toml:2:1: byte 0x00 is no text; a build sheet is a text file");
  EXPECT_EQ(refusal("title = \"\x1b[2J\""),
            "needle.toml:1:10: byte 0x1b is no text; a build sheet is a text file");
  EXPECT_EQ(refusal("\xFF\xFEt\x00"), "needle.toml:1:1: the text is UTF-16; save it as UTF-8");
  EXPECT_EQ(refusal("title = \"\xE9t\xE9\""),
            "needle.toml:1:10: the text is not UTF-8; save it as UTF-8");
  EXPECT_EQ(refusal(std::string(1'000'001, 'a')),
            "needle.toml:1:1: this is too big for a build sheet (over 1 MB); give the sheet, not "
            "the mesh that it names");
}

TEST_F(Syntax, HugeNestingIsRefusedInOneLine) {
  const std::string tail =
      ": brackets or dotted keys are nested too deeply; a sheet needs three levels";
  EXPECT_EQ(refusal("x = " + repeated("[", 100'000)), "needle.toml:1:37" + tail);
  EXPECT_EQ(refusal("x" + repeated(".x", 100'000) + " = 1"), "needle.toml:1:66" + tail);
  EXPECT_EQ(refusal("[x" + repeated(".x", 100'000) + "]"), "needle.toml:1:67" + tail);
  EXPECT_EQ(refusal("x = " + repeated("{x=", 100'000)), "needle.toml:1:101" + tail);
}

TEST_F(Syntax, DotsAndBracketsInTextsAndRemarksAreNoNesting) {
  EXPECT_EQ(refusal("title = \"" + repeated("[.", 500) + "\" # " + repeated("{.", 500) +
                    "\n[body]\nmesh = 'needle.stl'\n[wood]\ndensity = 0.4\n"),
            "accepted");
}

TEST_F(Syntax, AByteOrderMarkAndWindowsLineEndsAreAccepted) {
  EXPECT_EQ(refusal("\xEF\xBB\xBF[body]\r\nmesh = \"needle.stl\"\r\n[wood]\r\ndensity = 0.4\r\n"),
            "accepted");
  EXPECT_EQ(refusal("\xEF\xBB\xBFmass =\r\n"),
            "needle.toml:1:7: \"mass\" has no value; write one after the =, or remove the line");
}

// Every start of a right sheet, and every one of its bytes changed, is either accepted or refused
// in one line that names the file.
TEST_F(Syntax, AnyDamageGivesOneLine) {
  const std::string whole = sheet_with(
      "[[wire]]\nmetal = \"steel\"\ndiameter = 1.6\npath = [[-8, -1], [165, 0]]\n[[hook]]\nname = "
      "\"\"\"t\"\"\"\neye = { station = 62, below_belly = 1 }\nmass = '14 g'\nmetal = \"lead\"\n");
  ASSERT_EQ(refusal(whole), "accepted");
  const auto one_line = [](const std::string& line) {
    return line == "accepted" ||
           (line.starts_with("needle.toml:") && line.find('\n') == std::string::npos);
  };
  for (std::size_t i = 0; i < whole.size(); ++i) {
    EXPECT_TRUE(one_line(refusal(whole.substr(0, i)))) << refusal(whole.substr(0, i));
    for (const char c : {'"', '\'', '[', '{', '=', '\n', '.', '\\', '\x80', '\0', ',', '9'}) {
      std::string damaged = whole;
      damaged[i] = c;
      EXPECT_TRUE(one_line(refusal(damaged))) << refusal(damaged);
    }
  }
}

}  // namespace
}  // namespace trueblank::sheet
