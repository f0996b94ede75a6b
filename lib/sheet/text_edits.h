// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "sheet/toml_tree.h"

namespace trueblank::sheet {

/// Changes to a sheet's text that leave the rest of it byte for byte. Of a text that parse_toml
/// takes; places are those of its tree, in the text as it was.
class TextEdits {
 public:
  explicit TextEdits(std::string_view text);

  /// Where a place is, in bytes.
  [[nodiscard]] std::size_t byte_of(const Spot& spot) const;
  /// Just past a value: a list, a table in braces, a text, a number.
  [[nodiscard]] std::size_t end_of(const Node& value) const;
  /// Likewise, of one that begins there.
  [[nodiscard]] std::size_t end_of(std::size_t from) const;

  [[nodiscard]] char at(std::size_t byte) const { return byte < text_.size() ? text_[byte] : '\0'; }

  [[nodiscard]] bool is_in_braces(const Node& table) const;
  [[nodiscard]] bool has_heading(const Node& table) const;

  void replace(std::size_t from, std::size_t to, std::string by);

  void insert(std::size_t at, std::string what) { replace(at, at, std::move(what)); }

  /// A whole line before or after that of a place.
  void insert_line_before(const Spot& spot, std::string_view line);
  void insert_line_after(const Spot& spot, std::string_view line);
  /// A copy, as comments before the line of `at`, of the lines from one byte to another.
  void keep_as_comment(const Spot& at, std::size_t from, std::size_t to);
  /// Makes comments of the lines that a key, or a heading and all below it, takes.
  void comment_out(const Entry& entry);
  void comment_out_table(const Node& table);
  /// Whole lines at the end, on a line of their own.
  void append(std::string_view lines);

  /// The text with all of it done.
  [[nodiscard]] std::string done() const;

 private:
  struct Edit {
    std::size_t from = 0;
    std::size_t to = 0;
    std::string by;
  };

  [[nodiscard]] std::size_t line_start(std::size_t byte) const;
  void comment_out_lines(std::size_t from, std::size_t to);
  [[nodiscard]] std::string with_own_line_ends(std::string_view lines) const;

  std::string_view text_;
  std::vector<std::size_t> lines_;  // where each begins
  std::string line_end_;
  std::vector<Edit> edits_;
};

}  // namespace trueblank::sheet
