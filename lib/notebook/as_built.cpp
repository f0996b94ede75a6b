// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/as_built.h"

#include <array>

#include "sheet/allowed.h"
#include "sheet/messages.h"
#include "sheet/table_reader.h"

namespace trueblank::notebook {

namespace {

constexpr std::array<std::string_view, 3> known_at_top = {"total", "blank", "part"};
constexpr std::array<std::string_view, 3> known_of_part = {"name", "mass", "at"};

AsBuiltPart read_part(const sheet::Node& node, const std::string& file) {
  const sheet::TableReader table(node, {.heading = "[[part]]", .known = known_of_part}, file);
  AsBuiltPart part;
  const std::optional<std::string> name = table.text("name");
  if (!name) {
    throw sheet::key_missing(table.where_table(), table.heading(), "name",
                             "write the name that the part has in the sheet");
  }
  part.name = *name;
  part.mass_g = table.number("mass", sheet::positive_mass());
  const sheet::Node* at = table.find("at");
  if (at == nullptr) return part;
  if (at->kind != sheet::Node::Kind::list || (at->items.size() != 2 && at->items.size() != 3)) {
    throw sheet::wrong_type(table.where_value("at"), "at", sheet::kind_name(at->kind),
                            "[x, z] or [x, y, z]");
  }
  for (const sheet::Node& item : at->items) {
    part.at_mm.push_back(sheet::quantity_of(item, "at", sheet::any_length(), file));
  }
  return part;
}

}  // namespace

AsBuilt parse_as_built(std::string_view text, const std::string& file) {
  const std::string shown = sheet::without_control_characters(file);
  const sheet::Node tree = sheet::parse_toml(text, shown);
  const sheet::TableReader table(tree, {.heading = "the as-built file", .known = known_at_top},
                                 shown);
  AsBuilt built;
  built.text = text;
  built.total_g = table.number("total", sheet::positive_mass());
  built.blank_g = table.number("blank", sheet::positive_mass());
  const sheet::Node* parts = table.find("part");
  if (parts == nullptr) return built;
  if (parts->kind != sheet::Node::Kind::list) {
    throw sheet::wrong_type(table.where_value("part"), "part", sheet::kind_name(parts->kind),
                            "a [[part]]");
  }
  for (const sheet::Node& item : parts->items) {
    if (item.kind != sheet::Node::Kind::table) {
      throw sheet::wrong_type(sheet::where(shown, item.spot), "part", sheet::kind_name(item.kind),
                              "a [[part]]");
    }
    built.parts.push_back(read_part(item, shown));
  }
  return built;
}

}  // namespace trueblank::notebook
