// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include "invented_builds.h"
#include "kill_writers.h"
#include "notebook/book.h"
#include "notebook/database.h"
#include "round_trip.h"

namespace trueblank::notebook {
namespace {

TEST(AThousandInventedBuilds, LoseNoByteByExportAndImport) { round_trip(1000, 4); }

TEST(AKilledWriter, LosesNothingThatWasConfirmedInTwoHundredKills) { kill_writers(200); }

TEST(ABookThatAnotherDoesNotLetGo, IsGivenTenSecondsAndThenALine) {
  const Scratch scratch;
  const std::string path = scratch.path("book.db");
  const Build build = invented_builds(1, 50)[0].build;
  Book::open(path, Book::Mode::change).add(build);
  Database other(path, Database::Access::write);
  const Transaction holds(other, Transaction::Kind::change);
  EXPECT_EQ(refusal([&] { Book::open(path, Book::Mode::change).add(build); }),
            path +
                ": another program has been changing the notebook for ten seconds; let "
                "it finish and do it again, what was kept before is as it was");
  EXPECT_TRUE(same_build(Book::open(path, Book::Mode::look).show(1).build, build));
}

}  // namespace
}  // namespace trueblank::notebook
