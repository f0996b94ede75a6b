// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "notebook/book.h"
#include "notebook/learning.h"
#include "notebook/learning_calibration.h"
#include "notebook/ratios.h"
#include "report/numbers.h"

// The record of builds: what stands in it, and what it teaches.
namespace trueblank::report {

/// What a book's trials teach. Builds are counted from 0, as `ids` has them.
struct LearnedBook {
  std::vector<std::int64_t> ids = {};
  std::vector<std::string> titles = {};
  std::vector<notebook::Cause> causes = {};
  notebook::Learned learned = {};
  notebook::Comparison by_sheet = {};  ///< what was read beside what the sheets foretell
  std::vector<notebook::Calibration> calibration = {};
};

/// What is foretold of a build that the water has not seen.
struct Foretold {
  std::vector<notebook::Expected> expected;
};

/// What `notebook` did or found; what the action has no use for is empty.
struct NotebookResult {
  std::string action;                              ///< "add", "tank", …
  std::string book;                                ///< its path
  std::optional<body::InputFacts> input = {};      ///< of the body that was kept
  std::vector<notebook::ListedBuild> builds = {};  ///< that were listed, found, added or tried
  std::optional<std::int64_t> tank_record = {};    ///< the number of the one that was kept
  std::optional<notebook::ShownBuild> shown = {};
  std::vector<notebook::Tombstone> tombstones = {};
  std::vector<notebook::RatioGroup> ratios = {};
  std::optional<notebook::NewBlank> blank = {};
  std::optional<notebook::Suggestion> suggestion = {};
  std::optional<LearnedBook> learned = {};
  std::optional<Foretold> foretold = {};
  std::optional<notebook::Imported> imported = {};
  std::string folder = {};   ///< of an export or import
  std::string written = {};  ///< of a copy: the new sheet
  std::vector<std::string> warnings = {};
};

[[nodiscard]] std::string answer(const NotebookResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const NotebookResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const NotebookResult& result);

}  // namespace trueblank::report
