// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/page_live.h"

#include <algorithm>
#include <span>
#include <string_view>

#include "report/ballast_words.h"
#include "report/json_object.h"
#include "rig/materials.h"

namespace trueblank::report {

namespace {

using rig::HoleAxis;

// Of the parts only the density is kept: the stuff of the table that has just that, if any.
std::string axis_word(HoleAxis axis) {
  if (axis == HoleAxis::along) return "along";
  return axis == HoleAxis::across ? "across" : "upright";
}

std::optional<std::string> if_any(const std::string& text) {
  return text.empty() ? std::nullopt : std::optional(text);
}

void add_stuff(JsonObject& entry, double density_g_cm3) {
  entry.number("density_g_cm3", density_g_cm3);
  entry.maybe_text("metal", metal_name(density_g_cm3));
}

JsonObject wood_json(const LiveScene& live) {
  const rig::Rig& rig = live.rig;
  JsonObject out;
  out.text("kind", rig.halves                ? "halves"
                   : live.wood_weighed_g     ? "weighed"
                   : !live.wood_name.empty() ? "species"
                                             : "density");
  out.maybe_text("name", if_any(live.wood_name));
  out.number("density_g_cm3", rig.wood_density_g_cm3);
  out.number("weighed_g", live.wood_weighed_g);
  out.number("left_g", rig.halves ? std::optional(rig.halves->left_g) : std::nullopt);
  out.number("right_g", rig.halves ? std::optional(rig.halves->right_g) : std::nullopt);
  out.number("balance_mm", rig.wood_balance_mm);
  return out;
}

std::optional<JsonObject> finish_json(const std::optional<rig::Finish>& finish) {
  if (!finish) return std::nullopt;
  JsonObject out;
  out.number("thickness_mm", finish->thickness_mm);
  out.number("density_g_cm3",
             finish->weighed_g ? std::nullopt : std::optional(finish->density_g_cm3));
  out.number("weighed_g", finish->weighed_g);
  return out;
}

JsonObject water_json(const rig::Water& water) {
  JsonObject out;
  out.text("kind", water.density_given                   ? "density"
                   : water.salinity == 0                 ? "fresh"
                   : water.salinity == rig::sea_salinity ? "sea"
                                                         : "salinity");
  out.number("salinity", water.salinity);
  out.number("temperature_c", water.temperature_c);
  out.number("density_g_cm3", water.density_g_cm3);
  return out;
}

JsonObject wire_json(const rig::Wire& wire) {
  JsonObject out;
  out.text("name", wire.name);
  add_stuff(out, wire.density_g_cm3);
  out.number("diameter_mm", wire.diameter_mm);
  out.number("weighed_g", wire.weighed_g);
  out.vectors("path_mm", wire.path_mm);
  return out;
}

// Of a weight inside or outside.
template <class Part>
JsonObject weight_json(const Part& part) {
  JsonObject out;
  out.text("name", part.name);
  out.vector("at_mm", part.at_mm);
  out.number("mass_g", part.mass_g);
  add_stuff(out, part.density_g_cm3);
  return out;
}

JsonObject ballast_json(const rig::Ballast& ballast) {
  JsonObject out = weight_json(ballast);
  out.number("diameter_mm", ballast.diameter_mm);
  out.maybe_text("axis", ballast.axis ? std::optional(axis_word(*ballast.axis)) : std::nullopt);
  return out;
}

JsonObject pocket_json(const rig::Pocket& pocket) {
  const bool stuffed = !pocket.filled_with_water && pocket.filling_density_g_cm3 > 0;
  JsonObject out;
  out.text("name", pocket.name);
  out.vector("at_mm", pocket.at_mm);
  out.number("diameter_mm", pocket.diameter_mm);
  out.number("depth_mm", pocket.depth_mm);
  out.text("axis", axis_word(pocket.axis));
  out.text("filled", pocket.filled_with_water ? "water" : stuffed ? "density" : "nothing");
  out.number("filling_density_g_cm3",
             stuffed ? std::optional(pocket.filling_density_g_cm3) : std::nullopt);
  return out;
}

JsonObject hook_json(const rig::Hook& hook, const rig::HookChoice* choice) {
  JsonObject out;
  out.text("name", hook.name);
  out.vector("eye_mm", hook.eye_mm);
  out.number("mass_g", hook.mass_g);
  add_stuff(out, hook.density_g_cm3);
  out.number("hang_mm", hook.hang_mm);
  out.number("size_up_g", hook.size_up_g);
  out.numbers("sizes_g", choice != nullptr ? choice->masses_g : std::vector<double>{});
  if (choice != nullptr && choice->eye_x_mm) {
    out.numbers("eye_x_mm", {choice->eye_x_mm->low, choice->eye_x_mm->high});
  } else {
    out.number("eye_x_mm", std::nullopt);
  }
  return out;
}

template <class Parts, class Write>
std::vector<JsonObject> each(const Parts& parts, const Write& write) {
  std::vector<JsonObject> out;
  for (const auto& part : parts) out.push_back(write(part));
  return out;
}

std::vector<JsonObject> hooks_json(const LiveScene& live) {
  std::vector<JsonObject> out;
  for (std::size_t i = 0; i < live.rig.hooks.size(); ++i) {
    const auto choice = std::ranges::find(live.hook_choices, i, &rig::HookChoice::hook);
    out.push_back(
        hook_json(live.rig.hooks[i], choice == live.hook_choices.end() ? nullptr : &*choice));
  }
  return out;
}

// Of a table of woods or other stuff.
template <class Stuff>
std::vector<JsonObject> table_json(std::span<const Stuff> table) {
  return each(table, [](const Stuff& stuff) {
    JsonObject out;
    out.text("name", std::string(stuff.name));
    out.number("density_g_cm3", stuff.density_g_cm3);
    return out;
  });
}

JsonObject piece_json(const sheet::SheetPiece& piece) {
  JsonObject out;
  out.text("text", piece.text);
  if (piece.table.empty()) return out;
  out.text("table", piece.table);
  out.count("index", piece.index);
  return out;
}

}  // namespace

JsonObject live_json(const LiveScene& live) {
  const rig::Rig& rig = live.rig;
  std::optional<JsonObject> baseline;
  if (live.baseline) {
    baseline.emplace();
    baseline->vector("nose_mm", live.baseline->nose_mm);
    baseline->vector("tail_mm", live.baseline->tail_mm);
  }
  JsonObject shaped;
  shaped.flag("finish", live.finish_shapes_body);
  shaped.flag("wood", live.wood_shapes_body);
  JsonObject out;
  out.object("wood", wood_json(live));
  out.object("finish", finish_json(rig.finish));
  out.object("water", water_json(rig.water));
  out.object("baseline", std::move(baseline));
  out.list("wires", each(rig.wires, wire_json));
  out.list("ballasts", each(rig.ballasts, ballast_json));
  out.list("pockets", each(rig.pockets, pocket_json));
  out.list("hooks", hooks_json(live));
  out.list("outsides", each(rig.outsides, weight_json<rig::Outside>));
  out.list("materials", table_json(rig::materials()));
  out.list("woods", table_json(rig::woods()));
  out.flag("air", live.air_in_cavity);
  out.texts("place_names", live.place_names);
  out.maybe_text("line_hook", if_any(live.line_hook));
  out.object("body_hangs_on", std::move(shaped));
  out.text("file", live.sheet_file);
  out.list("sheet", each(live.sheet, piece_json));
  return out;
}

}  // namespace trueblank::report
