// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "notebook/book.h"
#include "report/notebook_report.h"
#include "verbs.h"

namespace trueblank::tools {

/// What the trials of a book teach, its builds read again from what is kept of them.
class BookLessons {
 public:
  /// Reads each build that was tried, and `wanted` where one is to be foretold.
  ///
  /// throws  InputError where the book can't be read
  BookLessons(const notebook::Book& book, std::optional<std::int64_t> wanted,
              const Workshop& workshop);
  ~BookLessons();
  BookLessons(const BookLessons&) = delete;
  BookLessons& operator=(const BookLessons&) = delete;

  /// Builds that could not be read again: each a sentence.
  [[nodiscard]] const std::vector<std::string>& warnings() const;
  [[nodiscard]] report::LearnedBook learned() const;
  /// Of the wanted build, in its sheet's own water; nothing where it could not be read.
  [[nodiscard]] std::optional<report::Foretold> foretold(const report::LearnedBook& learned) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace trueblank::tools
