// SPDX-License-Identifier: GPL-3.0-or-later
#include "round_trip.h"

#include <gtest/gtest.h>

#include "invented_builds.h"
#include "notebook/book.h"

namespace trueblank::notebook {

void round_trip(std::size_t count, std::uint64_t seed) {
  const Scratch scratch;
  const std::vector<InventedBuild> builds = invented_builds(count, seed);
  Book book = Book::open(scratch.path("book.db"), Book::Mode::change);
  add_all(book, builds);
  std::size_t forgotten = 0;
  for (std::int64_t id = 3; id <= static_cast<std::int64_t>(count); id += 10, ++forgotten) {
    book.forget(id, "2026-04-01");
  }
  book.export_to(scratch.path("out"));

  Book other = Book::open(scratch.path("other.db"), Book::Mode::change);
  const Imported imported = other.import_from(scratch.path("out"));
  EXPECT_EQ(imported.added.size(), count - forgotten);
  EXPECT_EQ(imported.tombstones, forgotten);
  EXPECT_TRUE(imported.renumbered.empty());
  EXPECT_EQ(other.tombstones(), book.tombstones());
  for (const std::int64_t id : imported.added) {
    const InventedBuild& was = builds[static_cast<std::size_t>(id) - 1];
    const ShownBuild is = other.show(id);
    ASSERT_TRUE(same_build(is.build, was.build)) << id;
    ASSERT_EQ(is.tank.size(), was.tank.size()) << id;
    for (std::size_t k = 0; k < is.tank.size(); ++k) {
      ASSERT_TRUE(same_record(is.tank[k], was.tank[k])) << id << ' ' << k;
    }
  }
  other.export_to(scratch.path("again"));
  const auto files = all_files(scratch.path("out"));
  EXPECT_GT(files.size(), 3 * count);
  EXPECT_TRUE(files == all_files(scratch.path("again")));
}

}  // namespace trueblank::notebook
