// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/read_parts.h"

#include "rig/materials.h"
#include "sheet/allowed.h"
#include "sheet/messages.h"
#include "sheet/nearest_word.h"
#include "sheet/places.h"
#include "sheet/read_wishes.h"

namespace trueblank::sheet {

namespace {

Place required_place(const TableReader& table, std::string_view key) {
  const Node* node = table.find(key);
  if (node == nullptr) {
    throw key_missing(table.where_table(), table.heading(), key,
                      "write [x, z], [x, y, z] or { station = 70, above_belly = 6 }");
  }
  return place_of(*node, key, table.file());
}

void read_path(const TableReader& table, WrittenWire& wire) {
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
}

// Name, point, mass and density of a ballast or an outside part.
template <typename Part>
WrittenPart<Part> read_weight(const TableReader& table) {
  WrittenPart<Part> weight;
  weight.part.name = table.text("name").value_or("");
  weight.name_spot = table.spot_of_key("name");
  weight.at = required_place(table, "at");
  weight.at.spot = table.spot_of_key("at");
  weight.part.mass_g = table.required_number("mass", positive_mass(), "write mass = \"9 g\"");
  weight.part.density_g_cm3 = density_of_part(table);
  return weight;
}

// "nothing", "water", a metal or resin of the table, or a density.
void read_filling(const TableReader& table, rig::Pocket& pocket) {
  const Node* filled = table.find("filled");
  if (filled == nullptr) return;
  if (filled->kind == Node::Kind::text) {
    if (filled->text == "nothing") return;
    pocket.filled_with_water = filled->text == "water";
    if (pocket.filled_with_water) return;
    if (const std::optional<rig::Material> stuff = rig::find_material(filled->text)) {
      pocket.filling_density_g_cm3 = stuff->density_g_cm3;
      return;
    }
    if (read_quantity(filled->text, Quantity::density).fault == ReadQuantity::Fault::not_a_number) {
      throw not_one_of(table.where_value("filled"), "filled", filled->text,
                       "\"nothing\", \"water\", \"epoxy\", another stuff of the table, or a "
                       "density");
    }
  }
  pocket.filling_density_g_cm3 = *table.number("filled", positive_density());
}

}  // namespace

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

std::optional<rig::HoleAxis> read_axis(const TableReader& table) {
  const std::optional<std::string> axis = table.text("axis");
  if (!axis) return std::nullopt;
  if (*axis == "along") return rig::HoleAxis::along;
  if (*axis == "across") return rig::HoleAxis::across;
  if (*axis == "upright") return rig::HoleAxis::upright;
  throw not_one_of(table.where_value("axis"), "axis", *axis, "\"along\", \"across\", \"upright\"");
}

WrittenWire read_wire(const TableReader& table) {
  WrittenWire wire;
  wire.part.name = table.text("name").value_or("");
  wire.name_spot = table.spot_of_key("name");
  wire.path_spot = table.spot_of_key("path");
  wire.part.density_g_cm3 = density_of_part(table);
  wire.part.weighed_g = table.number("weighed", positive_mass());
  if (!wire.part.weighed_g || table.has("diameter")) {
    wire.part.diameter_mm = table.required_number("diameter", positive_length(),
                                                  "write diameter = 1.6 or what yours has, in mm");
  }
  read_path(table, wire);
  return wire;
}

WrittenBallast read_ballast(const TableReader& table) {
  WrittenBallast ballast = read_weight<rig::Ballast>(table);
  ballast.part.diameter_mm = table.number("diameter", positive_length());
  ballast.part.axis = read_axis(table);
  return ballast;
}

WrittenPocket read_pocket(const TableReader& table) {
  WrittenPocket pocket;
  pocket.part.name = table.text("name").value_or("");
  pocket.name_spot = table.spot_of_key("name");
  pocket.at = required_place(table, "at");
  pocket.at.spot = table.spot_of_key("at");
  pocket.part.diameter_mm = table.required_number("diameter", positive_length(),
                                                  "write diameter = 8 or what yours has, in mm");
  pocket.part.depth_mm = table.required_number("depth", positive_length(),
                                               "write depth = 20, the whole length of the hole");
  const std::optional<rig::HoleAxis> axis = read_axis(table);
  if (!axis) {
    throw key_missing(table.where_table(), table.heading(), "axis",
                      "write axis = \"along\", \"across\" or \"upright\"");
  }
  pocket.part.axis = *axis;
  read_filling(table, pocket.part);
  return pocket;
}

WrittenHook read_hook(const TableReader& table) {
  WrittenHook hook;
  hook.part.name = table.text("name").value_or("");
  hook.name_spot = table.spot_of_key("name");
  hook.eye = required_place(table, "eye");
  hook.eye.spot = table.spot_of_key("eye");
  hook.part.mass_g = table.required_number("mass", positive_mass(), "write mass = \"14 g\"");
  hook.part.density_g_cm3 = density_of_part(table);
  hook.part.hang_mm =
      table.number("hang", length_or_none("it is measured down from the eye")).value_or(0);
  hook.part.size_up_g = table.number("size_up", positive_mass());
  if (hook.part.size_up_g && *hook.part.size_up_g <= hook.part.mass_g) {
    throw size_up_too_small(table.where_value("size_up"), *hook.part.size_up_g, hook.part.mass_g);
  }
  read_hook_choice(table, hook);
  return hook;
}

WrittenOutside read_outside(const TableReader& table) { return read_weight<rig::Outside>(table); }

}  // namespace trueblank::sheet
