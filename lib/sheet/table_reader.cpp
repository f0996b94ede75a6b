// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/table_reader.h"

#include <algorithm>
#include <cmath>

#include "sheet/messages.h"
#include "sheet/nearest_word.h"

namespace trueblank::sheet {

namespace {

bool among(std::string_view word, std::span<const std::string_view> words) {
  return std::ranges::find(words, word) != words.end();
}

}  // namespace

std::string_view kind_name(Node::Kind kind) {
  switch (kind) {
    case Node::Kind::table:
      return "a table";
    case Node::Kind::list:
      return "a list";
    case Node::Kind::text:
      return "a text";
    case Node::Kind::number:
      return "a number";
    case Node::Kind::truth:
      return "true or false";
    case Node::Kind::date:
      break;
  }
  return "a date";
}

TableReader::TableReader(const Node& table, const TableKind& kind, const std::string& file)
    : table_(table), kind_(kind), file_(file) {
  for (const Entry& entry : table.entries) {
    if (among(entry.key, kind.known)) continue;
    const std::string place = where(file, entry.start());
    const std::string_view nearest = nearest_word(entry.key, kind.known);
    if (nearest.empty()) {
      throw unknown_key_among(place, entry.key, kind.heading, listed(kind.known));
    }
    throw unknown_key(place, entry.key, nearest);
  }
}

const Entry* TableReader::find_entry(std::string_view key) const {
  const auto found = std::ranges::find(table_.entries, key, &Entry::key);
  return found == table_.entries.end() ? nullptr : &*found;
}

const Node* TableReader::find(std::string_view key) const {
  const Entry* entry = find_entry(key);
  return entry == nullptr ? nullptr : &entry->value;
}

Spot TableReader::spot_of_key(std::string_view key) const {
  const Entry* entry = find_entry(key);
  return entry == nullptr ? table_.spot : entry->start();
}

std::string TableReader::where_key(std::string_view key) const {
  return where(file_, spot_of_key(key));
}

std::string TableReader::where_value(std::string_view key) const {
  const Node* node = find(key);
  return node == nullptr ? where_table() : where(file_, node->spot);
}

std::string TableReader::where_table() const { return where(file_, table_.spot); }

std::optional<std::string> TableReader::text(std::string_view key) const {
  const Node* node = find(key);
  if (node == nullptr) return std::nullopt;
  if (node->kind != Node::Kind::text) {
    throw wrong_type(where_value(key), key, kind_name(node->kind), "a text in quotes");
  }
  return without_control_characters(node->text);
}

std::optional<double> TableReader::number(std::string_view key, const Allowed& allowed) const {
  const Node* node = find(key);
  if (node == nullptr) return std::nullopt;
  return quantity_of(*node, key, allowed, file_);
}

double TableReader::required_number(std::string_view key, const Allowed& allowed,
                                    std::string_view mend) const {
  const std::optional<double> value = number(key, allowed);
  if (!value) throw key_missing(where_table(), kind_.heading, key, mend);
  return *value;
}

void TableReader::not_both(std::string_view one, std::string_view other,
                           std::string_view why) const {
  if (!has(one) || !has(other)) return;
  const Spot first = spot_of_key(one);
  const Spot second = spot_of_key(other);
  const bool one_first =
      first.line < second.line || (first.line == second.line && first.column < second.column);
  throw not_together(where(file_, one_first ? second : first), one, other, why);
}

double quantity_of(const Node& node, std::string_view key, const Allowed& allowed,
                   const std::string& file) {
  const std::string place = where(file, node.spot);
  double value = node.number;
  if (node.kind == Node::Kind::text) {
    const ReadQuantity read = read_quantity(node.text, allowed.quantity);
    if (read.fault != ReadQuantity::Fault::none) {
      throw bad_quantity(place, key, node.text, read, allowed.quantity);
    }
    value = read.value;
  } else if (node.kind != Node::Kind::number) {
    throw wrong_type(place, key, kind_name(node.kind), quantity_name(allowed.quantity));
  }
  if (!std::isfinite(value)) throw not_finite(place, key);
  const bool too_small = allowed.above_least ? value <= allowed.least : value < allowed.least;
  if (value > allowed.most && !allowed.range_above.empty()) {
    throw out_of_range(place, key, value, allowed.range_above, allowed.mend);
  }
  if (too_small || value > allowed.most) {
    throw out_of_range(place, key, value, allowed.range, allowed.mend);
  }
  return value;
}

}  // namespace trueblank::sheet
