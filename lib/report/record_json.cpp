// SPDX-License-Identifier: GPL-3.0-or-later
// What every verb's JSON tells of its body.
#include <utility>

#include "report/input_text.h"
#include "report/json_object.h"

namespace trueblank::report {

namespace {

std::vector<JsonObject> holes(const std::vector<intake::FilledHole>& filled) {
  std::vector<JsonObject> out;
  for (const intake::FilledHole& hole : filled) {
    JsonObject& entry = out.emplace_back();
    entry.vector("centre_mm", hole.centre_mm);
    entry.number("area_mm2", hole.area_mm2);
    entry.number("bound_mm3", hole.bound_mm3);
    entry.flag("wide", hole.wide);
    entry.flag("table", hole.table);
  }
  return out;
}

std::vector<JsonObject> mended(const std::vector<intake::Mended>& steps) {
  std::vector<JsonObject> out;
  for (const intake::Mended& one : steps) {
    JsonObject& entry = out.emplace_back();
    entry.text("what", one.what);
    entry.count("count", static_cast<long long>(one.count));
    entry.number("bound_mm3", one.bound_mm3);
  }
  return out;
}

std::vector<JsonObject> reshaped(const std::vector<body::Reshaping>& changes) {
  std::vector<JsonObject> out;
  for (const body::Reshaping& one : changes) {
    JsonObject& entry = out.emplace_back();
    entry.text("what", one.what);
    entry.count("facets", static_cast<long long>(one.facets));
    entry.number("volume_change_mm3", one.volume_change_mm3);
    entry.number("greatest_distance_mm", one.greatest_distance_mm);
  }
  return out;
}

std::vector<JsonObject> doubts(const std::vector<body::VolumeDoubt>& all) {
  std::vector<JsonObject> out;
  for (const body::VolumeDoubt& one : all) {
    JsonObject& entry = out.emplace_back();
    entry.text("what", one.what);
    entry.number("mm3", one.mm3);
    entry.text("is", one.bound ? "bound" : "one standard deviation");
  }
  return out;
}

JsonObject scale(const body::InputFacts& input, const body::BodyRecord& record) {
  JsonObject out;
  out.text("said", scale_text(input, record));
  out.number("length_in_file", input.length_in_file);
  out.number("sd_percent", record.scale_sd_percent);
  return out;
}

JsonObject skin(const body::BodyRecord& record) {
  JsonObject out;
  out.number("offset_mm", record.skin_offset_mm);
  const bool by_dunk = record.dunk && record.skin_offset_mm != 0;
  out.maybe_text("offset_from",
                 by_dunk ? std::optional<std::string>(record.dunk->from_push ? "push" : "displaced")
                         : std::nullopt);
  out.number("coat_off_mm", record.coat_off_mm);
  out.number("noise_mm", record.noise_mm);
  out.number("mm3_per_tenth_mm", record.area_mm2 / 10);
  return out;
}

}  // namespace

void add_body(JsonObject& out, const body::InputFacts& input, const body::BodyRecord& record,
              double water_g_cm3) {
  out.object("scale", scale(input, record));
  out.object("skin", skin(record));
  JsonObject made_up;
  made_up.number("share", record.made_up_share);
  made_up.number("bound_mm3", record.made_up_bound_mm3);
  made_up.number("bound_g", record.made_up_bound_mm3 / 1000 * water_g_cm3);
  out.object("made_up", std::move(made_up));
}

void add_making(JsonObject& out, const body::BodyRecord& record) {
  using Maybe = std::optional<double>;
  const bool closed = record.displaced_mm3 > 0;
  out.list("mended", mended(record.mended));
  out.list("holes", holes(record.holes));
  out.list("reshaped", reshaped(record.reshaped));
  out.number("displaced_mm3", closed ? Maybe(record.displaced_mm3) : Maybe());
  out.maybe_text("cavity", record.cavity
                               ? std::optional<std::string>(
                                     *record.cavity == body::Cavity::air ? "air" : "flooded")
                               : std::nullopt);
  out.number("volume_sd_mm3", closed ? Maybe(body::volume_sd_mm3(record)) : Maybe());
  out.number("volume_bound_mm3", closed ? Maybe(body::volume_bound_mm3(record)) : Maybe());
  out.list("volume_doubts", doubts(record.doubts));
}

}  // namespace trueblank::report
