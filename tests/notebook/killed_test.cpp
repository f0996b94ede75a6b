// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>
#include <unistd.h>

#include <map>

#include "child.h"
#include "invented_builds.h"
#include "kill_writers.h"
#include "notebook/book.h"

namespace trueblank::notebook {
namespace {

TEST(AKilledWriter, LosesNothingThatWasConfirmed) { kill_writers(15); }

TEST(TwoWriters, BothSucceed) {
  const Scratch scratch;
  const std::string path = scratch.path("book.db");  // not there yet: both make it
  constexpr int each = 60;
  const auto write_some = [&](const std::string& name) {
    return [&, name](int to) {
      const std::string line = refusal([&] {
        Book book = Book::open(path, Book::Mode::change);
        for (int i = 0; i < each; ++i) {
          Build build = invented_builds(1, 22)[0].build;
          build.facts.title = name + ' ' + std::to_string(i);
          book.add_tank(book.add(build), {.date = "2026-03-02", .notes = build.facts.title});
        }
      });
      (void)!::write(to, line.data(), line.size());
    };
  };
  const Child one(write_some("one"));
  const Child two(write_some("two"));
  EXPECT_EQ(one.read_all(), "");
  EXPECT_EQ(two.read_all(), "");
  EXPECT_EQ(one.wait(), 0);
  EXPECT_EQ(two.wait(), 0);
  std::map<std::string, int> last;
  const Book book = Book::open(path, Book::Mode::look);
  const std::vector<ListedBuild> list = book.list();
  EXPECT_EQ(list.size(), 2U * each);
  for (std::size_t i = 0; i < list.size(); ++i) {
    EXPECT_EQ(list[i].facts.id, static_cast<std::int64_t>(i) + 1);
    ASSERT_EQ(list[i].tank.size(), 1U);
    EXPECT_EQ(list[i].tank[0].notes, list[i].facts.title);
    // Each one's own come in its own order.
    const std::string name = list[i].facts.title.substr(0, 3);
    EXPECT_EQ(list[i].facts.title, name + ' ' + std::to_string(last[name]++));
  }
}

TEST(AReader, SeesTheBookWholeWhileOthersWrite) {
  const Scratch scratch;
  const std::string path = scratch.path("book.db");
  const History history;
  (void)Book::open(path, Book::Mode::change);
  const Child writer([&](int to) { write_on(path, history, 0, to); });
  char done = 0;
  for (int look = 0; look < 30 && writer.read_byte(done); ++look) {
    const Book book = Book::open(path, Book::Mode::look);
    std::int64_t greatest = 0;
    for (const ListedBuild& build : book.list()) {
      EXPECT_GT(build.facts.id, greatest);
      greatest = build.facts.id;
    }
    EXPECT_GT(greatest, 0);
  }
  writer.kill();
  EXPECT_EQ(writer.wait(), -SIGKILL);
}

}  // namespace
}  // namespace trueblank::notebook
