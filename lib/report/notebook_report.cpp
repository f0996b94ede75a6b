// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/notebook_report.h"

#include <algorithm>
#include <cmath>

#include "report/ballast_words.h"
#include "report/float_json.h"
#include "report/layout.h"
#include "report/notebook_words.h"
#include "report/pose_text.h"

namespace trueblank::report {

namespace {

using notebook::BuildFacts;
using notebook::ListedBuild;
using notebook::RatioGroup;
using notebook::Reading;
using notebook::Summary;

std::string cell(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "–";
}

std::string number_of(std::int64_t id) { return std::to_string(id); }

std::string name_of(const BuildFacts& facts) {
  return "build " + number_of(facts.id) + (facts.title.empty() ? "" : ", " + shown(facts.title));
}

std::string builds_table(const std::vector<ListedBuild>& builds) {
  if (builds.empty()) return "";
  Table table;
  table.row({"build", "added", "length", "wood", "state", "mass", "reserve", "tail", "trials"});
  table.row({"", "", "mm", "", "", "g", "g", "down °", ""});
  for (const ListedBuild& build : builds) {
    const notebook::Figures& figures = build.facts.figures;
    table.row({number_of(build.facts.id), build.facts.added.substr(0, 10),
               cell(figures.length_mm, 1),
               figures.wood.empty() ? cell(figures.wood_density_g_cm3, 3) : shown(figures.wood),
               figures.state ? state_name(*figures.state) : "–", cell(figures.mass_g, 1),
               cell(figures.reserve_g, 1), cell(figures.tail_down_deg, 1),
               std::to_string(build.tank.size())});
  }
  std::string text = table.text();
  for (const ListedBuild& build : builds) {
    const std::string kind = build.facts.kind.empty() ? "" : " (" + shown(build.facts.kind) + ")";
    text += paragraph(
        number_of(build.facts.id) + ": " +
            (build.facts.title.empty() ? shown(build.facts.sheet_name) : shown(build.facts.title)) +
            kind,
        4, 2);
  }
  return text;
}

std::string tombstones_text(const std::vector<notebook::Tombstone>& stones) {
  std::string text;
  for (const notebook::Tombstone& one : stones) {
    text += paragraph("Forgotten on " + one.forgotten.substr(0, 10) + ": build " +
                          number_of(one.id) + ", " + shown(one.title),
                      4, 2);
  }
  return text;
}

void add_figures(Facts& facts, const notebook::Figures& figures, const TextStyle& style) {
  if (figures.length_mm) facts.add("length", length_text(*figures.length_mm, 1, style));
  facts.add("wood", (figures.wood.empty() ? std::string("no name") : shown(figures.wood)) + ", " +
                        cell(figures.wood_density_g_cm3, 3) + " g/cm³");
  if (figures.mass_g) {
    facts.add("mass", mass_text(*figures.mass_g, style) + ": " + cell(figures.wood_g, 1) +
                          " wood, " + cell(figures.wire_g, 1) + " wire, " +
                          cell(figures.ballast_g, 1) + " weights, " + cell(figures.hooks_g, 1) +
                          " hooks");
  }
  if (figures.reserve_g) facts.add("reserve", reserve_words(*figures.reserve_g, style));
  if (figures.tail_down_deg) {
    facts.add("lies", lie_words(*figures.tail_down_deg, figures.list_deg) + ", " +
                          cell(figures.least_stiffness_g_mm_per_deg, 2) + " g·mm per degree");
  }
}

std::string as_built_text(const notebook::AsBuilt& built, const TextStyle& style) {
  std::vector<std::string> words;
  if (built.total_g) words.push_back(mass_text(*built.total_g, style) + " in all");
  if (built.blank_g) words.push_back(mass_text(*built.blank_g, style) + " the bare blank");
  for (const notebook::AsBuiltPart& part : built.parts) {
    if (part.mass_g) words.push_back(mass_text(*part.mass_g, style) + " " + shown(part.name));
  }
  return words.empty() ? "nothing weighed" : listed(words, "and");
}

std::string shown_text(const NotebookResult& result, const TextStyle& style) {
  const notebook::Build& build = result.shown->build;
  Facts facts;
  facts.add("build", number_of(build.facts.id) + ", added " + build.facts.added +
                         ", by trueblank " + build.facts.program_version);
  facts.add("sheet", shown(build.facts.sheet_name));
  for (const notebook::KeptFile& file : build.files) {
    facts.add("file", shown(file.name) + ", " + grouped(static_cast<long long>(file.bytes.size())) +
                          " bytes");
  }
  if (!build.facts.kind.empty()) facts.add("kind", shown(build.facts.kind));
  add_figures(facts, build.facts.figures, style);
  if (build.facts.as_built) facts.add("as built", as_built_text(*build.facts.as_built, style));
  if (!build.facts.notes.empty()) facts.add("notes", shown(build.facts.notes));
  std::string text = facts.text();
  if (result.shown->tank.empty()) return text + "\nNothing that the water showed is kept yet.\n";
  Facts trials;
  for (const notebook::TankRecord& record : result.shown->tank) {
    trials.add(record.date, record_words(record, style));
    if (!record.notes.empty()) trials.add("", shown(record.notes));
  }
  return text + "\nWhat the water showed:\n" + trials.text();
}

std::string summary_words(const std::optional<Summary>& summary, int decimals) {
  if (!summary) return "–";
  const std::string median = fixed(summary->median, decimals);
  if (summary->count < 2) return median;
  return median + " (" + fixed(summary->lower_quartile, decimals) + " to " +
         fixed(summary->upper_quartile, decimals) + ")";
}

std::string group_name(const RatioGroup& group) {
  if (!group.wood && !group.kind) return "all builds";
  if (group.wood && group.kind) return shown(*group.wood) + ", " + shown(*group.kind);
  return shown(group.wood ? *group.wood : *group.kind);
}

std::string ratios_text(const std::vector<RatioGroup>& groups) {
  if (groups.empty()) return "";
  Table table;
  table.row({"", "builds", "weight", "without hooks", "wire"});
  table.row({"", "", "g per 100 g of wood", "g per 100 g of wood", "% of it and ballast"});
  for (const RatioGroup& group : groups) {
    table.row({group_name(group), std::to_string(group.builds),
               summary_words(group.weight_g_per_100g_wood, 0),
               summary_words(group.weight_without_hooks_g_per_100g_wood, 0),
               summary_words(group.wire_percent, 0)});
  }
  Table floating;
  floating.row({"", "reserve", "least stiffness"});
  floating.row({"", "g per 100 g", "g·mm/° per 100 g"});
  for (const RatioGroup& group : groups) {
    floating.row({group_name(group), summary_words(group.reserve_g_per_100g, 1),
                  summary_words(group.least_stiffness_g_mm_per_deg_per_100g, 2)});
  }
  return table.text() + '\n' + floating.text() +
         paragraph(
             "Median, and between which the middle half lies. Weight: all that is neither "
             "wood nor finish.");
}

std::string readings_text(const LearnedBook& book) {
  if (book.by_sheet.readings.empty()) return "";
  Table table;
  table.row({"build", "figure", "by sheet", "read", "off", "±"});
  for (const Reading& one : book.by_sheet.readings) {
    const int decimals = figure_unit(one.figure) == "°" ? 1 : 2;
    table.row({number_of(book.ids[one.build]), figure_words(one.figure) + figure_unit(one.figure),
               fixed(one.foretold, decimals), fixed(one.read, decimals),
               one.other_pose ? "another pose" : with_sign(one.off(), decimals),
               fixed(one.sd, decimals)});
  }
  std::string text = table.text();
  for (const notebook::WrongState& one : book.by_sheet.wrong_states) {
    text += paragraph("Build " + number_of(book.ids[one.build]) + " " + state_name(one.read) +
                          ", where its sheet says that it " + state_name(one.foretold) + ".",
                      2);
  }
  for (const Reading& one : book.learned.doubtful) {
    text +=
        paragraph("Build " + number_of(book.ids[one.build]) + ": its " + figure_words(one.figure) +
                      " lies far from all else: check the reading, or the sheet.",
                  2);
  }
  return text;
}

std::string foretold_text(const Foretold& foretold) {
  if (foretold.expected.empty()) return "";
  Table table;
  table.row({"foretold", "by the sheet", "with what was learnt", "±"});
  for (const notebook::Expected& one : foretold.expected) {
    const int decimals = figure_unit(one.figure) == "°" ? 1 : 2;
    table.row({figure_words(one.figure) + figure_unit(one.figure), fixed(one.by_sheet, decimals),
               fixed(one.learned, decimals), fixed(one.sd, decimals)});
  }
  return table.text();
}

std::string imported_text(const NotebookResult& result) {
  const notebook::Imported& imported = *result.imported;
  std::string text;
  for (const auto& one : imported.renumbered) {
    text +=
        paragraph("Its build " + number_of(one.from) + " is " + number_of(one.to) + " here.", 2);
  }
  if (imported.tank_records > 0) {
    text += paragraph(std::to_string(imported.tank_records) +
                          " records of the water were added to builds that were here already.",
                      2);
  }
  return text;
}

std::string counted(std::size_t count, const std::string& one) {
  return std::to_string(count) + ' ' + one + (count == 1 ? "" : "s");
}

std::string first_build(const NotebookResult& result) {
  return result.builds.empty() ? "" : name_of(result.builds.front().facts);
}

std::string deed(const NotebookResult& result, const TextStyle& style) {
  const std::string& action = result.action;
  if (action == "add") return "Kept as " + first_build(result) + '.';
  if (action == "tank") {
    return "Kept with " + first_build(result) + ", trial " +
           number_of(result.tank_record.value_or(0)) + '.';
  }
  if (action == "forget") return "Forgotten: " + first_build(result) + '.';
  if (action == "copy") return "Copied from " + first_build(result) + '.';
  if (action == "export") {
    return counted(result.builds.size(), "build") + " written to " + shown(result.folder) + '.';
  }
  if (action == "import") {
    return counted(result.imported->added.size(), "build") + " added from " + shown(result.folder) +
           ", " + std::to_string(result.imported->already_here.size()) + " were here already.";
  }
  if (action == "show") return "This is " + name_of(result.shown->build.facts) + '.';
  if (action == "find") return counted(result.builds.size(), "build") + " found.";
  if (action == "ratios") {
    const std::string suggestion = suggestion_sentence(result, style);
    if (!suggestion.empty()) return suggestion;
    return "Ratios of " + counted(result.builds.size(), "build") + '.';
  }
  if (action == "learn") return learned_sentences(*result.learned);
  return counted(result.builds.size(), "build") + " in " + shown(result.book) + '.';
}

}  // namespace

std::string answer(const NotebookResult& result, const TextStyle& style) {
  std::string text = deed(result, style);
  if (!result.learned) return text;
  const std::string how_good = calibration_sentence(*result.learned);
  return text + (how_good.empty() ? "" : " " + how_good);
}

std::string to_text(const NotebookResult& result, const TextStyle& style) {
  std::string text = paragraph(answer(result, style));
  std::string more;
  if (result.action == "list" || result.action == "find") more = builds_table(result.builds);
  if (result.shown) more += shown_text(result, style);
  more += tombstones_text(result.tombstones) + ratios_text(result.ratios);
  if (result.learned && result.action != "add") {
    more += (more.empty() ? "" : "\n") + readings_text(*result.learned);
  }
  if (result.foretold) more += (more.empty() ? "" : "\n") + foretold_text(*result.foretold);
  if (result.imported) more += imported_text(result);
  if (!more.empty()) text += '\n' + more;
  return text + (result.warnings.empty() ? "" : "\n") + notes(result.warnings);
}

}  // namespace trueblank::report
