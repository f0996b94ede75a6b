// SPDX-License-Identifier: GPL-3.0-or-later
#include <string>
#include <utility>

#include "report/float_json.h"
#include "report/json_object.h"
#include "report/notebook_report.h"
#include "report/notebook_words.h"
#include "report/version.h"

namespace trueblank::report {

namespace {

using Maybe = std::optional<double>;

std::optional<std::string> maybe_word(const std::string& text) {
  return text.empty() ? std::nullopt : std::optional(text);
}

std::optional<std::string> maybe_state(const std::optional<water::State>& state) {
  return state ? std::optional(state_name(*state)) : std::nullopt;
}

JsonObject water_json(const rig::Water& water) {
  JsonObject out;
  out.number("salinity", water.density_given ? Maybe() : Maybe(water.salinity));
  out.number("temperature_c", water.density_given ? Maybe() : Maybe(water.temperature_c));
  out.number("density_g_cm3", water.density_g_cm3);
  return out;
}

JsonObject figures_json(const notebook::Figures& figures) {
  JsonObject out;
  out.maybe_text("wood", maybe_word(figures.wood));
  out.number("wood_density_g_cm3", figures.wood_density_g_cm3);
  out.number("length_mm", figures.length_mm);
  out.number("width_mm", figures.width_mm);
  out.number("height_mm", figures.height_mm);
  out.number("volume_mm3", figures.volume_mm3);
  out.object("water", figures.water ? std::optional(water_json(*figures.water)) : std::nullopt);
  out.maybe_text("state", maybe_state(figures.state));
  out.number("mass_g", figures.mass_g);
  out.number("undrilled_wood_g", figures.undrilled_wood_g);
  out.number("wood_g", figures.wood_g);
  out.number("finish_g", figures.finish_g);
  out.number("wire_g", figures.wire_g);
  out.number("ballast_g", figures.ballast_g);
  out.number("pocket_g", figures.pocket_g);
  out.number("hooks_g", figures.hooks_g);
  out.number("outside_g", figures.outside_g);
  out.number("displacement_full_g", figures.displacement_full_g);
  out.number("reserve_g", figures.reserve_g);
  out.number("tail_down_deg", figures.tail_down_deg);
  out.number("list_deg", figures.list_deg);
  out.number("least_stiffness_g_mm_per_deg", figures.least_stiffness_g_mm_per_deg);
  out.number("roll_stiffness_g_mm_per_deg", figures.roll_stiffness_g_mm_per_deg);
  return out;
}

std::optional<JsonObject> as_built_json(const std::optional<notebook::AsBuilt>& built) {
  if (!built) return {};
  JsonObject out;
  out.number("total_g", built->total_g);
  out.number("blank_g", built->blank_g);
  std::vector<JsonObject> parts;
  for (const notebook::AsBuiltPart& part : built->parts) {
    JsonObject& entry = parts.emplace_back();
    entry.text("name", part.name);
    entry.number("mass_g", part.mass_g);
    entry.numbers("at_mm", part.at_mm);
  }
  out.list("parts", std::move(parts));
  return out;
}

JsonObject record_json(const notebook::TankRecord& record) {
  JsonObject out;
  out.count("number", record.number);
  out.text("date", record.date);
  out.maybe_text("state", maybe_state(record.state));
  out.number("tail_down_deg", record.tail_down_deg);
  out.number("tail_down_sd_deg", record.tail_down_sd_deg);
  out.flag("from_photograph", record.photograph.has_value());
  out.number("list_deg", record.list_deg);
  out.number("sank_with_g", record.sank_with_g);
  out.object("water", water_json(record.water));
  out.number("mass_before_g", record.mass_before_g);
  out.number("mass_after_g", record.mass_after_g);
  out.text("notes", record.notes);
  return out;
}

JsonObject build_json(const notebook::BuildFacts& facts,
                      const std::vector<notebook::TankRecord>& tank) {
  JsonObject out;
  out.count("id", facts.id);
  out.text("added", facts.added);
  out.text("title", facts.title);
  out.text("kind", facts.kind);
  out.text("notes", facts.notes);
  out.text("program_version", facts.program_version);
  out.text("sheet", facts.sheet_name);
  out.object("figures", figures_json(facts.figures));
  out.object("as_built", as_built_json(facts.as_built));
  std::vector<JsonObject> records;
  for (const notebook::TankRecord& record : tank) records.push_back(record_json(record));
  out.list("tank", std::move(records));
  return out;
}

std::optional<JsonObject> summary_json(const std::optional<notebook::Summary>& summary) {
  if (!summary) return {};
  JsonObject out;
  out.count("count", summary->count);
  out.number("median", summary->median);
  out.number("lower_quartile", summary->lower_quartile);
  out.number("upper_quartile", summary->upper_quartile);
  out.number("least", summary->least);
  out.number("greatest", summary->greatest);
  return out;
}

std::vector<JsonObject> ratios_json(const std::vector<notebook::RatioGroup>& groups) {
  std::vector<JsonObject> out;
  for (const notebook::RatioGroup& group : groups) {
    JsonObject& entry = out.emplace_back();
    entry.maybe_text("wood", group.wood);
    entry.maybe_text("kind", group.kind);
    entry.count("builds", group.builds);
    entry.object("weight_g_per_100g_wood", summary_json(group.weight_g_per_100g_wood));
    entry.object("weight_without_hooks_g_per_100g_wood",
                 summary_json(group.weight_without_hooks_g_per_100g_wood));
    entry.object("wire_percent", summary_json(group.wire_percent));
    entry.object("reserve_g_per_100g", summary_json(group.reserve_g_per_100g));
    entry.object("least_stiffness_g_mm_per_deg_per_100g",
                 summary_json(group.least_stiffness_g_mm_per_deg_per_100g));
  }
  return out;
}

JsonObject grams_json(const notebook::Suggestion::Grams& grams) {
  JsonObject out;
  out.number("median", grams.median);
  out.number("least", grams.least);
  out.number("greatest", grams.greatest);
  return out;
}

std::string reach_name(notebook::Reach reach) {
  switch (reach) {
    case notebook::Reach::within:
      return "within";
    case notebook::Reach::lighter:
      return "lighter";
    case notebook::Reach::heavier:
      return "heavier";
  }
  return "within";
}

std::optional<JsonObject> suggestion_json(const NotebookResult& result) {
  if (!result.suggestion) return {};
  const notebook::Suggestion& found = *result.suggestion;
  JsonObject out;
  out.count("builds", found.builds);
  out.flag("kind_left_out", found.kind_left_out);
  out.object("weight_g", grams_json(found.weight_g));
  out.object("weight_without_hooks_g", grams_json(found.weight_without_hooks_g));
  out.number("lightest_blank_g", found.lightest_blank_g);
  out.number("heaviest_blank_g", found.heaviest_blank_g);
  out.text("reach", reach_name(found.reach));
  out.number("beyond_percent", found.beyond_percent);
  out.number("chance_within", found.chance_within);
  return out;
}

JsonObject estimate_json(const LearnedBook& book, const notebook::Estimate& estimate) {
  const notebook::Cause& cause = book.causes[estimate.cause];
  JsonObject out;
  out.text("cause", cause_name(cause.kind));
  out.maybe_text("wood", cause.wood);
  out.number("value", estimate.value);
  out.number("sd", estimate.sd);
  return out;
}

JsonObject reading_json(const LearnedBook& book, const notebook::Reading& reading) {
  JsonObject out;
  out.count("id", book.ids[reading.build]);
  out.count("record", reading.tank_record);
  out.text("figure", figure_name(reading.figure));
  out.number("read", reading.read);
  out.number("foretold", reading.foretold);
  out.number("sd", reading.sd);
  out.flag("other_pose", reading.other_pose);
  return out;
}

std::vector<JsonObject> readings_json(const LearnedBook& book,
                                      const std::vector<notebook::Reading>& readings) {
  std::vector<JsonObject> out;
  for (const notebook::Reading& one : readings) out.push_back(reading_json(book, one));
  return out;
}

std::vector<JsonObject> named_json(const LearnedBook& book) {
  std::vector<JsonObject> out;
  for (const notebook::Named& one : book.learned.named) {
    JsonObject& entry = out.emplace_back(estimate_json(book, one.found));
    entry.number("chance", one.chance);
    std::vector<JsonObject> others;
    for (const notebook::Estimate& other : one.or_else) {
      others.push_back(estimate_json(book, other));
    }
    entry.list("or_else", std::move(others));
  }
  return out;
}

std::vector<JsonObject> calibration_json(const LearnedBook& book) {
  std::vector<JsonObject> out;
  for (const notebook::Calibration& one : book.calibration) {
    JsonObject& entry = out.emplace_back();
    entry.text("figure", figure_name(one.figure));
    entry.count("builds", one.builds);
    entry.number("within", one.within);
    entry.number("within_by_sheet", one.within_by_sheet);
    entry.number("median", one.median);
    entry.number("chance_next", one.chance_next);
    entry.count("held", one.held);
  }
  return out;
}

std::optional<JsonObject> learned_json(const std::optional<LearnedBook>& book) {
  if (!book) return {};
  JsonObject out;
  out.count("builds", book->learned.builds);
  out.count("readings", book->learned.readings);
  out.list("named", named_json(*book));
  std::vector<JsonObject> all;
  for (const notebook::Estimate& one : book->learned.all) all.push_back(estimate_json(*book, one));
  out.list("all", std::move(all));
  out.number("squares_before", book->learned.squares_before);
  out.number("squares_after", book->learned.squares_after);
  out.number("scatter", book->learned.scatter);
  out.list("by_sheet", readings_json(*book, book->by_sheet.readings));
  out.list("doubtful", readings_json(*book, book->learned.doubtful));
  std::vector<JsonObject> wrong;
  for (const notebook::WrongState& one : book->by_sheet.wrong_states) {
    JsonObject& entry = wrong.emplace_back();
    entry.count("id", book->ids[one.build]);
    entry.count("record", one.tank_record);
    entry.text("read", state_name(one.read));
    entry.text("foretold", state_name(one.foretold));
  }
  out.list("wrong_states", std::move(wrong));
  out.list("calibration", calibration_json(*book));
  return out;
}

std::vector<JsonObject> foretold_json(const std::optional<Foretold>& foretold) {
  std::vector<JsonObject> out;
  if (!foretold) return out;
  for (const notebook::Expected& one : foretold->expected) {
    JsonObject& entry = out.emplace_back();
    entry.text("figure", figure_name(one.figure));
    entry.number("by_sheet", one.by_sheet);
    entry.number("learned", one.learned);
    entry.number("sd", one.sd);
  }
  return out;
}

std::optional<JsonObject> imported_json(const std::optional<notebook::Imported>& imported) {
  if (!imported) return {};
  JsonObject out;
  out.counts("added", imported->added);
  out.counts("already_here", imported->already_here);
  std::vector<JsonObject> renumbered;
  for (const auto& one : imported->renumbered) {
    JsonObject& entry = renumbered.emplace_back();
    entry.count("from", one.from);
    entry.count("to", one.to);
  }
  out.list("renumbered", std::move(renumbered));
  out.count("tank_records", static_cast<long long>(imported->tank_records));
  out.count("tombstones", static_cast<long long>(imported->tombstones));
  return out;
}

std::vector<JsonObject> stones_json(const std::vector<notebook::Tombstone>& stones) {
  std::vector<JsonObject> out;
  for (const notebook::Tombstone& one : stones) {
    JsonObject& entry = out.emplace_back();
    entry.count("id", one.id);
    entry.text("added", one.added);
    entry.text("title", one.title);
    entry.text("forgotten", one.forgotten);
  }
  return out;
}

}  // namespace

std::string to_json(const NotebookResult& result) {
  JsonObject out;
  out.text("schema", "trueblank.notebook/1");
  out.text("version", std::string(version()));
  out.object("input", result.input ? std::optional(input_json(*result.input)) : std::nullopt);
  out.texts("warnings", result.warnings);
  out.text("action", result.action);
  out.text("book", result.book);
  std::vector<JsonObject> builds;
  for (const notebook::ListedBuild& build : result.builds) {
    builds.push_back(build_json(build.facts, build.tank));
  }
  if (result.shown) builds.push_back(build_json(result.shown->build.facts, result.shown->tank));
  out.list("builds", std::move(builds));
  out.maybe_count("tank_record", result.tank_record);
  out.list("forgotten", stones_json(result.tombstones));
  out.list("ratios", ratios_json(result.ratios));
  out.object("suggestion", suggestion_json(result));
  out.object("learned", learned_json(result.learned));
  out.list("foretold", foretold_json(result.foretold));
  out.object("imported", imported_json(result.imported));
  out.maybe_text("folder", maybe_word(result.folder));
  out.maybe_text("written", maybe_word(result.written));
  return out.written();
}

}  // namespace trueblank::report
