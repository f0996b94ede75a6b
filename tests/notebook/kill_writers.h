// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "invented_builds.h"
#include "notebook/book.h"

namespace trueblank::notebook {

/// One long history of a book: step after step, the same whoever takes it.
class History {
 public:
  History();

  /// Of five steps three add a build, one a tank record to the last, and one forgets the last but
  /// one.
  void take(Book& book, int step) const;

 private:
  std::vector<InventedBuild> builds_;
};

/// A writer that tells each step that the book has confirmed by a byte, for as long as it lives.
void write_on(const std::string& path, const History& history, int from, int to);

/// Kills writers at any moment, from before they have opened the book on, and after each holds the
/// book to what was confirmed, or that and the one step that was not yet confirmed when the signal
/// came.
void kill_writers(int times);

}  // namespace trueblank::notebook
