// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/layout.h"

#include <gtest/gtest.h>

#include <sstream>
#include <string>

namespace trueblank::report {
namespace {

TEST(Columns, CountCodePointsNotBytes) {
  EXPECT_EQ(columns("5.4°"), 4);
  EXPECT_EQ(columns("mm² · ×"), 7);
  EXPECT_EQ(columns(""), 0);
}

TEST(Paragraph, NoLineIsWiderThanTheTextWidthAndNoWordIsLost) {
  std::string text;
  for (int i = 0; i < 200; ++i) text += "wörd" + std::to_string(i) + ' ';
  std::istringstream lines(paragraph(text, 6));
  std::string line;
  int words = 0;
  int count = 0;
  while (std::getline(lines, line)) {
    EXPECT_LE(columns(line), text_width);
    EXPECT_EQ(line.starts_with("      "), count > 0) << line;
    std::istringstream in_line(line);
    std::string word;
    while (in_line >> word) EXPECT_EQ(word, "wörd" + std::to_string(words++));
    ++count;
  }
  EXPECT_EQ(words, 200);
  EXPECT_GT(count, 10);
}

TEST(Paragraph, ANumberIsNotPartedFromWhatItCounts) {
  for (int before = 1; before < 120; ++before) {
    const std::string text =
        paragraph(std::string(static_cast<std::size_t>(before), 'x') + " 20 000 facets, 1 g moved");
    EXPECT_NE(text.find("20 000 facets,"), std::string::npos) << text;
    EXPECT_NE(text.find("1 g"), std::string::npos) << text;
  }
}

TEST(Paragraph, AWordThatIsTooLongStandsAlone) {
  const std::string word(200, 'x');
  EXPECT_EQ(paragraph("a " + word + " b"), "a\n" + word + "\nb\n");
}

TEST(Paragraph, EndsWithALineEndEvenWhenEmpty) { EXPECT_EQ(paragraph(""), "\n"); }

TEST(Notes, EachBeginsWithNote) {
  EXPECT_EQ(notes({"One.", "Two."}), "Note: One.\nNote: Two.\n");
  EXPECT_EQ(notes({}), "");
}

TEST(Shown, ControlCharactersAndBrokenUtf8BecomeQuestionMarks) {
  EXPECT_EQ(shown("a\nb\tc\x7f"), "a?b?c?");
  EXPECT_EQ(shown("köder.stl"), "köder.stl");
  EXPECT_EQ(shown("k\xf6"
                  "der"),
            "k?der");
  EXPECT_EQ(shown("\xc2\x9b"
                  "31m"),
            "?31m");                   // a C1 control sequence
  EXPECT_EQ(shown("\xe2\x82"), "??");  // cut off
  EXPECT_EQ(shown("\xc0\xaf"), "??");  // an overlong form
  EXPECT_EQ(shown("\xf0\x9f\x90\x9f"), "\xf0\x9f\x90\x9f");
}

TEST(Paragraph, BreaksNoLineWithinASizeOrAnUncertainty) {
  const std::string filled(text_width - 6, 'a');
  EXPECT_EQ(paragraph(filled + " 164.8 × 44.9 × 21.6 mm"), filled + "\n164.8 × 44.9 × 21.6 mm\n");
  EXPECT_EQ(paragraph(filled + " ± 0.9 %"), filled + "\n± 0.9 %\n");
}

TEST(Paragraph, IndentsTheFirstLineAsToldAndTheLaterOnesAsTold) {
  const std::string filling(text_width - 4, 'b');
  EXPECT_EQ(paragraph("a " + filling + " c", 4, 2), "  a " + filling + "\n    c\n");
}

TEST(Table, FirstColumnToTheLeftTheRestToTheRight) {
  Table table;
  table.row({"part", "mass g"});
  table.row({"köder", "9.1"});
  table.row({"a", "10.25"});
  EXPECT_EQ(table.text(),
            "  part   mass g\n"
            "  köder     9.1\n"
            "  a       10.25\n");
}

TEST(Facts, ValuesStandInOneColumnAndWrapThere) {
  Facts facts;
  facts.add("read", "x.stl");
  facts.add("mirror plane", std::string(60, 'a') + " " + std::string(60, 'b'));
  EXPECT_EQ(facts.text(), "  read           x.stl\n  mirror plane   " + std::string(60, 'a') +
                              "\n" + std::string(17, ' ') + std::string(60, 'b') + "\n");
}

}  // namespace
}  // namespace trueblank::report
