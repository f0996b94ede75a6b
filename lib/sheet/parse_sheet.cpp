// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <map>
#include <memory>
#include <utility>

#include "rig/materials.h"
#include "sheet/build_sheet.h"
#include "sheet/contents.h"
#include "sheet/messages.h"
#include "sheet/nearest_word.h"
#include "sheet/places.h"
#include "sheet/table_reader.h"
#include "sheet/toml_tree.h"

namespace trueblank::sheet {

namespace {

constexpr std::array<std::string_view, 8> sheet_keys{"sheet", "title", "body",    "wood",
                                                     "water", "wire",  "ballast", "hook"};

// Tables that a later version reads, as a sheet writes them.
struct LaterTable {
  std::string_view key;
  std::string_view heading;
};

constexpr std::array later_tables{
    LaterTable{"finish", "[finish]"},     LaterTable{"pocket", "[[pocket]]"},
    LaterTable{"outside", "[[outside]]"}, LaterTable{"tolerances", "[tolerances]"},
    LaterTable{"target", "[target]"},     LaterTable{"place", "[[place]]"},
    LaterTable{"tank", "[tank]"},         LaterTable{"section", "[[section]]"}};

constexpr std::array<std::string_view, 6> body_keys{"mesh", "length", "units",
                                                    "nose", "back",   "nose_point"};
constexpr std::array<std::string_view, 6> body_later{"displaced", "push",    "displaced_water",
                                                     "baseline",  "scanned", "cavity"};
constexpr std::array<std::string_view, 3> wood_keys{"species", "density", "weighed"};
constexpr std::array<std::string_view, 2> wood_later{"halves", "balance"};
constexpr std::array<std::string_view, 4> water_keys{"kind", "salinity", "density", "temperature"};
constexpr std::array<std::string_view, 5> wire_keys{"name", "metal", "density", "diameter", "path"};
constexpr std::array<std::string_view, 1> wire_later{"weighed"};
constexpr std::array<std::string_view, 7> ballast_keys{"name",    "at",       "mass", "metal",
                                                       "density", "diameter", "axis"};
constexpr std::array<std::string_view, 6> hook_keys{"name",  "eye",     "mass",
                                                    "metal", "density", "hang"};

// Far beyond any lure, near enough that nothing overflows.
constexpr double beyond_any_lure_g = 1e6;
// Osmium, the densest stuff there is, has 22.6 g/cm³.
constexpr double beyond_any_density_g_cm3 = 25;

Allowed positive_mass() {
  return {.quantity = Quantity::mass,
          .least = 0,
          .most = beyond_any_lure_g,
          .above_least = true,
          .range = "more than 0",
          .range_above = "less than a tonne"};
}

Allowed positive_density() {
  return {.quantity = Quantity::density,
          .least = 0,
          .most = beyond_any_density_g_cm3,
          .above_least = true,
          .range = "more than 0 and at most 25",
          .mend = "it is in g/cm3"};
}

// ---- one kind of table after the other

std::vector<std::string_view> names_of(const auto& rows) {
  std::vector<std::string_view> names;
  for (const auto& row : rows) names.push_back(row.name);
  return names;
}

double density_of_part(const TableReader& table) {
  table.not_both("metal", "density", "keep one of them");
  if (const std::optional<std::string> name = table.text("metal")) {
    if (const std::optional<rig::Material> metal = rig::find_material(*name)) {
      return metal->density_g_cm3;
    }
    const std::vector<std::string_view> names = names_of(rig::materials());
    throw unknown_name(table.where_value("metal"), "metal", *name, nearest_word(*name, names),
                       listed(names));
  }
  const std::optional<double> density = table.number("density", positive_density());
  if (!density) {
    throw one_of_missing(table.where_table(), table.heading(), "metal or density");
  }
  return *density;
}

Vec3 direction_of(const TableReader& table, std::string_view key) {
  const Node& node = *table.find(key);
  if (node.kind == Node::Kind::list && node.items.size() == 3) {
    Vec3 direction;
    for (Eigen::Index i = 0; i < 3; ++i) {
      direction[i] =
          quantity_of(node.items[static_cast<std::size_t>(i)], key, any_length(), table.file());
    }
    if (direction.norm() == 0) throw bad_direction(table.where_value(key), key);
    return direction.normalized();
  }
  const std::optional<Vec3> direction =
      node.kind == Node::Kind::text ? body::direction_named(node.text) : std::nullopt;
  if (!direction) throw bad_direction(table.where_value(key), key);
  return *direction;
}

// [x, y, z], or "x,y,z" as directions are written.
Vec3 file_point_of(const TableReader& table, std::string_view key) {
  const Node& node = *table.find(key);
  Vec3 point;
  if (node.kind == Node::Kind::list && node.items.size() == 3) {
    for (Eigen::Index i = 0; i < 3; ++i) {
      point[i] =
          quantity_of(node.items[static_cast<std::size_t>(i)], key, any_length(), table.file());
    }
    return point;
  }
  if (node.kind != Node::Kind::text) throw bad_file_point(table.where_value(key), key);
  const std::string text = node.text + ',';  // so that each number ends in a comma
  const char* at = text.data();
  const char* const end = at + text.size();
  for (Eigen::Index i = 0; i < 3; ++i) {
    while (at != end && *at == ' ') ++at;
    const auto [next, error] = std::from_chars(at, end, point[i]);
    at = next;
    while (at != end && *at == ' ') ++at;
    if (error != std::errc() || at == end || *at != ',' || !std::isfinite(point[i])) {
      throw bad_file_point(table.where_value(key), key);
    }
    ++at;
  }
  if (at != end) throw bad_file_point(table.where_value(key), key);
  return point;
}

std::string joined_path(const std::string& sheet_path, const std::string& mesh) {
  const std::filesystem::path folder = std::filesystem::path(sheet_path).parent_path();
  return (folder / mesh).string();
}

void read_body(const TableReader& table, Sheet::Contents& sheet) {
  const Node* mesh = table.find("mesh");
  if (mesh == nullptr) {
    throw key_missing(table.where_table(), "[body]", "mesh",
                      "write mesh = \"file.stl\", beside the sheet");
  }
  const std::string mesh_text = *table.text("mesh");
  if (mesh_text.empty()) throw text_empty(table.where_value("mesh"), "mesh");
  sheet.mesh_path = joined_path(sheet.path, mesh_text);
  if (const std::optional<std::string> units = table.text("units")) {
    sheet.hints.units = body::unit_named(*units);
    if (!sheet.hints.units) {
      throw not_one_of(table.where_value("units"), "units", *units, "mm, cm, m, in");
    }
  }
  sheet.hints.length_mm = table.number("length", positive_length());
  table.not_both("nose", "nose_point", "keep one of them");
  if (table.has("nose")) sheet.hints.nose = direction_of(table, "nose");
  if (table.has("back")) sheet.hints.back = direction_of(table, "back");
  if (table.has("nose_point")) sheet.hints.nose_point = file_point_of(table, "nose_point");
}

WrittenWood read_wood(const TableReader& table) {
  table.not_both("species", "density", "keep the density if it was measured, else the species");
  table.not_both("density", "weighed", "keep weighed: the density follows from the body's volume");
  WrittenWood wood;
  wood.density_g_cm3 = table.number("density", positive_density());
  wood.weighed_g = table.number("weighed", positive_mass());
  if (const std::optional<std::string> name = table.text("species")) {
    const std::optional<rig::Wood> found = rig::find_wood(*name);
    if (!found) {
      const std::vector<std::string_view> names = names_of(rig::woods());
      throw unknown_name(table.where_value("species"), "wood", *name, nearest_word(*name, names),
                         listed(names));
    }
    wood.species = found->name;
    wood.density_g_cm3 = found->density_g_cm3;
  }
  if (!wood.density_g_cm3 && !wood.weighed_g) {
    throw one_of_missing(table.where_table(), "[wood]", "species, density or weighed");
  }
  return wood;
}

rig::Water read_water(const TableReader& table) {
  table.not_both("kind", "salinity", "keep one of them");
  table.not_both("kind", "density", "keep one of them");
  table.not_both("salinity", "density", "keep one of them");
  const double temperature_c = table
                                   .number("temperature", {.quantity = Quantity::temperature,
                                                           .least = -2,
                                                           .most = 40,
                                                           .range = "between -2 and 40",
                                                           .mend = "it is in °C"})
                                   .value_or(rig::Water{}.temperature_c);
  double salinity = table
                        .number("salinity", {.quantity = Quantity::salinity,
                                             .least = 0,
                                             .most = 42,
                                             .range = "between 0 and 42",
                                             .mend = "it is practical salinity, 35 in the sea"})
                        .value_or(0);
  if (const std::optional<std::string> kind = table.text("kind")) {
    if (*kind != "fresh" && *kind != "sea") {
      throw not_one_of(table.where_value("kind"), "kind", *kind, "\"fresh\", \"sea\"");
    }
    salinity = *kind == "sea" ? rig::sea_salinity : 0;
  }
  rig::Water water = rig::water_at(salinity, temperature_c);
  if (const std::optional<double> density = table.number("density", positive_density())) {
    water.density_g_cm3 = *density;
    water.density_given = true;
  }
  return water;
}

WrittenWire read_wire(const TableReader& table) {
  WrittenWire wire;
  wire.part.name = table.text("name").value_or("");
  wire.name_spot = table.spot_of_key("name");
  wire.path_spot = table.spot_of_key("path");
  wire.part.density_g_cm3 = density_of_part(table);
  wire.part.diameter_mm = table.required_number("diameter", positive_length(),
                                                "write diameter = 1.6 or what yours has, in mm");
  const Node* path = table.find("path");
  if (path == nullptr) {
    throw key_missing(table.where_table(), "[[wire]]", "path",
                      "write path = [[-8, -1], [165, 0]], from one end to the other");
  }
  if (path->kind != Node::Kind::list) {
    throw wrong_type(where(table.file(), path->spot), "path", kind_name(path->kind),
                     "a list of points");
  }
  if (path->items.size() < 2) throw path_too_short(where(table.file(), path->spot));
  for (const Node& item : path->items) {
    wire.path.push_back(place_of(item, "path", table.file()));
    const std::size_t count = wire.path.size();
    if (count > 1 && same_place(wire.path[count - 2], wire.path[count - 1])) {
      throw path_stands_still(where(table.file(), item.spot), static_cast<int>(count) - 1);
    }
  }
  return wire;
}

std::optional<rig::HoleAxis> read_axis(const TableReader& table) {
  const std::optional<std::string> axis = table.text("axis");
  if (!axis) return std::nullopt;
  if (*axis == "along") return rig::HoleAxis::along;
  if (*axis == "across") return rig::HoleAxis::across;
  if (*axis == "upright") return rig::HoleAxis::upright;
  throw not_one_of(table.where_value("axis"), "axis", *axis, "\"along\", \"across\", \"upright\"");
}

Place required_place(const TableReader& table, std::string_view key) {
  const Node* node = table.find(key);
  if (node == nullptr) {
    throw key_missing(table.where_table(), table.heading(), key,
                      "write [x, z], [x, y, z] or { station = 70, above_belly = 6 }");
  }
  return place_of(*node, key, table.file());
}

WrittenBallast read_ballast(const TableReader& table) {
  WrittenBallast ballast;
  ballast.part.name = table.text("name").value_or("");
  ballast.name_spot = table.spot_of_key("name");
  ballast.at = required_place(table, "at");
  ballast.at.spot = table.spot_of_key("at");
  ballast.part.mass_g = table.required_number("mass", positive_mass(), "write mass = \"9 g\"");
  ballast.part.density_g_cm3 = density_of_part(table);
  ballast.part.diameter_mm = table.number("diameter", positive_length());
  ballast.part.axis = read_axis(table);
  return ballast;
}

WrittenHook read_hook(const TableReader& table) {
  WrittenHook hook;
  hook.part.name = table.text("name").value_or("");
  hook.name_spot = table.spot_of_key("name");
  hook.eye = required_place(table, "eye");
  hook.eye.spot = table.spot_of_key("eye");
  hook.part.mass_g = table.required_number("mass", positive_mass(), "write mass = \"14 g\"");
  hook.part.density_g_cm3 = density_of_part(table);
  Allowed hang = positive_length();
  hang.above_least = false;
  hang.range = "0 or more";
  hang.mend = "it is measured down from the eye";
  hook.part.hang_mm = table.number("hang", hang).value_or(0);
  return hook;
}

// ---- names

// Gives a name to every part that has none ("wire", "wire 2", …) and refuses one name for two.
class Names {
 public:
  explicit Names(const std::string& file) : file_(file) {}

  void take(const std::string& name, const Spot& spot) {
    if (name.empty()) return;
    const std::string place = where(file_, spot);
    if (name == "wood") throw name_is_wood(place);
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
  std::map<std::string, std::string> taken_;
};

void name_parts(Sheet::Contents& sheet) {
  Names names(sheet.file);
  // In the order of the text, so that the second of two is the one refused.
  std::vector<std::pair<Spot, std::string>> given;
  for (const WrittenWire& wire : sheet.wires) given.emplace_back(wire.name_spot, wire.part.name);
  for (const WrittenBallast& item : sheet.ballasts) {
    given.emplace_back(item.name_spot, item.part.name);
  }
  for (const WrittenHook& hook : sheet.hooks) given.emplace_back(hook.name_spot, hook.part.name);
  std::ranges::sort(given, {},
                    [](const auto& item) { return std::pair(item.first.line, item.first.column); });
  for (const auto& [spot, name] : given) names.take(name, spot);
  for (WrittenWire& wire : sheet.wires) names.give(wire.part.name, "wire");
  for (WrittenBallast& item : sheet.ballasts) names.give(item.part.name, "ballast");
  for (WrittenHook& hook : sheet.hooks) names.give(hook.part.name, "hook");
}

// ---- the sheet

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

void refuse_later_tables(const Node& root, const std::string& file) {
  for (const Entry& entry : root.entries) {
    const auto later = std::ranges::find(later_tables, entry.key, &LaterTable::key);
    if (later != later_tables.end()) {
      throw not_in_this_version(where(file, entry.start()), later->heading);
    }
  }
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
  refuse_later_tables(root, file);
  const TableReader sheet(root, {.heading = "a sheet", .known = sheet_keys}, file);
  check_version(sheet);

  auto contents = std::make_unique<Sheet::Contents>();
  contents->path = path;
  contents->file = file;
  contents->title = sheet.text("title").value_or("");
  const std::optional<TableReader> body =
      one_table(sheet, "body", {.heading = "[body]", .known = body_keys, .later = body_later});
  if (!body) {
    throw table_missing(where(file, {}), "[body]", "write [body] and below it mesh = \"file.stl\"");
  }
  read_body(*body, *contents);
  const std::optional<TableReader> wood =
      one_table(sheet, "wood", {.heading = "[wood]", .known = wood_keys, .later = wood_later});
  if (!wood) {
    throw table_missing(where(file, {}), "[wood]",
                        "write [wood] and below it species, density or weighed");
  }
  contents->wood = read_wood(*wood);
  const std::optional<TableReader> water =
      one_table(sheet, "water", {.heading = "[water]", .known = water_keys});
  contents->water = water ? read_water(*water) : rig::water_at(0, rig::Water{}.temperature_c);

  each_table(sheet, "wire", {.heading = "[[wire]]", .known = wire_keys, .later = wire_later},
             [&](const TableReader& table) { contents->wires.push_back(read_wire(table)); });
  each_table(sheet, "ballast", {.heading = "[[ballast]]", .known = ballast_keys},
             [&](const TableReader& table) { contents->ballasts.push_back(read_ballast(table)); });
  each_table(sheet, "hook", {.heading = "[[hook]]", .known = hook_keys},
             [&](const TableReader& table) { contents->hooks.push_back(read_hook(table)); });
  name_parts(*contents);
  check_mesh_exists(*body, contents->mesh_path);
  return Sheet(std::move(contents));
}

}  // namespace trueblank::sheet
