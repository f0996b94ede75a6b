// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <type_traits>
#include <utility>

#include "notebook/build.h"
#include "notebook/tank_record.h"

// Each field of a build and of a tank record, once, by the name that it has in the notebook's
// tables and in an export alike. What stores, loads, writes and reads them walks these lists.
namespace trueblank::notebook {

/// A Visitor has operator()(const char* name, value) for std::string, std::optional<double> and
/// std::optional<water::State>, and `reads`: whether it fills what it is given. Where it does, the
/// things that it visits are not const.
template <typename Visitor>
concept FieldVisitor = requires {
  std::bool_constant<Visitor::reads>();
};

template <FieldVisitor Visitor>
void visit_water(Visitor& visit, std::optional<rig::Water>& water) {
  std::optional<double> salinity;
  std::optional<double> temperature_c;
  std::optional<double> density_g_cm3;
  std::optional<double> density_given;
  if (water) {
    salinity = water->salinity;
    temperature_c = water->temperature_c;
    density_g_cm3 = water->density_g_cm3;
    density_given = water->density_given ? 1 : 0;
  }
  visit("water_salinity", salinity);
  visit("water_temperature_c", temperature_c);
  visit("water_density_g_cm3", density_g_cm3);
  visit("water_density_given", density_given);
  if (!Visitor::reads || !salinity || !temperature_c || !density_g_cm3) return;
  water = rig::Water{.salinity = *salinity,
                     .temperature_c = *temperature_c,
                     .density_g_cm3 = *density_g_cm3,
                     .density_given = density_given.value_or(0) != 0};
}

template <FieldVisitor Visitor>
void visit_photograph(Visitor& visit, std::optional<Photograph>& photograph) {
  static constexpr std::pair<const char*, PicturePoint Photograph::*> points[] = {
      {"nose", &Photograph::nose},
      {"tail", &Photograph::tail},
      {"water_1", &Photograph::water_1},
      {"water_2", &Photograph::water_2}};
  Photograph read;
  bool whole = true;
  for (const auto& [name, point] : points) {
    std::optional<double> x;
    std::optional<double> y;
    if (photograph) {
      x = ((*photograph).*point).x;
      y = ((*photograph).*point).y;
    }
    visit(("photograph_" + std::string(name) + "_x").c_str(), x);
    visit(("photograph_" + std::string(name) + "_y").c_str(), y);
    whole = whole && x && y;
    if (x && y) read.*point = {.x = *x, .y = *y};
  }
  if (Visitor::reads && whole) photograph = read;
}

/// All but the number, the as-built figures and the contents.
template <FieldVisitor Visitor>
void visit_facts(Visitor& visit, BuildFacts& facts) {
  visit("added", facts.added);
  visit("title", facts.title);
  visit("kind", facts.kind);
  visit("notes", facts.notes);
  visit("program_version", facts.program_version);
  visit("sheet_name", facts.sheet_name);
  Figures& figures = facts.figures;
  visit("wood", figures.wood);
  visit("wood_density_g_cm3", figures.wood_density_g_cm3);
  visit("length_mm", figures.length_mm);
  visit("width_mm", figures.width_mm);
  visit("height_mm", figures.height_mm);
  visit("volume_mm3", figures.volume_mm3);
  visit_water(visit, figures.water);
  visit("state", figures.state);
  visit("mass_g", figures.mass_g);
  visit("undrilled_wood_g", figures.undrilled_wood_g);
  visit("wood_g", figures.wood_g);
  visit("finish_g", figures.finish_g);
  visit("wire_g", figures.wire_g);
  visit("ballast_g", figures.ballast_g);
  visit("pocket_g", figures.pocket_g);
  visit("hooks_g", figures.hooks_g);
  visit("outside_g", figures.outside_g);
  visit("displacement_full_g", figures.displacement_full_g);
  visit("reserve_g", figures.reserve_g);
  visit("tail_down_deg", figures.tail_down_deg);
  visit("list_deg", figures.list_deg);
  visit("least_stiffness_g_mm_per_deg", figures.least_stiffness_g_mm_per_deg);
  visit("roll_stiffness_g_mm_per_deg", figures.roll_stiffness_g_mm_per_deg);
}

/// All but the number.
template <FieldVisitor Visitor>
void visit_record(Visitor& visit, TankRecord& record) {
  visit("date", record.date);
  visit("state", record.state);
  visit("tail_down_deg", record.tail_down_deg);
  visit("tail_down_sd_deg", record.tail_down_sd_deg);
  visit_photograph(visit, record.photograph);
  visit("list_deg", record.list_deg);
  visit("list_sd_deg", record.list_sd_deg);
  visit("sank_with_g", record.sank_with_g);
  visit("sank_sd_g", record.sank_sd_g);
  std::optional<rig::Water> water = record.water;
  visit_water(visit, water);
  if (water) record.water = *water;
  visit("mass_before_g", record.mass_before_g);
  visit("mass_after_g", record.mass_after_g);
  visit("notes", record.notes);
}

}  // namespace trueblank::notebook
