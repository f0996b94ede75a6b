// SPDX-License-Identifier: GPL-3.0-or-later
// A sheet's text cut up: which piece is whose, that all of them joined are the text, and that what
// is left without any of them is TOML.
#include "sheet/sheet_pieces.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <tuple>
#include <utility>

#include "geometry/error.h"
#include "sheet/toml_tree.h"

namespace trueblank::sheet {

static bool operator==(const SheetPiece& a, const SheetPiece& b) {
  return std::tie(a.text, a.table, a.index) == std::tie(b.text, b.table, b.index);
}

static void PrintTo(const SheetPiece& piece, std::ostream* out) {
  *out << piece.table << ' ' << piece.index << ": " << ::testing::PrintToString(piece.text);
}

namespace {

using ::testing::ElementsAre;

SheetPiece other(std::string text) { return {.text = std::move(text)}; }

std::string joined(const std::vector<SheetPiece>& pieces) {
  std::string text;
  for (const SheetPiece& piece : pieces) text += piece.text;
  return text;
}

std::string without(const std::vector<SheetPiece>& pieces, const std::string& table, int index) {
  std::string text;
  for (const SheetPiece& piece : pieces) {
    if (piece.table != table || piece.index != index) text += piece.text;
  }
  return text;
}

// How many tables of a kind there are.
std::size_t count_of(std::string_view text, const std::string& table) {
  if (text.find_first_not_of(" \r\n") == std::string_view::npos) return 0;
  for (const Entry& entry : parse_toml(text, "the sheet").entries) {
    if (entry.key == table) {
      return entry.value.kind == Node::Kind::list ? entry.value.items.size() : 1;
    }
  }
  return 0;
}

// Each table that has pieces of its own can be taken out: there is one less of its kind then.
void expect_sound(std::string_view text) {
  SCOPED_TRACE(text);
  const std::vector<SheetPiece> pieces = sheet_pieces(text);
  EXPECT_EQ(joined(pieces), text);
  std::set<std::pair<std::string, int>> owners;
  for (const SheetPiece& piece : pieces) {
    EXPECT_FALSE(piece.text.empty());
    if (!piece.table.empty()) owners.emplace(piece.table, piece.index);
  }
  for (const auto& [table, index] : owners) {
    const std::size_t left = count_of(without(pieces, table, index), table);
    EXPECT_EQ(left, index < 0 ? 0 : count_of(text, table) - 1) << table << ' ' << index;
  }
}

TEST(SheetPieces, ATableGoesWithItsCommentsAndBlankLines) {
  EXPECT_THAT(sheet_pieces("# mine\n[body]\nmesh = \"a.stl\"\n\n[wood]   # dry\ndensity = 0.4\n"
                           "# dense = 0.5\n\n# --- rig ---\n\n# the belly's\n[[hook]]\nmass = 1\n\n"
                           "[[hook]]\nmass = 2\n[water]\nkind = \"sea\""),
              ElementsAre(other("# mine\n[body]\nmesh = \"a.stl\"\n\n"),
                          SheetPiece{"[wood]   # dry\ndensity = 0.4\n# dense = 0.5\n\n", "wood", 0},
                          other("# --- rig ---\n\n"),
                          SheetPiece{"# the belly's\n[[hook]]\nmass = 1\n\n", "hook", 0},
                          SheetPiece{"[[hook]]\nmass = 2\n", "hook", 1},
                          SheetPiece{"[water]\nkind = \"sea\"", "water", 0}));
}

TEST(SheetPieces, TheFilesOwnFirstLinesStay) {
  EXPECT_THAT(sheet_pieces("\xEF\xBB\xBF# made by hand\r\n[wood]\r\ndensity = 0.4\r\n"),
              ElementsAre(other("\xEF\xBB\xBF# made by hand\r\n"),
                          SheetPiece{"[wood]\r\ndensity = 0.4\r\n", "wood", 0}));
  EXPECT_THAT(sheet_pieces("\xEF\xBB\xBF[wood]\ndensity = 0.4"),
              ElementsAre(other("\xEF\xBB\xBF"), SheetPiece{"[wood]\ndensity = 0.4", "wood", 0}));
}

TEST(SheetPieces, TablesWithinATableAreItsOwn) {
  EXPECT_THAT(
      sheet_pieces("[[ballast]]\nmass = 4\n[ballast.at]\nstation = 90\n"
                   "[wood.halves]\nleft = 15\nright = 16\n"),
      ElementsAre(SheetPiece{"[[ballast]]\nmass = 4\n[ballast.at]\nstation = 90\n", "ballast", 0},
                  SheetPiece{"[wood.halves]\nleft = 15\nright = 16\n", "wood", 0}));
}

TEST(SheetPieces, ATableInTwoPlacesIsTwoPieces) {
  EXPECT_THAT(sheet_pieces("[[ballast]]\nmass = 4\n[[ballast]]\nmass = 5\n[[hook]]\nmass = 1\n"
                           "[ballast.at]\nstation = 90\n"),
              ElementsAre(SheetPiece{"[[ballast]]\nmass = 4\n", "ballast", 0},
                          SheetPiece{"[[ballast]]\nmass = 5\n", "ballast", 1},
                          SheetPiece{"[[hook]]\nmass = 1\n", "hook", 0},
                          SheetPiece{"[ballast.at]\nstation = 90\n", "ballast", 1}));
}

TEST(SheetPieces, KeysOfTheSheetMayHoldAllOfAKind) {
  EXPECT_THAT(
      sheet_pieces("wood.density = 0.4  # dry\ntitle = \"x\"\nhook = [ # two\n"
                   "  { mass = 1 },\n  { mass = 2 },  # ]\n]\n\"wat\\u0065r\" = { }\n"
                   "[body]\nmesh = 'a'\n"),
      ElementsAre(
          SheetPiece{"wood.density = 0.4  # dry\n", "wood", -1}, other("title = \"x\"\n"),
          SheetPiece{"hook = [ # two\n  { mass = 1 },\n  { mass = 2 },  # ]\n]\n", "hook", -1},
          SheetPiece{"\"wat\\u0065r\" = { }\n", "water", -1}, other("[body]\nmesh = 'a'\n")));
}

TEST(SheetPieces, WhatLooksLikeAHeadingMayBeText) {
  EXPECT_THAT(
      sheet_pieces("[body]\nmesh = '''\n[[hook]]\n'''\n[[hook]]\nname = \"\"\"\n[wood]\n\"\"\"\n"
                   "  [ \"hook\" . eye ]\nstation = 1\n"),
      ElementsAre(other("[body]\nmesh = '''\n[[hook]]\n'''\n"),
                  SheetPiece{"[[hook]]\nname = \"\"\"\n[wood]\n\"\"\"\n"
                             "  [ \"hook\" . eye ]\nstation = 1\n",
                             "hook", 0}));
}

TEST(SheetPieces, JoinedTheyAreTheText) {
  for (const std::string_view text :
       {"# only a comment", "title = \"x\"", "a = 1\n[wood]\n\n\n# end",
        "[wood]\n# a\n\n# b\n\n# c\n[[hook]]\nmass = 1\n# d\n\n# e\n",
        "[[hook]]\nmass = 1\n[[hook]]\nmass = 2\n[[wire]]\npath = [\n[1, 2], # ][\n[3, 4]]\n"
        "[[hook]]\nmass = 3",
        "hook = []\nwood = { density = 0.4 }\n\n[water]\r\nkind = \"sea\"\r\n",
        "[[ballast]]\n[[hook]]\n[[ballast]]\n[hook.eye]\n[ballast.at]\nx = 1\n",
        "[line]\neye = 'a=b'\n'a=b' = 1\n\"]\" = 2\n[\"]\".b]\n[wood]\nd = 1979-05-27 07:32:00 # = "
        "\n"
        "[[outside]]\nname = \"ü\xF0\x9F\x90\x9F</script>\"\n"}) {
    expect_sound(text);
  }
}

TEST(SheetPieces, OfEverySheetThatComesWithTheProgram) {
  int sheets = 0;
  for (const auto& file : std::filesystem::directory_iterator(TRUEBLANK_SOURCE_DIR "/meshes")) {
    if (file.path().extension() != ".toml") continue;
    std::ifstream from(file.path(), std::ios::binary);
    expect_sound(std::string(std::istreambuf_iterator<char>(from), {}));
    ++sheets;
  }
  EXPECT_GE(sheets, 9);
}

TEST(SheetPieces, OfNoTextThereAreNone) {
  EXPECT_THROW((void)sheet_pieces("[wood"), geometry::InputError);
}

}  // namespace
}  // namespace trueblank::sheet
