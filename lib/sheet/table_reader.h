// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "sheet/quantity.h"
#include "sheet/toml_tree.h"

namespace trueblank::sheet {

/// A kind of table: how it is headed, and what may stand in it.
struct TableKind {
  std::string_view heading;  ///< "[[hook]]"
  std::span<const std::string_view> known;
};

/// What a number may be.
struct Allowed {
  Quantity quantity = Quantity::length;
  double least = 0;
  double most = 0;
  bool above_least = false;  ///< the least itself is refused too
  std::string_view range;    ///< in words: "more than 0"
  std::string_view mend = {};
  std::string_view range_above = {};  ///< said in place of `range` where the value is too big
};

/// Reads a table's keys by type and unit, and refuses what it can't use with the place of it.
/// Everything but where_… throws InputError.
class TableReader {
 public:
  /// Refuses a key that is not known.
  TableReader(const Node& table, const TableKind& kind, const std::string& file);

  [[nodiscard]] bool has(std::string_view key) const { return find(key) != nullptr; }

  [[nodiscard]] const Node* find(std::string_view key) const;

  [[nodiscard]] const std::string& file() const { return file_; }

  [[nodiscard]] std::string_view heading() const { return kind_.heading; }

  [[nodiscard]] const Spot& spot() const { return table_.spot; }

  [[nodiscard]] Spot spot_of_key(std::string_view key) const;  ///< the table's where it is missing
  [[nodiscard]] std::string where_key(std::string_view key) const;
  [[nodiscard]] std::string where_value(std::string_view key) const;
  [[nodiscard]] std::string where_table() const;

  /// A text, its control characters made spaces.
  [[nodiscard]] std::optional<std::string> text(std::string_view key) const;
  [[nodiscard]] std::optional<double> number(std::string_view key, const Allowed& allowed) const;
  /// As above, and refused where it is missing; `mend` says what to write.
  [[nodiscard]] double required_number(std::string_view key, const Allowed& allowed,
                                       std::string_view mend) const;
  /// Refuses two keys that say the same thing twice.
  void not_both(std::string_view one, std::string_view other, std::string_view why) const;

 private:
  [[nodiscard]] const Entry* find_entry(std::string_view key) const;

  const Node& table_;
  TableKind kind_;
  const std::string& file_;
};

/// A number, or a text with a unit, as a quantity; `key` is for messages.
/// throws  InputError
[[nodiscard]] double quantity_of(const Node& node, std::string_view key, const Allowed& allowed,
                                 const std::string& file);

/// "a text", "a list", …
[[nodiscard]] std::string_view kind_name(Node::Kind kind);

}  // namespace trueblank::sheet
