// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

// How text is laid out on a screen of 80 columns or more.
namespace trueblank::report {

inline constexpr int text_width = 79;

/// How many columns a text takes: code points, all that we write being of single width.
[[nodiscard]] int columns(std::string_view text);

/// Words over lines of at most text_width, each ended; the first line and those after it indented.
[[nodiscard]] std::string paragraph(std::string_view text, int later_indent = 0,
                                    int first_indent = 0);

/// "Note: ..." for each, wrapped; nothing where there are none.
[[nodiscard]] std::string notes(const std::vector<std::string>& warnings);

/// A file's name as it can be shown: control characters and broken UTF-8 as '?'.
[[nodiscard]] std::string shown(std::string_view name);

/// Columns under headings; the first to the left, the rest to the right.
class Table {
 public:
  void row(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }

  /// Indented by two, two spaces between the columns, no trailing spaces.
  [[nodiscard]] std::string text() const;

 private:
  std::vector<std::vector<std::string>> rows_;
};

/// Names and values, the values in one column, wrapped there.
class Facts {
 public:
  void add(std::string name, std::string value) {
    facts_.emplace_back(std::move(name), std::move(value));
  }

  [[nodiscard]] std::string text() const;

 private:
  std::vector<std::pair<std::string, std::string>> facts_;
};

}  // namespace trueblank::report
