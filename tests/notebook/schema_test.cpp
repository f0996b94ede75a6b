// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/schema.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sqlite3.h>

#include <fstream>

#include "invented_builds.h"
#include "notebook/book.h"
#include "notebook/database.h"

namespace trueblank::notebook {
namespace {

using testing::ElementsAre;

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

// A notebook as version 1 of its tables made it, from SQL that is never changed.
class ABookOfVersionOne : public testing::Test {
 protected:
  ABookOfVersionOne() {
    const std::string sql =
        bytes_of(std::string(TRUEBLANK_SOURCE_DIR) + "/tests/notebook/version_1.sql");
    EXPECT_FALSE(sql.empty());
    Database database(path, Database::Access::write);
    database.use_write_ahead_log();
    database.run(sql);
    EXPECT_EQ(schema_of(database), 1);
  }

  static void expect_what_was_in_it(const Book& book) {
    const std::vector<ListedBuild> list = book.list();
    ASSERT_EQ(list.size(), 2U);
    const ShownBuild first = book.show(1);
    const BuildFacts& facts = first.build.facts;
    EXPECT_EQ(facts.added, "2026-01-05T19:00:00Z");
    EXPECT_EQ(facts.title, "Needle 165");
    EXPECT_EQ(facts.notes, "first of the winter; Röyttä");
    EXPECT_EQ(facts.program_version, "0.1.0");
    EXPECT_EQ(facts.sheet_name, "needle.toml");
    EXPECT_EQ(facts.kind, "");
    EXPECT_EQ(facts.figures.wood, "western redcedar");
    EXPECT_EQ(facts.figures.length_mm, 165);
    EXPECT_EQ(facts.figures.state, water::State::floats);
    EXPECT_EQ(facts.figures.mass_g, 58.25);
    EXPECT_EQ(facts.figures.list_deg, std::nullopt);
    EXPECT_EQ(facts.figures.undrilled_wood_g, std::nullopt);
    ASSERT_TRUE(facts.figures.water.has_value());
    EXPECT_EQ(facts.figures.water->salinity, 35);
    ASSERT_TRUE(facts.as_built.has_value());
    EXPECT_EQ(facts.as_built->total_g, 58.5);
    EXPECT_EQ(first.build.sheet, "[body]\nmesh = \"needle.stl\"\n");
    EXPECT_EQ(first.build.results_json, "{\"mass_g\": 58.25}");
    EXPECT_THAT(first.build.files, ElementsAre(KeptFile{"needle.stl", "solid needle"}));
    ASSERT_EQ(first.tank.size(), 1U);
    EXPECT_EQ(first.tank[0].date, "2026-01-06");
    EXPECT_EQ(first.tank[0].tail_down_deg, 11.5);
    EXPECT_EQ(first.tank[0].tail_down_sd_deg, 2);
    EXPECT_EQ(first.tank[0].photograph, std::nullopt);
    EXPECT_EQ(first.tank[0].water.temperature_c, 20);
    EXPECT_EQ(first.tank[0].notes, "rode high");
    EXPECT_EQ(book.show(3).build.files, first.build.files);
    EXPECT_THAT(book.tombstones(), ElementsAre(Tombstone{.id = 2,
                                                         .added = "2026-01-07T19:00:00Z",
                                                         .title = "cracked",
                                                         .forgotten = "2026-01-08"}));
  }

  Scratch scratch;
  std::string path = scratch.path("book.db");
};

TEST_F(ABookOfVersionOne, IsBroughtUpToDateWithAllThatIsInIt) {
  expect_what_was_in_it(Book::open(path, Book::Mode::change));
  expect_what_was_in_it(Book::open(path, Book::Mode::look));
  Database database(path, Database::Access::read);
  EXPECT_EQ(schema_of(database), newest_schema());
}

TEST_F(ABookOfVersionOne, ThenHasTheTablesOfANewOne) {
  (void)Book::open(path, Book::Mode::change);
  (void)Book::open(scratch.path("new.db"), Book::Mode::change);
  const auto tables = [](const std::string& of) {
    Database database(of, Database::Access::read);
    Statement query(database, "SELECT name, coalesce(sql, '') FROM sqlite_schema ORDER BY name");
    std::string text;
    while (query.row()) text += query.bytes(0) + ": " + query.bytes(1) + '\n';
    return text;
  };
  EXPECT_EQ(tables(path), tables(scratch.path("new.db")));
}

TEST_F(ABookOfVersionOne, CanBeGoneOnWith) {
  Book book = Book::open(path, Book::Mode::change);
  const InventedBuild invented = invented_builds(1, 30)[0];
  EXPECT_EQ(book.add(invented.build), 4);
  EXPECT_TRUE(same_build(book.show(4).build, invented.build));
  book.add_tank(1, {.date = "2026-02-01", .photograph = Photograph{.tail = {100, 20}}});
  EXPECT_EQ(book.show(1).tank[1].photograph->tail, (PicturePoint{100, 20}));
  book.forget(1, "2026-02-02");
  EXPECT_EQ(book.show(3).build.files[0].bytes, "solid needle");
}

TEST_F(ABookOfVersionOne, IsLeftAsItIsByOneWhoLooks) {
  const std::string before = bytes_of(path);
  expect_what_was_in_it(Book::open(path, Book::Mode::look));
  EXPECT_EQ(bytes_of(path), before);
}

// A step that fails half way: there is room for no further page.
TEST_F(ABookOfVersionOne, StaysOneWhereItsStepFails) {
  {
    Database database(path, Database::Access::write);
    database.run("PRAGMA max_page_count = 1");  // SQLite takes as many as there are
    EXPECT_EQ(refusal([&] { bring_up_to_date(database); }),
              path +
                  ": there is no room left for the notebook on its disk; make room and do it "
                  "again, what was kept before is as it was");
    EXPECT_EQ(schema_of(database), 1);
  }
  expect_what_was_in_it(Book::open(path, Book::Mode::change));
}

TEST_F(ABookOfVersionOne, IsTheFixtureOfEachLaterTest) {
  // Every version that was given out can be brought up from: with version 3, a fixture of 2 too.
  EXPECT_EQ(newest_schema(), 2);
}

// Another program that makes the tables, or tries to, before each of this one's statements from
// the first that is told (counted from 0).
class MakesTheTables {
 public:
  MakesTheTables(const std::string& path, Database& before, int first)
      : others_(path, Database::Access::write), first_(first) {
    sqlite3_busy_timeout(others_.handle(), 0);
    sqlite3_trace_v2(before.handle(), SQLITE_TRACE_STMT, try_once, this);
  }

  [[nodiscard]] int statements() const { return statements_; }

 private:
  static int try_once(unsigned /*kind*/, void* self, void* /*statement*/, void* /*sql*/) {
    auto& maker = *static_cast<MakesTheTables*>(self);
    if (maker.statements_++ >= maker.first_) {
      (void)refusal([&] { bring_up_to_date(maker.others_); });  // that it is busy
    }
    return 0;
  }

  Database others_;
  int first_;
  int statements_ = 0;
};

TEST(ABookThatIsJustMade, IsNewOrWholeToAnother) {
  for (int first = 0; first < 5; ++first) {
    const Scratch scratch;
    const std::string path = scratch.path("book.db");
    Database database(path, Database::Access::write);
    MakesTheTables maker(path, database, first);
    std::int64_t version = -1;
    EXPECT_EQ(refusal([&] { version = schema_of(database); }), "") << first;
    // BEGIN, the first, holds nobody up: the moment is that of the first question.
    EXPECT_EQ(version, first <= 1 ? newest_schema() : 0) << first;
    EXPECT_GE(maker.statements(), 3) << first;
  }
}

TEST(ABookOfALaterVersion, IsLeftAlone) {
  const Scratch scratch;
  const std::string path = scratch.path("book.db");
  (void)Book::open(path, Book::Mode::change);
  Database(path, Database::Access::write).run("PRAGMA user_version = 3");
  const std::string before = bytes_of(path);
  for (const Book::Mode mode : {Book::Mode::look, Book::Mode::change}) {
    EXPECT_EQ(refusal([&] { (void)Book::open(path, mode); }),
              path +
                  ": is a notebook of version 3, and this program knows versions up to 2; use "
                  "the newer program that wrote it, nothing was changed");
  }
  EXPECT_EQ(bytes_of(path), before);
}

}  // namespace
}  // namespace trueblank::notebook
