// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/read_settings.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <utility>

#include "rig/limits.h"
#include "rig/materials.h"
#include "sheet/allowed.h"
#include "sheet/messages.h"
#include "sheet/nearest_word.h"
#include "sheet/one_of.h"
#include "sheet/places.h"

namespace trueblank::sheet {

namespace {

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

// A table in braces, as the value of a key.
TableReader braces(const Node& node, const TableKind& kind, const std::string& file) {
  if (node.kind != Node::Kind::table) {
    throw wrong_type(where(file, node.spot), kind.heading, kind_name(node.kind),
                     "a table in braces");
  }
  return TableReader(node, kind, file);
}

WrittenBaseline read_baseline(const Node& node, const Spot& spot, const std::string& file) {
  static constexpr std::array<std::string_view, 2> ends{"nose", "tail"};
  const TableReader table = braces(node, {.heading = "baseline", .known = ends}, file);
  for (const std::string_view end : ends) {
    if (!table.has(end)) {
      throw key_missing(where(file, spot), "baseline", end,
                        "write baseline = { nose = [-8, 0], tail = [173, 0] }, each end a point");
    }
  }
  WrittenBaseline baseline{.spot = spot,
                           .nose = place_of(*table.find("nose"), "nose", file),
                           .tail = place_of(*table.find("tail"), "tail", file)};
  if (same_place(baseline.nose, baseline.tail)) throw baseline_too_short(where(file, spot));
  return baseline;
}

rig::Halves read_halves(const Node& node, const std::string& file) {
  static constexpr std::array<std::string_view, 2> sides{"left", "right"};
  const TableReader table = braces(node, {.heading = "halves", .known = sides}, file);
  const std::string_view mend = "write halves = { left = \"15.9 g\", right = \"15.5 g\" }";
  const double left_g = table.required_number("left", positive_mass(), mend);
  return {.left_g = left_g, .right_g = table.required_number("right", positive_mass(), mend)};
}

std::string species_named(const TableReader& table, const std::string& name) {
  if (const std::optional<rig::Wood> found = rig::find_wood(name)) return std::string(found->name);
  const std::vector<std::string_view> names = names_of(rig::woods());
  throw unknown_name(table.where_value("species"), "wood", name, nearest_word(name, names),
                     listed(names));
}

constexpr std::array<std::pair<std::string_view, body::Cavity>, 2> cavities{
    {{"air", body::Cavity::air}, {"flooded", body::Cavity::flooded}}};
constexpr std::array<std::pair<std::string_view, bool>, 2> scanned_states{
    {{"bare", false}, {"finished", true}}};
constexpr std::array<std::pair<std::string_view, intake::Mend>, 3> ways_to_mend{
    {{"none", intake::Mend::none}, {"holes", intake::Mend::holes}, {"wrap", intake::Mend::wrap}}};
constexpr std::array<std::pair<std::string_view, intake::Table>, 2> tables{
    {{"cut", intake::Table::cut}, {"keep", intake::Table::keep}}};

// The bucket's water: fresh, 20 °C, unless its own table says otherwise.
constexpr double bucket_temperature_c = 20;

rig::Water bucket(const TableReader& body) {
  const Node* node = body.find("displaced_water");
  if (node == nullptr) return rig::water_at(0, bucket_temperature_c);
  return read_water(braces(*node, {.heading = "displaced_water", .known = water_keys}, body.file()),
                    bucket_temperature_c);
}

// What the bare blank weighs; nothing where nobody weighed it.
std::optional<double> blank_g(const WrittenWood& wood) {
  if (wood.halves) return wood.halves->left_g + wood.halves->right_g;
  return wood.weighed_g;
}

}  // namespace

void read_dunk_and_coat(const TableReader& body, Sheet::Contents& sheet) {
  body.not_both("displaced", "push", "displaced is the push and the blank's weight together");
  const std::optional<double> displaced_g = body.number("displaced", positive_mass());
  const std::optional<double> push_g = body.number("push", any_mass());
  if (!displaced_g && !push_g && body.has("displaced_water")) {
    throw alone(body.where_key("displaced_water"), "displaced_water", "displaced or push");
  }
  if (displaced_g || push_g) {
    const std::optional<double> weighed_g = blank_g(sheet.wood);
    if (push_g && !weighed_g) throw push_without_weight(body.where_key("push"));
    const double all_g = push_g ? *push_g + *weighed_g : *displaced_g;
    if (!(all_g > 0)) throw push_too_light(body.where_key("push"));
    sheet.hints.dunk = body::Dunk{.displaced_g = all_g,
                                  .water_density_g_cm3 = bucket(body).density_g_cm3,
                                  .from_push = push_g.has_value()};
  }
  if (one_of(body, "scanned", scanned_states).value_or(false)) {
    if (!sheet.finish) throw finished_without_finish(body.where_key("scanned"));
    sheet.hints.coat_mm = sheet.finish->part.thickness_mm;
  }
}

void read_mesh_path(const TableReader& table, Sheet::Contents& sheet) {
  const Node* mesh = table.find("mesh");
  if (mesh == nullptr) {
    throw key_missing(table.where_table(), "[body]", "mesh",
                      "write mesh = \"file.stl\", beside the sheet");
  }
  const std::string mesh_text = *table.text("mesh");
  if (mesh_text.empty()) throw text_empty(table.where_value("mesh"), "mesh");
  sheet.mesh_path = joined_path(sheet.path, mesh_text);
}

void read_body(const TableReader& table, Sheet::Contents& sheet) {
  if (const std::optional<std::string> units = table.text("units")) {
    sheet.hints.units = body::unit_named(*units);
    if (!sheet.hints.units) {
      throw not_one_of(table.where_value("units"), "units", *units, "mm, cm, m, in");
    }
  }
  sheet.hints.length_mm = table.number("length", positive_length());
  sheet.hints.width_mm = table.number("width", positive_length());
  sheet.hints.height_mm = table.number("height", positive_length());
  sheet.hints.cavity = one_of(table, "cavity", cavities);
  sheet.hints.mend = one_of(table, "mend", ways_to_mend);
  sheet.hints.table = one_of(table, "table", tables).value_or(intake::Table::unsaid);
  table.not_both("nose", "nose_point", "keep one of them");
  if (table.has("nose")) sheet.hints.nose = direction_of(table, "nose");
  if (table.has("back")) sheet.hints.back = direction_of(table, "back");
  if (table.has("nose_point")) sheet.hints.nose_point = file_point_of(table, "nose_point");
  if (const Node* baseline = table.find("baseline")) {
    sheet.baseline = read_baseline(*baseline, table.spot_of_key("baseline"), table.file());
  }
}

WrittenWood read_wood(const TableReader& table) {
  const std::string_view halves_count = "keep halves: the density follows from the body's volume";
  table.not_both("species", "density", "keep the density if it was measured, else the species");
  table.not_both("density", "weighed", "keep weighed: the density follows from the body's volume");
  table.not_both("species", "halves", halves_count);
  table.not_both("density", "halves", halves_count);
  table.not_both("weighed", "halves", "keep halves: together they are the blank");
  WrittenWood wood;
  wood.density_g_cm3 = table.number("density", positive_density());
  wood.weighed_g = table.number("weighed", positive_mass());
  if (const Node* halves = table.find("halves")) wood.halves = read_halves(*halves, table.file());
  wood.halves_spot = table.spot_of_key("halves");
  wood.balance_mm = table.number("balance", any_length());
  wood.balance_spot = table.spot_of_key("balance");
  if (const std::optional<std::string> name = table.text("species")) {
    wood.species = species_named(table, *name);
    wood.density_g_cm3 = rig::find_wood(wood.species)->density_g_cm3;
  }
  if (!wood.density_g_cm3 && !wood.weighed_g && !wood.halves) {
    throw one_of_missing(table.where_table(), "[wood]", "species, density, weighed or halves");
  }
  return wood;
}

WrittenFinish read_finish(const TableReader& table) {
  table.not_both("density", "weighed", "keep weighed if the coat was weighed, else density");
  WrittenFinish finish;
  Allowed thickness = positive_length();
  thickness.most = rig::thickest_coat_mm;
  thickness.range = "more than 0 and at most 5";
  thickness.range_above = "";
  thickness.mend = "it is in mm, on one side";
  finish.part.thickness_mm = table.required_number(
      "thickness", thickness, "write thickness = 0.3 or what yours has, in mm");
  finish.thickness_spot = table.spot_of_key("thickness");
  finish.part.density_g_cm3 = table.number("density", positive_density()).value_or(0);
  finish.part.weighed_g = table.number("weighed", positive_mass());
  if (!table.has("density") && !table.has("weighed")) {
    throw one_of_missing(table.where_table(), table.heading(), "density or weighed");
  }
  return finish;
}

rig::Water read_water(const TableReader& table, double otherwise_c) {
  table.not_both("kind", "salinity", "keep one of them");
  table.not_both("kind", "density", "keep one of them");
  table.not_both("salinity", "density", "keep one of them");
  const double temperature_c = table
                                   .number("temperature", {.quantity = Quantity::temperature,
                                                           .least = rig::coldest_water_c,
                                                           .most = rig::warmest_water_c,
                                                           .range = "between -2 and 40",
                                                           .mend = "it is in °C"})
                                   .value_or(otherwise_c);
  double salinity = table
                        .number("salinity", {.quantity = Quantity::salinity,
                                             .least = 0,
                                             .most = rig::most_salinity,
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

rig::Tolerances read_tolerances(const TableReader& table) {
  rig::Tolerances scatter;
  scatter.mass_g = table.number("mass", mass_or_none()).value_or(scatter.mass_g);
  scatter.place_mm = table.number("place", length_or_none()).value_or(scatter.place_mm);
  scatter.wood_density_percent =
      table.number("wood_density", scatter_percent()).value_or(scatter.wood_density_percent);
  scatter.scale_percent = table.number("scale", scatter_percent()).value_or(scatter.scale_percent);
  return scatter;
}

WrittenLineEye read_line_eye(const TableReader& table, const Sheet::Contents& sheet) {
  const Node* eye = table.find("eye");
  if (eye == nullptr) {
    throw key_missing(table.where_table(), table.heading(), "eye",
                      "write eye = \"nose\", the name of a hook, or a point");
  }
  WrittenLineEye line;
  if (eye->kind != Node::Kind::text) {
    line.at = place_of(*eye, "eye", table.file());
    return line;
  }
  const std::string name = *table.text("eye");
  std::vector<std::string_view> hooks;
  for (const WrittenHook& hook : sheet.hooks) hooks.push_back(hook.part.name);
  if (std::ranges::find(hooks, name) != hooks.end()) {
    line.hook = name;
  } else if (name != "nose") {
    throw line_eye_unknown(table.where_value("eye"), name, nearest_word(name, hooks));
  } else if (sheet.wires.empty()) {
    throw nose_eye_missing(table.where_value("eye"));
  }
  return line;
}

}  // namespace trueblank::sheet
