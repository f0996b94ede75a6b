// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/export_text.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "notebook/fields.h"
#include "notebook/messages.h"
#include "notebook/state_word.h"
#include "notebook/toml_text.h"
#include "sheet/toml_string.h"
#include "sheet/toml_tree.h"

namespace trueblank::notebook {

namespace {

using sheet::Entry;
using sheet::Node;
using sheet::toml_string;

// Beyond this a double does not tell whole numbers apart.
constexpr double greatest_whole = 9007199254740992;

struct Writer {
  static constexpr bool reads = false;
  std::string text;

  void line(std::string_view key, std::string_view value) {
    text += key;
    text += " = ";
    text += value;
    text += '\n';
  }

  void operator()(const char* name, const std::string& value) {
    if (!value.empty()) line(name, toml_string(value));
  }

  void operator()(const char* name, const std::optional<double>& value) {
    if (value) line(name, toml_number(*value));
  }

  void operator()(const char* name, const std::optional<water::State>& state) {
    if (state) line(name, toml_string(word_of(*state)));
  }
};

std::string list_of(const std::vector<std::int64_t>& numbers) {
  std::string list = "[";
  for (const std::int64_t number : numbers) {
    if (list.size() > 1) list += ", ";
    list += std::to_string(number);
  }
  return list + "]";
}

// A table whose keys are taken one by one; what nobody took is unknown.
class Table {
 public:
  static constexpr bool reads = true;

  Table(const Node& table, const std::string& file) : table_(table), file_(file) {}

  void operator()(const char* name, std::string& value) {
    if (const Node* node = take(name)) value = of_kind(*node, name, Node::Kind::text).text;
  }

  void operator()(const char* name, std::optional<double>& value) {
    if (const Node* node = take(name)) value = finite(*node, name);
  }

  void operator()(const char* name, std::optional<water::State>& state) {
    const Node* node = take(name);
    if (node == nullptr) return;
    state = state_of_word(of_kind(*node, name, Node::Kind::text).text);
    if (!state) throw export_value_wrong(place(*node), name, "floats, suspends or sinks");
  }

  [[nodiscard]] const Node* take(std::string_view key) {
    const auto found = std::ranges::find(table_.entries, key, &Entry::key);
    if (found == table_.entries.end()) return nullptr;
    taken_.insert(found->key);
    return &found->value;
  }

  [[nodiscard]] const Node& must_take(std::string_view key) {
    const Node* node = take(key);
    if (node == nullptr) throw export_key_missing(place(table_), key);
    return *node;
  }

  [[nodiscard]] std::int64_t whole(const Node& node, std::string_view key) const {
    const double value = of_kind(node, key, Node::Kind::number).number;
    if (!(value >= 0 && value < greatest_whole && std::floor(value) == value)) {
      throw export_value_wrong(place(node), key, "a whole number");
    }
    return static_cast<std::int64_t>(value);
  }

  /// Numbers of builds, from 1.
  [[nodiscard]] std::int64_t number(const Node& node, std::string_view key) const {
    const std::int64_t value = whole(node, key);
    if (value == 0) throw export_value_wrong(place(node), key, "a number from 1");
    return value;
  }

  [[nodiscard]] std::vector<std::int64_t> numbers(std::string_view key) {
    std::vector<std::int64_t> values;
    for (const Node& item : of_kind(must_take(key), key, Node::Kind::list).items) {
      values.push_back(number(item, key));
    }
    return values;
  }

  [[nodiscard]] const Node& of_kind(const Node& node, std::string_view key, Node::Kind kind) const {
    if (node.kind == kind) return node;
    const std::string_view wanted = kind == Node::Kind::text     ? "a text"
                                    : kind == Node::Kind::number ? "a number"
                                    : kind == Node::Kind::list   ? "a list"
                                                                 : "a table";
    throw export_value_wrong(place(node), key, wanted);
  }

  [[nodiscard]] double finite(const Node& node, std::string_view key) const {
    const double value = of_kind(node, key, Node::Kind::number).number;
    if (!std::isfinite(value)) throw export_value_wrong(place(node), key, "a finite number");
    return value + 0.0;  // without the sign of a zero, as the notebook keeps it
  }

  void no_more() const {
    for (const Entry& entry : table_.entries) {
      if (!taken_.contains(entry.key)) {
        throw export_key_unknown(sheet::where(file_, entry.key_spot), entry.key);
      }
    }
  }

  [[nodiscard]] std::string place(const Node& node) const { return sheet::where(file_, node.spot); }

 private:
  const Node& table_;
  const std::string& file_;
  std::set<std::string_view> taken_;
};

bool is_safe(char c) {
  return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '.' ||
         c == '_' || c == '-';
}

ExportedFile read_file_entry(const Node& node, const std::string& file) {
  Table table(node, file);
  ExportedFile exported;
  const Node& name = table.must_take("name");
  exported.name = table.of_kind(name, "name", Node::Kind::text).text;
  const Node& kept_as = table.must_take("kept_as");
  exported.kept_as = table.of_kind(kept_as, "kept_as", Node::Kind::text).text;
  // One name below files/, so that an import reads nothing but the export.
  const std::string_view below = exported.kept_as;
  constexpr std::string_view folder = "files/";
  const bool inside = below.starts_with(folder) && below.size() > folder.size() &&
                      std::ranges::all_of(below.substr(folder.size()), is_safe) &&
                      below[folder.size()] != '.';
  if (!inside) throw export_path_outside(table.place(kept_as), exported.kept_as);
  table.no_more();
  return exported;
}

}  // namespace

std::string folder_of_build(std::int64_t id) { return "builds/" + std::to_string(id); }

std::string tank_file(std::int64_t number) { return "tank-" + std::to_string(number) + ".toml"; }

std::string name_of_content(std::size_t number, std::string_view name) {
  constexpr std::size_t longest = 100;
  const std::size_t slash = name.find_last_of("/\\");
  if (slash != std::string_view::npos) name.remove_prefix(slash + 1);
  // Of a long one the end, where the format is told.
  if (name.size() > longest) name.remove_prefix(name.size() - longest);
  std::string safe = "files/" + std::to_string(number) + '-';
  for (const char c : name) safe += is_safe(c) ? c : '_';
  return safe;
}

std::string text_of(const BuildFacts& facts) {
  Writer writer;
  BuildFacts copy = facts;
  visit_facts(writer, copy);
  return writer.text;
}

std::string text_of(const TankRecord& record) {
  Writer writer;
  TankRecord copy = record;
  visit_record(writer, copy);
  return writer.text;
}

std::string text_of(const ExportedContents& contents) {
  Writer writer{.text = "# A notebook of trueblank: notebook import reads this folder again.\n"};
  writer.line("export", std::to_string(export_version));
  writer.line("builds", list_of(contents.builds));
  writer.line("forgotten", list_of(contents.forgotten));
  return writer.text;
}

std::string text_of(const ExportedBuild& build) {
  Writer writer;
  writer.line("id", std::to_string(build.facts.id));
  writer.text += text_of(build.facts);
  writer.line("as_built", build.has_as_built ? "true" : "false");
  writer.line("tank_records", std::to_string(build.tank_records));
  for (const ExportedFile& file : build.files) {
    writer.text += "\n[[file]]\n";
    writer.line("name", toml_string(file.name));
    writer.line("kept_as", toml_string(file.kept_as));
  }
  return writer.text;
}

std::string text_of(const Tombstone& tombstone) {
  Writer writer;
  writer.line("id", std::to_string(tombstone.id));
  writer.line("added", toml_string(tombstone.added));
  writer.line("title", toml_string(tombstone.title));
  writer.line("forgotten", toml_string(tombstone.forgotten));
  return writer.text;
}

ExportedContents read_contents(std::string_view text, const std::string& file) {
  const Node tree = sheet::parse_toml(text, file);
  Table table(tree, file);
  const Node& version = table.must_take("export");
  const std::int64_t number = table.number(version, "export");
  if (number > export_version) throw export_newer(table.place(version), number, export_version);
  ExportedContents contents;
  contents.builds = table.numbers("builds");
  contents.forgotten = table.numbers("forgotten");
  table.no_more();
  std::set<std::int64_t> all;
  for (const auto* ids : {&contents.builds, &contents.forgotten}) {
    for (const std::int64_t id : *ids) {
      if (!all.insert(id).second) throw export_number_twice(file, id);
    }
  }
  return contents;
}

ExportedBuild read_build(std::string_view text, const std::string& file) {
  const Node tree = sheet::parse_toml(text, file);
  Table table(tree, file);
  ExportedBuild build;
  build.facts.id = table.number(table.must_take("id"), "id");
  visit_facts(table, build.facts);
  if (build.facts.added.empty()) throw export_key_missing(table.place(tree), "added");
  const Node& as_built = table.must_take("as_built");
  build.has_as_built = table.of_kind(as_built, "as_built", Node::Kind::truth).number != 0;
  build.tank_records = table.whole(table.must_take("tank_records"), "tank_records");
  if (const Node* files = table.take("file")) {
    for (const Node& item : table.of_kind(*files, "file", Node::Kind::list).items) {
      build.files.push_back(read_file_entry(table.of_kind(item, "file", Node::Kind::table), file));
    }
  }
  table.no_more();
  return build;
}

TankRecord read_record(std::string_view text, const std::string& file) {
  const Node tree = sheet::parse_toml(text, file);
  Table table(tree, file);
  TankRecord record;
  visit_record(table, record);
  if (record.date.empty()) throw export_key_missing(table.place(tree), "date");
  table.no_more();
  return record;
}

Tombstone read_tombstone(std::string_view text, const std::string& file) {
  const Node tree = sheet::parse_toml(text, file);
  Table table(tree, file);
  Tombstone stone;
  stone.id = table.number(table.must_take("id"), "id");
  for (const auto& [key, value] :
       {std::pair("added", &stone.added), std::pair("title", &stone.title),
        std::pair("forgotten", &stone.forgotten)}) {
    *value = table.of_kind(table.must_take(key), key, Node::Kind::text).text;
  }
  table.no_more();
  return stone;
}

}  // namespace trueblank::notebook
