// SPDX-License-Identifier: GPL-3.0-or-later
#include "kill_writers.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <random>

#include "child.h"

namespace trueblank::notebook {

namespace {

// What a book holds, in words: numbers, titles, records, tombstones.
std::string told(const Book& book) {
  std::string text;
  for (const ListedBuild& build : book.list()) {
    text += std::to_string(build.facts.id) + ' ' + build.facts.title + '\n';
    for (const TankRecord& record : build.tank) text += "  " + record.notes + '\n';
  }
  for (const Tombstone& stone : book.tombstones()) {
    text += std::to_string(stone.id) + ' ' + stone.title + " forgotten\n";
  }
  return text;
}

}  // namespace

History::History() : builds_(invented_builds(100, 20)) {}

void History::take(Book& book, int step) const {
  const std::vector<ListedBuild> list = book.list();
  if (step % 5 == 3) {
    book.add_tank(list.back().facts.id,
                  {.date = "2026-03-02", .notes = "step " + std::to_string(step)});
  } else if (step % 5 == 4) {
    book.forget(list[list.size() - 2].facts.id, "2026-04-01");
  } else {
    Build build = builds_[static_cast<std::size_t>(step) % builds_.size()].build;
    build.facts.title = "step " + std::to_string(step);
    book.add(build);
  }
}

void write_on(const std::string& path, const History& history, int from, int to) {
  Book book = Book::open(path, Book::Mode::change);
  for (int step = from;; ++step) {
    history.take(book, step);
    const char done = '.';
    if (::write(to, &done, 1) != 1) return;
  }
}

void kill_writers(int times) {
  const Scratch scratch;
  const std::string path = scratch.path("book.db");
  const History history;
  std::mt19937_64 dice(21);
  Book undisturbed = Book::open(scratch.path("undisturbed.db"), Book::Mode::change);
  int steps = 0;
  for (int time = 0; time < times; ++time) {
    const Child writer([&](int to) { write_on(path, history, steps, to); });
    int confirmed = 0;
    char done = 0;
    for (auto wanted = dice() % 4; wanted > 0 && writer.read_byte(done); --wanted) ++confirmed;
    constexpr std::uint64_t longest_us = 3000;
    ::usleep(static_cast<useconds_t>(dice() % longest_us));
    writer.kill();
    confirmed += static_cast<int>(writer.read_all().size());
    ASSERT_EQ(writer.wait(), -SIGKILL);

    const Book book = Book::open(path, Book::Mode::change);
    for (int k = 0; k < confirmed; ++k) history.take(undisturbed, steps++);
    if (told(book) != told(undisturbed)) history.take(undisturbed, steps++);
    ASSERT_EQ(told(book), told(undisturbed)) << "killed " << time + 1 << " times";
  }
  EXPECT_GT(steps, times / 2);
  // To the last byte, and fit to go on with.
  Book book = Book::open(path, Book::Mode::change);
  history.take(book, steps);
  history.take(undisturbed, steps);
  book.export_to(scratch.path("a"));
  undisturbed.export_to(scratch.path("b"));
  EXPECT_TRUE(all_files(scratch.path("a")) == all_files(scratch.path("b")));
}

}  // namespace trueblank::notebook
