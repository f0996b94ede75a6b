// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/book.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "invented_builds.h"

namespace trueblank::notebook {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Build small_build(const std::string& title) {
  Build build;
  build.facts.added = "2026-03-01T18:30:00Z";
  build.facts.title = title;
  build.facts.kind = "slim";
  build.facts.figures.wood = "western redcedar";
  build.facts.figures.length_mm = 165;
  build.facts.figures.state = water::State::floats;
  build.sheet = "[body]\nmesh = \"a.stl\"\n[wood]\nspecies = \"western redcedar\"\n";
  build.files = {{.name = "a.stl", .bytes = "solid a"}};
  return build;
}

std::vector<std::int64_t> ids(const std::vector<ListedBuild>& builds) {
  std::vector<std::int64_t> ids;
  for (const ListedBuild& build : builds) ids.push_back(build.facts.id);
  return ids;
}

class ABook : public testing::Test {
 protected:
  Scratch scratch;
  std::string path = scratch.path("share/trueblank/notebook.db");
  Book book = Book::open(path, Book::Mode::change);
};

// Source: XDG Base Directory Specification 0.8: a folder that is missing is made with 0700.
TEST_F(ABook, IsMadeWithItsFoldersForItsOwnerAlone) {
  EXPECT_TRUE(std::filesystem::is_regular_file(path));
  for (const char* folder : {"share", "share/trueblank"}) {
    EXPECT_EQ(std::filesystem::status(scratch.path(folder)).permissions(),
              std::filesystem::perms::owner_all);
  }
}

TEST_F(ABook, ShowsWhatWasAddedToTheLastByte) {
  const auto invented = invented_builds(50, 1);
  add_all(book, invented);
  for (std::size_t i = 0; i < invented.size(); ++i) {
    const ShownBuild shown = book.show(static_cast<std::int64_t>(i) + 1);
    EXPECT_EQ(shown.build.facts.id, static_cast<std::int64_t>(i) + 1);
    EXPECT_TRUE(same_build(shown.build, invented[i].build)) << i;
    ASSERT_EQ(shown.tank.size(), invented[i].tank.size());
    for (std::size_t k = 0; k < shown.tank.size(); ++k) {
      EXPECT_EQ(shown.tank[k].number, static_cast<std::int64_t>(k) + 1);
      EXPECT_TRUE(same_record(shown.tank[k], invented[i].tank[k])) << i << ' ' << k;
    }
  }
}

TEST_F(ABook, ShowsTheSameWhenItIsOpenedAgain) {
  const auto invented = invented_builds(10, 2);
  add_all(book, invented);
  const Book again = Book::open(path, Book::Mode::look);
  ASSERT_EQ(again.list().size(), invented.size());
  for (std::size_t i = 0; i < invented.size(); ++i) {
    EXPECT_TRUE(same_build(again.show(static_cast<std::int64_t>(i) + 1).build, invented[i].build));
  }
}

TEST_F(ABook, ListsWhatItShows) {
  add_all(book, invented_builds(20, 3));
  const std::vector<ListedBuild> list = book.list();
  ASSERT_EQ(list.size(), 20U);
  for (const ListedBuild& listed : list) {
    ShownBuild shown = book.show(listed.facts.id);
    Build facts_alone = shown.build;
    facts_alone.facts = listed.facts;
    EXPECT_TRUE(same_build(shown.build, facts_alone));
    ASSERT_EQ(shown.tank.size(), listed.tank.size());
    for (std::size_t k = 0; k < shown.tank.size(); ++k) {
      EXPECT_TRUE(same_record(shown.tank[k], listed.tank[k]));
    }
  }
}

TEST_F(ABook, NumbersBuildsFromOneAndNeverTwice) {
  EXPECT_EQ(book.add(small_build("one")), 1);
  EXPECT_EQ(book.add(small_build("two")), 2);
  book.forget(2, "2026-04-01");
  EXPECT_EQ(book.add(small_build("three")), 3);
}

TEST_F(ABook, KeepsATombstoneOfWhatItForgets) {
  book.add(small_build("one"));
  book.add_tank(1, {.date = "2026-03-02"});
  book.forget(1, "2026-04-01");
  EXPECT_THAT(book.list(), IsEmpty());
  EXPECT_THAT(
      book.tombstones(),
      ElementsAre(Tombstone{
          .id = 1, .added = "2026-03-01T18:30:00Z", .title = "one", .forgotten = "2026-04-01"}));
  EXPECT_EQ(refusal([&] { (void)book.show(1); }),
            path +
                ": build 1 was forgotten on 2026-04-01; notebook list shows the builds that "
                "there are");
  EXPECT_THAT(refusal([&] { book.forget(1, "2026-04-02"); }), HasSubstr("was forgotten"));
}

// The size of the file tells whether bytes are kept once: 3 MB of one content, 30 builds.
TEST_F(ABook, KeepsTheBytesOfAFileOnce) {
  const std::string mesh(3'000'000, 'm');
  for (int i = 0; i < 30; ++i) {
    Build build = small_build("build " + std::to_string(i));
    build.files = {{.name = "mesh-" + std::to_string(i) + ".stl", .bytes = mesh}};
    book.add(build);
  }
  book = Book::open(scratch.path("other.db"), Book::Mode::change);  // closes the first
  EXPECT_LT(std::filesystem::file_size(path), 2 * mesh.size());
  EXPECT_GT(std::filesystem::file_size(path), mesh.size());
}

TEST_F(ABook, DropsTheBytesOfAFileWithItsLastBuild) {
  const std::string secret = "the only place of these bytes " + std::string(5000, 's');
  Build build = small_build("one");
  build.files = {{.name = "a.stl", .bytes = secret}};
  book.add(build);
  book.add(build);
  const auto is_kept = [&] {
    book = Book::open(scratch.path("other.db"), Book::Mode::change);
    std::ifstream in(path, std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(in), {});
    book = Book::open(path, Book::Mode::change);
    return bytes.find("the only place of these bytes") != std::string::npos;
  };
  EXPECT_TRUE(is_kept());
  book.forget(1, "2026-04-01");
  EXPECT_TRUE(is_kept());
  EXPECT_EQ(book.show(2).build.files, build.files);
  book.forget(2, "2026-04-01");
  EXPECT_FALSE(is_kept());
}

TEST_F(ABook, TellsWhichBuildIsNotThere) {
  EXPECT_EQ(refusal([&] { (void)book.show(7); }),
            path +
                ": there is no build 7 in the notebook; notebook list shows the builds that "
                "there are");
  EXPECT_THAT(refusal([&] { book.add_tank(7, {.date = "2026-03-02"}); }), HasSubstr("no build 7"));
  EXPECT_THAT(refusal([&] { book.forget(7, "2026-03-02"); }), HasSubstr("no build 7"));
}

class FindInABook : public ABook {
 protected:
  FindInABook() {
    Build build = small_build("Needle 165");
    build.facts.notes = "swims slow, Röyttä";
    book.add(build);
    build = small_build("Stubby");
    build.facts.kind = "stout";
    build.facts.figures.wood = "balsa";
    build.facts.figures.length_mm = 90;
    build.facts.figures.state = water::State::sinks;
    build.facts.as_built = parse_as_built("# weighed by lamplight\ntotal = 20\n", "a.toml");
    book.add(build);
    build = small_build("no figures");
    build.facts.figures = {};
    build.sheet += "# deep hole\n";
    book.add(build);
    book.add_tank(3, {.date = "2026-03-02", .notes = "leaned to the left"});
  }

  [[nodiscard]] std::vector<std::int64_t> found(const Query& query) const {
    return ids(book.find(query));
  }
};

TEST_F(FindInABook, ByNothingIsAll) { EXPECT_THAT(found({}), ElementsAre(1, 2, 3)); }

TEST_F(FindInABook, ByWood) {
  EXPECT_THAT(found({.wood = "Cedar"}), ElementsAre(1));
  EXPECT_THAT(found({.wood = "balsa"}), ElementsAre(2));
  EXPECT_THAT(found({.wood = "oak"}), IsEmpty());
}

TEST_F(FindInABook, ByKind) {
  EXPECT_THAT(found({.kind = "Stout"}), ElementsAre(2));
  EXPECT_THAT(found({.kind = "sto"}), IsEmpty());
}

TEST_F(FindInABook, ByLengthBothEndsCounted) {
  EXPECT_THAT(found({.shortest_mm = 90, .longest_mm = 165}), ElementsAre(1, 2));
  EXPECT_THAT(found({.shortest_mm = 90.1}), ElementsAre(1));
  EXPECT_THAT(found({.longest_mm = 164.9}), ElementsAre(2));
}

TEST_F(FindInABook, ByState) {
  EXPECT_THAT(found({.state = water::State::sinks}), ElementsAre(2));
  EXPECT_THAT(found({.state = water::State::suspends}), IsEmpty());
}

TEST_F(FindInABook, ByWordsWhereverTheyStand) {
  EXPECT_THAT(found({.words = {"needle"}}), ElementsAre(1));
  EXPECT_THAT(found({.words = {"Röyttä"}}), ElementsAre(1));
  EXPECT_THAT(found({.words = {"DEEP HOLE"}}), ElementsAre(3));
  EXPECT_THAT(found({.words = {"lamplight"}}), ElementsAre(2));
  EXPECT_THAT(found({.words = {"leaned"}}), ElementsAre(3));
  EXPECT_THAT(found({.words = {"mesh"}}), ElementsAre(1, 2, 3));
}

TEST_F(FindInABook, ByAllThatIsAskedTogether) {
  EXPECT_THAT(found({.words = {"needle", "slow"}}), ElementsAre(1));
  EXPECT_THAT(found({.words = {"needle", "lamplight"}}), IsEmpty());
  EXPECT_THAT(found({.wood = "cedar", .words = {"stubby"}}), IsEmpty());
}

TEST_F(ABook, RefusesWhatItCouldNotGiveBack) {
  const auto refused = [&](const auto& change) {
    Build build = small_build("one");
    change(build);
    return refusal([&] { book.add(build); });
  };
  EXPECT_EQ(refused([](Build& b) { b.facts.title = "caf\xE9"; }),
            "title is not text in UTF-8; save it as UTF-8");
  EXPECT_EQ(refused([](Build& b) { b.sheet = "\xC0\x80"; }),
            "the sheet is not text in UTF-8; save it as UTF-8");
  EXPECT_EQ(refused([](Build& b) { b.files[0].name = "\xED\xA0\x80"; }),
            "the name of a file is not text in UTF-8; save it as UTF-8");
  EXPECT_EQ(refused([](Build& b) { b.facts.figures.mass_g = 1.0 / 0.0; }),
            "mass_g is no number that can be kept; leave it out");
  EXPECT_EQ(refused([](Build& b) { b.files.push_back(b.files[0]); }),
            "two files of one build are named \"a.stl\"; keep one of them");
  EXPECT_EQ(refused([](Build& b) { b.facts.notes = std::string(20'001, 'n'); }),
            "notes is longer than 20000 bytes; shorten it");
  EXPECT_EQ(refused([](Build& b) { b.files.resize(101); }),
            "a build has more than 100 files; keep the mesh and the drawings only");
  EXPECT_THAT(book.list(), IsEmpty());
}

TEST_F(ABook, RefusesADayThatThereIsNot) {
  for (const char* date : {"", "2026-02-29", "2026-13-01", "2026-1-01", "01.03.2026", "2026-03-01T",
                           "2026-03-01T24:00:00Z", "2026-03-01T18:30:00", "2026-03-01 18:30:00Z",
                           "2026-03-01T18:30:00+", "2026-03-01T18:30:00Zx"}) {
    Build build = small_build("one");
    build.facts.added = date;
    EXPECT_EQ(refusal([&] { book.add(build); }),
              '"' + std::string(date) +
                  "\" is no date; write 2026-03-01, or with the time in UTC 2026-03-01T18:30:00Z");
  }
  Build build = small_build("one");
  build.facts.added = "2024-02-29";
  EXPECT_EQ(refusal([&] { book.add(build); }), "");
}

// Source: XDG Base Directory Specification 0.8.
TEST(TheUsualPlace, IsUnderTheDataHome) {
  EXPECT_EQ(default_book_path("/data", "/home/m"), "/data/trueblank/notebook.db");
  EXPECT_EQ(default_book_path({}, "/home/m"), "/home/m/.local/share/trueblank/notebook.db");
  EXPECT_EQ(default_book_path("", "/home/m"), "/home/m/.local/share/trueblank/notebook.db");
  EXPECT_EQ(default_book_path("here", "/home/m"), "/home/m/.local/share/trueblank/notebook.db");
  EXPECT_EQ(refusal([] { (void)default_book_path({}, {}); }),
            "there is no place for the notebook, since neither XDG_DATA_HOME nor HOME is set; name "
            "its file with --book");
}

}  // namespace
}  // namespace trueblank::notebook
