// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <filesystem>
#include <map>
#include <memory>
#include <utility>

#include "sheet/build_sheet.h"
#include "sheet/contents.h"
#include "sheet/messages.h"
#include "sheet/read_parts.h"
#include "sheet/read_sections.h"
#include "sheet/read_settings.h"
#include "sheet/read_wishes.h"
#include "sheet/toml_tree.h"

namespace trueblank::sheet {

namespace {

constexpr std::array<std::string_view, 17> sheet_keys{
    "sheet",   "title",  "body", "section", "wood",       "finish", "water",  "tank", "wire",
    "ballast", "pocket", "hook", "outside", "tolerances", "line",   "target", "place"};

// A room in which a tub of water has stood for a while.
constexpr double tank_temperature_c = 20;

// Gives a name to every part that has none ("wire", "wire 2", …) and refuses one name for two.
class Names {
 public:
  Names(const std::string& file, bool has_finish) : file_(file), has_finish_(has_finish) {}

  void take(const std::string& name, const Spot& spot) {
    if (name.empty()) return;
    const std::string place = where(file_, spot);
    if (name == "wood") throw name_is_wood(place);
    if (name == "finish" && has_finish_) throw name_is_finish(place);
    const auto [first, is_new] = taken_.emplace(name, place);
    if (!is_new) throw name_taken(place, name, first->second);
  }

  void give(std::string& name, const std::string& kind) {
    if (!name.empty()) return;
    name = kind;
    for (int number = 2; taken_.contains(name); ++number) {
      name = kind + ' ' + std::to_string(number);
    }
    taken_.emplace(name, std::string());
  }

 private:
  const std::string& file_;
  bool has_finish_;
  std::map<std::string, std::string> taken_;
};

void name_parts(Sheet::Contents& sheet) {
  Names names(sheet.file, sheet.finish.has_value());
  std::vector<std::pair<Spot, std::string>> given;
  const auto gather = [&](const auto& parts) {
    for (const auto& written : parts) given.emplace_back(written.name_spot, written.part.name);
  };
  gather(sheet.wires);
  gather(sheet.ballasts);
  gather(sheet.pockets);
  gather(sheet.hooks);
  gather(sheet.outsides);
  gather(sheet.places);
  // In the order of the text, so that the second of two is the one refused.
  std::ranges::sort(given, {},
                    [](const auto& item) { return std::pair(item.first.line, item.first.column); });
  for (const auto& [spot, name] : given) names.take(name, spot);
  const auto give = [&](auto& parts, const std::string& kind) {
    for (auto& written : parts) names.give(written.part.name, kind);
  };
  give(sheet.wires, "wire");
  give(sheet.ballasts, "ballast");
  give(sheet.pockets, "pocket");
  give(sheet.hooks, "hook");
  give(sheet.outsides, "outside");
  give(sheet.places, "weight");
}

std::optional<TableReader> one_table(const TableReader& sheet, std::string_view key,
                                     const TableKind& kind) {
  const Node* node = sheet.find(key);
  if (node == nullptr) return std::nullopt;
  if (node->kind != Node::Kind::table) throw table_wanted(sheet.where_key(key), kind.heading);
  return TableReader(*node, kind, sheet.file());
}

// Calls `read` with each table of a list such as [[hook]].
template <typename Read>
void each_table(const TableReader& sheet, std::string_view key, const TableKind& kind, Read read) {
  const Node* node = sheet.find(key);
  if (node == nullptr) return;
  if (node->kind != Node::Kind::list) {
    throw list_of_tables_wanted(sheet.where_key(key), kind.heading);
  }
  for (const Node& item : node->items) {
    if (item.kind != Node::Kind::table) {
      throw list_of_tables_wanted(where(sheet.file(), item.spot), kind.heading);
    }
    read(TableReader(item, kind, sheet.file()));
  }
}

// The one table of a kind that must be there.
TableReader required_table(const TableReader& sheet, std::string_view key, const TableKind& kind,
                           std::string_view mend) {
  const std::optional<TableReader> table = one_table(sheet, key, kind);
  if (!table) throw table_missing(where(sheet.file(), {}), kind.heading, mend);
  return *table;
}

// [body] may be left out where sections draw the body.
TableReader body_table(const TableReader& sheet) {
  static const Node nothing;
  const TableKind kind{.heading = "[body]", .known = body_keys};
  if (!sheet.has("body") && sheet.has("section")) return TableReader(nothing, kind, sheet.file());
  return required_table(sheet, "body", kind, "write [body] and below it mesh = \"file.stl\"");
}

void read_single_tables(const TableReader& sheet, Sheet::Contents& contents) {
  contents.wood =
      read_wood(required_table(sheet, "wood", {.heading = "[wood]", .known = wood_keys},
                               "write [wood] and below it species, density, weighed or halves"));
  if (const auto finish =
          one_table(sheet, "finish", {.heading = "[finish]", .known = finish_keys})) {
    contents.finish = read_finish(*finish);
  }
  const auto water_of = [&](std::string_view key, std::string_view heading, double otherwise_c) {
    const auto table = one_table(sheet, key, {.heading = heading, .known = water_keys});
    return table ? read_water(*table, otherwise_c) : rig::water_at(0, otherwise_c);
  };
  contents.water = water_of("water", "[water]", rig::Water{}.temperature_c);
  contents.tank = water_of("tank", "[tank]", tank_temperature_c);
  if (const auto tolerances =
          one_table(sheet, "tolerances", {.heading = "[tolerances]", .known = tolerance_keys})) {
    contents.tolerances = read_tolerances(*tolerances);
  }
}

void read_part_tables(const TableReader& sheet, Sheet::Contents& contents) {
  each_table(sheet, "wire", {.heading = "[[wire]]", .known = wire_keys},
             [&](const TableReader& table) { contents.wires.push_back(read_wire(table)); });
  each_table(sheet, "ballast", {.heading = "[[ballast]]", .known = ballast_keys},
             [&](const TableReader& table) { contents.ballasts.push_back(read_ballast(table)); });
  each_table(sheet, "pocket", {.heading = "[[pocket]]", .known = pocket_keys},
             [&](const TableReader& table) { contents.pockets.push_back(read_pocket(table)); });
  each_table(sheet, "hook", {.heading = "[[hook]]", .known = hook_keys},
             [&](const TableReader& table) { contents.hooks.push_back(read_hook(table)); });
  each_table(sheet, "outside", {.heading = "[[outside]]", .known = outside_keys},
             [&](const TableReader& table) { contents.outsides.push_back(read_outside(table)); });
}

void read_wishes(const TableReader& sheet, Sheet::Contents& contents) {
  if (const auto target =
          one_table(sheet, "target", {.heading = "[target]", .known = target_keys})) {
    contents.target = read_target(*target);
  }
  each_table(sheet, "place", {.heading = "[[place]]", .known = weight_place_keys},
             [&](const TableReader& table) {
               if (contents.places.size() == most_places) {
                 throw too_many_places(table.where_table(), most_places);
               }
               contents.places.push_back(read_weight_place(table));
             });
}

void check_version(const TableReader& sheet) {
  const Node* version = sheet.find("sheet");
  if (version == nullptr) return;
  if (version->kind != Node::Kind::number || version->number != 1) {
    throw version_unknown(sheet.where_value("sheet"));
  }
}

void check_mesh_exists(const TableReader& body, const std::string& path) {
  std::error_code unreadable;  // a folder that may not be entered: the reader will say so
  const std::filesystem::file_status status = std::filesystem::status(path, unreadable);
  if (std::filesystem::is_directory(status)) throw mesh_is_folder(body.where_key("mesh"), path);
  if (!std::filesystem::exists(status)) throw mesh_missing(body.where_key("mesh"), path);
}

}  // namespace

Sheet parse_sheet(std::string_view text, const std::string& path) {
  const std::string file = without_control_characters(path);
  const Node root = parse_toml(text, file);
  const TableReader sheet(root, {.heading = "a sheet", .known = sheet_keys}, file);
  check_version(sheet);

  auto contents = std::make_unique<Sheet::Contents>();
  contents->path = path;
  contents->file = file;
  contents->text = text;
  contents->title = sheet.text("title").value_or("");
  const TableReader body = body_table(sheet);
  std::vector<WrittenSection> sections;
  each_table(sheet, "section", {.heading = "[[section]]", .known = section_keys},
             [&](const TableReader& table) { sections.push_back(read_section(table)); });
  const bool drawn = draws_body(body, sections);
  if (!drawn) read_mesh_path(body, *contents);
  read_body(body, *contents);
  read_single_tables(sheet, *contents);
  read_dunk_and_coat(body, *contents);
  read_part_tables(sheet, *contents);
  read_wishes(sheet, *contents);
  name_parts(*contents);
  if (const auto line = one_table(sheet, "line", {.heading = "[line]", .known = line_keys})) {
    contents->line_eye = read_line_eye(*line, *contents);
  }
  if (drawn) {
    draw_body(body, sections, *contents);
  } else {
    check_mesh_exists(body, contents->mesh_path);
    contents->files.push_back(contents->mesh_path);
  }
  return Sheet(std::move(contents));
}

}  // namespace trueblank::sheet
