// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/seen_report.h"

#include <cmath>
#include <utility>

#include "report/ballast_words.h"
#include "report/float_json.h"
#include "report/layout.h"
#include "report/numbers.h"
#include "report/pose_text.h"
#include "report/water_text.h"

namespace trueblank::report {

namespace {

using Kind = tuning::Remedy::Kind;

constexpr double far_from_sheet = 3;  // standard deviations of the maker's own
constexpr std::size_t changes_in_answer = 3;
constexpr double worth_telling = 0.05;  // standard deviations: what is shown as 0.1 and more
constexpr std::size_t remedies_told = 6;

std::string lies_so(const tuning::Lies& lies, const TextStyle& style) {
  if (!lies.tail_down_deg) return "nowhere at rest; " + reserve_words(lies.reserve_g, style);
  return lie_words(*lies.tail_down_deg, lies.list_deg) + "; " +
         reserve_words(lies.reserve_g, style);
}

std::string seen_words(const tuning::Seen& seen, const TextStyle& style) {
  std::vector<std::string> words;
  if (seen.tail_down_deg) words.push_back(trim_words(*seen.tail_down_deg));
  if (seen.list_deg) words.push_back("a list of " + degrees(*seen.list_deg));
  if (seen.sank_with_g) {
    words.push_back("sunk by " + mass_text(*seen.sank_with_g, style) + " of lead stuck on");
  }
  return listed(words, "and");
}

std::string change_words(const tuning::Explained::Change& change) {
  return shown(change.what) + " by " + with_sign(change.by, 2) + ' ' + change.unit + " (± " +
         fixed(change.sd, 2) + ')';
}

// Which side of the body a place on its skin is.
std::string side_words_at(const geometry::Vec3& at_mm) {
  if (std::abs(at_mm.y()) >= std::abs(at_mm.z())) {
    return at_mm.y() > 0 ? "right flank" : "left flank";
  }
  return at_mm.z() > 0 ? "back" : "belly";
}

std::string remedy_words(const tuning::Remedy& remedy, const TextStyle& style) {
  const std::string grams = mass_text(remedy.grams, style);
  const std::string station = length_text(remedy.at_mm.x(), 1, style);
  switch (remedy.kind) {
    case Kind::other_hook:
      return "another " + shown(remedy.part) + ", of " + grams;
    case Kind::ring:
      return "a ring of " + grams + " on the " + shown(remedy.part);
    case Kind::wound_lead:
      return grams + " of lead wound on the " + shown(remedy.part);
    case Kind::new_hole:
      return grams + " in a new hole, its middle at " + station + ", " +
             aside_words(remedy.at_mm.y());
    case Kind::sanding:
      return "about " + fixed(remedy.volume_mm3 / 1000, 2) + " cm³ (" + grams +
             " of wood) sanded off the " + side_words_at(remedy.at_mm) + " at " + station +
             ", which can't be put back";
  }
  return "";
}

std::string kind_name(Kind kind) {
  switch (kind) {
    case Kind::other_hook:
      return "other_hook";
    case Kind::ring:
      return "ring";
    case Kind::wound_lead:
      return "wound_lead";
    case Kind::new_hole:
      return "new_hole";
    case Kind::sanding:
      return "sanding";
  }
  return "other_hook";
}

std::string explained_text(const tuning::Explained& explained) {
  std::string text;
  if (!explained.changes.empty()) {
    Table table;
    table.row({"changed, together", "by", "±", "", "its own deviations"});
    for (const tuning::Explained::Change& change : explained.changes) {
      if (std::abs(change.sigmas) < worth_telling) continue;
      table.row({shown(change.what), with_sign(change.by, 2), fixed(change.sd, 2), change.unit,
                 fixed(change.sigmas, 1)});
    }
    text += table.text();
  }
  if (!explained.alone.empty()) {
    std::vector<std::string> words;
    for (const tuning::Explained::Alone& one : explained.alone) {
      words.push_back(change_words(one.change));
    }
    text += paragraph("One alone would explain it too: " + listed(words, "or") + '.');
  }
  if (explained.sigmas > far_from_sheet) {
    text += paragraph("That is " + fixed(explained.sigmas, 1) +
                      " standard deviations from the sheet in all: check the sheet itself first, "
                      "its masses, places and the scale of the body.");
  }
  return text;
}

std::string remedies_text(const SeenResult& result, const TextStyle& style) {
  if (result.remedies.empty()) return "";
  Facts facts;
  for (std::size_t i = 0; i < result.remedies.size() && i < remedies_told; ++i) {
    const tuning::Remedy& remedy = result.remedies[i];
    facts.add(std::to_string(i + 1), remedy_words(remedy, style) + ": " +
                                         lies_so(remedy.then, style) +
                                         (remedy.met ? "; as wished" : "; not quite as wished"));
  }
  return std::string("What can still be altered, best first") +
         (result.seen.water ? ", and how it then lies in its own water" : "") + ":\n" +
         facts.text();
}

std::string drilled_text(const SeenResult& result, const TextStyle& style) {
  std::string text;
  for (const tuning::DrilledIn& one : result.drilled_in) {
    text += paragraph(shown(one.name) + ": " + mass_text(one.stuck_on_g, style) +
                          " stuck on weigh in water what " + mass_text(one.drilled_in_g, style) +
                          " do drilled in at " + length_text(one.drilled_in_mm.x(), 1, style) +
                          ": it then lies " + lies_so(one.drilled_in, style) +
                          " (stuck on: " + lies_so(one.stuck_on, style) + ").",
                      2);
  }
  return text;
}

JsonObject change_json(const tuning::Explained::Change& change) {
  JsonObject out;
  out.text("what", change.what);
  out.text("unit", change.unit);
  out.number("by", change.by);
  out.number("sd", change.sd);
  out.number("sigmas", change.sigmas);
  return out;
}

void add_explained(JsonObject& out, const tuning::Explained& explained) {
  std::vector<JsonObject> changes;
  for (const tuning::Explained::Change& one : explained.changes) {
    changes.push_back(change_json(one));
  }
  std::vector<JsonObject> alone;
  for (const tuning::Explained::Alone& one : explained.alone) {
    alone.push_back(change_json(one.change));
    alone.back().number("misfit", one.misfit);
  }
  out.list("changes", std::move(changes));
  out.list("alone", std::move(alone));
  out.number("sigmas", explained.sigmas);
  out.number("misfit", explained.misfit);
  out.object("by_sheet", lies_json(explained.by_sheet));
  out.object("now", lies_json(explained.now));
}

std::vector<JsonObject> remedies_json(const std::vector<tuning::Remedy>& remedies) {
  std::vector<JsonObject> out;
  for (const tuning::Remedy& one : remedies) {
    JsonObject& entry = out.emplace_back();
    entry.text("kind", kind_name(one.kind));
    entry.text("part", one.part);
    entry.number("grams", one.grams);
    entry.vector("at_mm", one.at_mm);
    entry.number("volume_mm3", one.volume_mm3);
    entry.object("then", lies_json(one.then));
    entry.number("cost", one.cost);
    entry.flag("met", one.met);
  }
  return out;
}

std::vector<JsonObject> drilled_json(const std::vector<tuning::DrilledIn>& all) {
  std::vector<JsonObject> out;
  for (const tuning::DrilledIn& one : all) {
    JsonObject& entry = out.emplace_back();
    entry.text("name", one.name);
    entry.number("stuck_on_g", one.stuck_on_g);
    entry.number("drilled_in_g", one.drilled_in_g);
    entry.vector("stuck_on_mm", one.stuck_on_mm);
    entry.vector("drilled_in_mm", one.drilled_in_mm);
    entry.object("stuck_on", lies_json(one.stuck_on));
    entry.object("drilled_in", lies_json(one.drilled_in));
  }
  return out;
}

}  // namespace

std::string answer(const SeenResult& result, const TextStyle& style) {
  const tuning::Explained& explained = result.explained;
  const std::optional<rig::Water>& water = result.seen.water;
  std::string text =
      (water ? "Seen in other water (" + kind_words(*water) + "): " : std::string("Seen: ")) +
      seen_words(result.seen, style) + ". By the sheet it would " + (water ? "there " : "") +
      "lie " + lies_so(explained.by_sheet, style) + ".";
  std::vector<std::string> words;
  for (std::size_t i = 0; i < explained.changes.size() && i < changes_in_answer; ++i) {
    if (std::abs(explained.changes[i].sigmas) < worth_telling) break;
    words.push_back(change_words(explained.changes[i]));
  }
  text += words.empty() ? " Nothing need be changed to explain that."
                        : " The least change that explains it: " + listed(words, "and") + ".";
  if (result.remedies.empty()) return text + " There is nothing to mend that can still be altered.";
  const tuning::Remedy& best = result.remedies.front();
  return text + (best.met ? " To mend it: " : " The nearest that can still be done: ") +
         remedy_words(best, style) + "; it then lies " +
         (water ? "in its own water (" + kind_words(result.lies.water) + ") " : "") +
         lies_so(best.then, style) + ".";
}

std::string to_text(const SeenResult& result, const TextStyle& style) {
  std::string text = paragraph(answer(result, style));
  for (const std::string& part : {explained_text(result.explained), remedies_text(result, style),
                                  drilled_text(result, style), pose_table(result.lies)}) {
    if (!part.empty()) text += '\n' + part;
  }
  text += '\n';
  if (style.verbose) text += to_text(result.lies, style) + '\n';
  text += paragraph(
      "Lead: wash your hands, keep it from children and food; some rules ban it. Never pour molten "
      "lead into damp or unsealed wood. Tin or bismuth wire winds on as well. Local rules come "
      "first.");
  return text + notes(result.lies.warnings);
}

std::string to_json(const SeenResult& result) {
  const FloatResult& lies = result.lies;
  JsonObject seen;
  seen.number("tail_down_deg", result.seen.tail_down_deg);
  seen.number("list_deg", result.seen.list_deg);
  seen.number("sank_with_g", result.seen.sank_with_g);
  seen.number("water_density_g_cm3", result.seen.water.value_or(lies.water).density_g_cm3);
  add_explained(seen, result.explained);
  seen.list("remedies", remedies_json(result.remedies));
  seen.list("drilled_in", drilled_json(result.drilled_in));
  JsonObject out = opening("ballast", lies.input, lies.warnings);
  out.object("frame", frame_json(lies.frame, lies.guessed));
  out.flag("met", result.met());
  out.list("weights", {});
  out.object("seen", std::move(seen));
  out.object("result", float_json(lies));
  out.object("sensitivity", sensitivity_json(lies.sensitivity));
  return out.written();
}

}  // namespace trueblank::report
