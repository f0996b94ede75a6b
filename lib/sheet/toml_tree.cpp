// SPDX-License-Identifier: GPL-3.0-or-later
#define TOML_HEADER_ONLY 0
#include "sheet/toml_tree.h"

#include <toml++/toml.h>

#include <algorithm>
#include <utility>

#include "sheet/messages.h"
#include "sheet/syntax.h"
#include "sheet/text_check.h"

namespace trueblank::sheet {

namespace {

Spot spot_of(const toml::source_region& region) {
  return {static_cast<int>(region.begin.line), static_cast<int>(region.begin.column)};
}

bool comes_before(const Entry& a, const Entry& b) {
  return std::pair(a.key_spot.line, a.key_spot.column) <
         std::pair(b.key_spot.line, b.key_spot.column);
}

Node node_of(const toml::node& from);

void fill_table(Node& node, const toml::table& table) {
  for (auto&& [key, value] : table) {
    node.entries.push_back({std::string(key.str()), spot_of(key.source()), node_of(value)});
  }
  std::ranges::stable_sort(node.entries, comes_before);
}

Node node_of(const toml::node& from) {
  Node node;
  node.spot = spot_of(from.source());
  if (const toml::table* table = from.as_table()) {
    fill_table(node, *table);
  } else if (const toml::array* list = from.as_array()) {
    node.kind = Node::Kind::list;
    for (const toml::node& item : *list) node.items.push_back(node_of(item));
  } else if (const auto* text = from.as_string()) {
    node.kind = Node::Kind::text;
    node.text = text->get();
  } else if (const auto* whole = from.as_integer()) {
    node.kind = Node::Kind::number;
    node.number = static_cast<double>(whole->get());
  } else if (const auto* real = from.as_floating_point()) {
    node.kind = Node::Kind::number;
    node.number = real->get();
  } else if (const auto* truth = from.as_boolean()) {
    node.kind = Node::Kind::truth;
    node.number = truth->get() ? 1 : 0;
  } else {
    node.kind = Node::Kind::date;
  }
  return node;
}

}  // namespace

Node parse_toml(std::string_view text, const std::string& file) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);  // a byte order mark is no content
  check_text(text, file);
  try {
    const toml::table table = toml::parse(text);
    return node_of(table);
  } catch (const toml::parse_error& error) {
    throw syntax_error(text, file, spot_of(error.source()), error.description());
  }
}

}  // namespace trueblank::sheet
