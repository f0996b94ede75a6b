// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/compare_report.h"

#include <algorithm>
#include <cmath>

#include "report/compare_words.h"
#include "report/deviation_colours.h"
#include "report/input_text.h"
#include "report/layout.h"
#include "report/mirror_words.h"

namespace trueblank::report {

namespace {

using symmetry::Difference;
using symmetry::StationPair;

// Two ways to lay one body on another that differ by less are as good as each other.
constexpr double alike = 1.1;
// A copy that is further off than this part of the length is no copy of this body.
constexpr double poor_fit = 0.02;
constexpr double little_compared = 0.2;
// A scan of a part: so much of its skin was made up, and so little of the master has a counterpart.
constexpr double some_made_up = 0.02;
constexpr double nearly_whole = 0.9;
// Where the shape tells a size that differs by so much and more, the length is worth a look.
constexpr double other_size = 0.03;

void add_alignment(Facts& facts, const ComparedCopy& copy, const TextStyle& style) {
  const symmetry::AlignmentFit& fit = copy.fit;
  facts.add("compared", percent(fit.other.compared, 0) + " of the copy's skin, " +
                            percent(fit.body.compared, 0) + " of the master's");
  const double turn = fit.doubt.turn_deg.cwiseAbs().maxCoeff();
  std::string sure = "± " + figures(turn, 2) + "°, ± " +
                     figures(fit.doubt.shift_mm.cwiseAbs().maxCoeff(), 2) + " mm";
  if (fit.doubt.turn_is_open) {
    sure = "but for the turn about the long axis, which two round bodies leave open";
  }
  facts.add("laid on to", length_text(fit.rms_mm, 3, style) + " rms, sure to " + sure);
  if (!fit.stretch) return;
  std::string text;
  const char* const names[] = {" along", " across", " upright"};
  for (std::size_t k = 0; k < 3; ++k) {
    const symmetry::Factor& factor = (*fit.stretch)[k];
    text += (k == 0 ? "" : ", ") + with_sign(-shrinkage_percent(factor), 2) + " % (± " +
            fixed(shrinkage_sd_percent(factor), 2) + ")" + names[k];
  }
  facts.add("size", text);
}

std::string change_text(double from, double change, const char* unit, int decimals) {
  return grouped(from, decimals) + " → " + grouped(from + change, decimals) + unit + " (" +
         with_sign(change, decimals) + ")";
}

void add_changes(Facts& facts, const ComparedCopy& copy, const TextStyle& style) {
  const symmetry::Comparison& comparison = copy.comparison;
  const symmetry::BodyFigures& master = comparison.master_figures;
  const symmetry::BodyChanges& changes = comparison.changes;
  facts.add("volume", change_text(master.volume_mm3, changes.volume_mm3, " mm³", 0));
  facts.add("surface", change_text(master.area_mm2, changes.area_mm2, " mm²", 0));
  facts.add("length", change_text(master.size_mm.x(), changes.size_mm.x(), " mm", 2));
  facts.add("width", change_text(master.size_mm.y(), changes.size_mm.y(), " mm", 2));
  facts.add("height", change_text(master.size_mm.z(), changes.size_mm.z(), " mm", 2));
  const geometry::Vec3& shift = changes.centroid_shift_mm;
  facts.add("centroid", "moved by " + with_sign(shift.x(), 2) + " mm aft, " +
                            with_sign(shift.y(), 2) + " right, " + with_sign(shift.z(), 2) + " up");
  facts.add("left, right", "the right side has " + with_sign(changes.balance_mm3, 0) +
                               " mm³ more over the left than the master's has");
  const auto deviation = [&](const symmetry::DeviationStatistics& d) {
    return "95 % within " + length_text(d.p95, 3, style) + ", rms " + fixed(d.rms, 3) + ", " +
           with_sign(d.max_shy, 3) + " to " + with_sign(d.max_proud, 3) + " mm";
  };
  facts.add("copy's skin", deviation(comparison.copy.statistics));
  facts.add("master's skin", deviation(comparison.master.statistics));
  if (comparison.noise.sigma_mm > 0) {
    facts.add("noise", fixed(std::sqrt(2) * comparison.noise.sigma_mm, 3) +
                           " mm of both together, holding together over " +
                           fixed(comparison.noise.correlation_mm, 1) + " mm");
  }
}

std::string differences_text(const ComparedCopy& copy, const TextStyle& style) {
  std::vector<const Difference*> all;
  for (const auto* list : {&copy.comparison.differences.proud, &copy.comparison.differences.shy}) {
    for (const Difference& one : *list) all.push_back(&one);
  }
  if (all.empty()) return "";
  std::ranges::stable_sort(all, [](const Difference* a, const Difference* b) {
    return std::abs(a->patch.volume_mm3) > std::abs(b->patch.volume_mm3);
  });
  Table table;
  table.row({"differs", "from nose", "most", "±", "at", "area", "volume"});
  table.row({"", "mm", "mm", "mm", "mm", "mm²", "mm³"});
  const std::size_t shown_rows = std::min(all.size(), rows_shown(style));
  for (std::size_t i = 0; i < shown_rows; ++i) {
    const symmetry::Patch& patch = all[i]->patch;
    table.row({std::to_string(i + 1),
               fixed(patch.from_station_mm, 0) + " to " + fixed(patch.to_station_mm, 0),
               with_sign(patch.greatest_mm, 2), fixed(all[i]->doubt_mm, 2),
               fixed(patch.greatest_at_mm.x(), 0), fixed(patch.area_mm2, 0),
               with_sign(patch.volume_mm3, 1)});
  }
  std::string text = '\n' + table.text();
  for (std::size_t i = 0; i < shown_rows; ++i) {
    text += paragraph(std::to_string(i + 1) + ": " + all[i]->patch.name, 4, 2);
  }
  if (shown_rows < all.size()) {
    text += paragraph("And " + std::to_string(all.size() - shown_rows) +
                      " that matter less; --verbose shows them.");
  }
  return text + paragraph(
                    "+: the copy has more there; -: it has less. ±: by how the two are laid "
                    "on each other. What noise explains is left alone.");
}

std::string profile_text(const ComparedCopy& copy, const TextStyle& style) {
  if (!copy.profile) return "";
  const symmetry::Profile& profile = *copy.profile;
  std::string text =
      '\n' + paragraph("Held to the master's profile, a zone " + fixed(2 * profile.limit_mm, 2) +
                       " mm wide about it (profile of a surface in the sense of ISO 1101, the "
                       "master as the datum): largest " +
                       with_sign(profile.largest_mm, 3) + " mm, 95 % within " +
                       fixed(profile.p95_mm, 3) + " mm.");
  if (profile.places.empty()) return text;
  Table table;
  table.row({"outside", "from nose", "most", "at", "area"});
  table.row({"", "mm", "mm", "mm", "mm²"});
  const std::size_t shown_rows = std::min(profile.places.size(), rows_shown(style));
  for (std::size_t i = 0; i < shown_rows; ++i) {
    const symmetry::ProfilePlace& place = profile.places[i];
    table.row({std::to_string(i + 1),
               fixed(place.from_station_mm, 0) + " to " + fixed(place.to_station_mm, 0),
               with_sign(place.greatest_mm, 2), fixed(place.greatest_at_mm.x(), 0),
               fixed(place.area_mm2, 1)});
  }
  text += table.text();
  for (std::size_t i = 0; i < shown_rows; ++i) {
    text += paragraph(std::to_string(i + 1) + ": " + profile.places[i].name, 4, 2);
  }
  if (shown_rows == profile.places.size()) return text;
  return text + paragraph("And " + std::to_string(profile.places.size() - shown_rows) +
                          " more; --verbose shows them.");
}

std::string cell(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "–";
}

std::string change_cell(const std::optional<double>& value, int decimals) {
  return value ? with_sign(*value, decimals) : "–";
}

std::string water_text(const CopyInWater& water, const std::string& sheet, const TextStyle& style) {
  const effect::CopyEffect& effect = water.effect;
  Table table;
  table.row({"in the water", "master", "copy", "change", "by size", "by shape"});
  const auto row = [&](const char* name, auto member, int decimals) {
    const auto of = [&](const effect::LiesAs& lies) { return std::optional<double>(lies.*member); };
    table.row({name, cell(of(effect.master_lies), decimals), cell(of(effect.copy_lies), decimals),
               change_cell(of(effect.change), decimals), change_cell(of(effect.by_size), decimals),
               change_cell(of(effect.by_shape), decimals)});
  };
  using Lies = effect::LiesAs;
  row("mass, g", &Lies::mass_g, 2);
  row("reserve, g", &Lies::reserve_g, 2);
  row("tail down, °", &Lies::tail_down_deg, 2);
  row("list, °", &Lies::list_deg, 2);
  row("roll, g·mm/°", &Lies::roll_stiffness_g_mm_per_deg, 2);
  row("pitch, g·mm/°", &Lies::pitch_stiffness_g_mm_per_deg, 2);
  row("least, g·mm/°", &Lies::least_stiffness_g_mm_per_deg, 2);
  std::string text = '\n' + table.text() +
                     paragraph("Rigged as " + shown(sheet) + " has it, wood of " +
                               fixed(water.wood_density_g_cm3, 3) +
                               " g/cm³ in both. By size: the master grown evenly to the copy's "
                               "volume; the rest is shape.");
  if (!water.restored || !water.restored->needed || water.restored->ways.empty()) return text;
  Facts facts;
  const std::vector<tuning::Restoring>& ways = water.restored->ways;
  for (std::size_t i = 0; i < std::min(ways.size(), rows_shown(style)); ++i) {
    const tuning::Restoring& way = ways[i];
    std::string then = restoring_words(way, style) + ": reserve " + fixed(way.then.reserve_g, 2) +
                       " g, tail down " + cell(way.then.tail_down_deg, 2) + "°, list " +
                       cell(way.then.list_deg, 2) + "°" +
                       (way.met ? "; as the master" : "; not quite as the master");
    facts.add(std::to_string(i + 1), then);
  }
  return text + "\nWhat brings it back to its master, best first:\n" + facts.text();
}

std::string stations_text(const ComparedCopy& copy) {
  if (copy.comparison.stations.empty()) return "";
  Table table;
  table.row({"from nose", "width", "+ −", "height", "+ −", "area", "+ −", "belly + −", "back + −"});
  table.row({"mm", "mm", "mm", "mm", "mm", "mm²", "mm²", "mm", "mm"});
  for (const StationPair& one : copy.comparison.stations) {
    const geometry::Section& section = one.master.section;
    table.row({fixed(section.x_mm, 1),
               fixed(section.left_half_width_mm + section.right_half_width_mm, 2),
               with_sign(one.width_change_mm, 2), fixed(section.height_mm(), 2),
               with_sign(one.height_change_mm, 2),
               fixed(section.left_area_mm2 + section.right_area_mm2, 1),
               with_sign(one.area_change_mm2, 1), with_sign(one.belly_change_mm, 2),
               with_sign(one.back_change_mm, 2)});
  }
  return '\n' + table.text() +
         paragraph("Of the master, each with how much more (+) or less (−) the copy has.");
}

std::string one_text(const CompareResult& result, const TextStyle& style) {
  const ComparedCopy& copy = result.copies.front();
  Facts facts;
  add_input(facts, result.input, result.record);
  Facts others;
  add_input(others, copy.input, copy.record);
  add_alignment(others, copy, style);
  add_changes(others, copy, style);
  if (result.map_scale_mm) others.add("map", colour_legend(*result.map_scale_mm));
  if (style.verbose) add_frame(others, result.frame, result.guessed);
  std::string text = "The master:\n" + facts.text() + "The copy:\n" + others.text();
  text += differences_text(copy, style) + profile_text(copy, style);
  if (copy.water) text += water_text(*copy.water, result.sheet, style);
  return text + stations_text(copy);
}

std::string copies_table(const CompareResult& result) {
  const bool water = std::ranges::any_of(
      result.copies, [](const ComparedCopy& copy) { return copy.water.has_value(); });
  Table table;
  std::vector<std::string> names = {"copy", "volume", "size", "95 %", "most", "least", "compared"};
  std::vector<std::string> units = {"", "%", "%", "mm", "mm", "mm", "%"};
  const auto column = [&](const char* name, const char* unit) {
    names.emplace_back(name);
    units.emplace_back(unit);
  };
  if (result.limit_mm) column("within", "");
  if (water) {
    column("reserve", "g");
    column("tail", "°");
  }
  table.row(names);
  table.row(units);
  for (std::size_t i = 0; i < result.copies.size(); ++i) {
    const ComparedCopy& copy = result.copies[i];
    const symmetry::DeviationStatistics& own = copy.comparison.copy.statistics;
    std::vector<std::string> cells = {
        std::to_string(i + 1),
        with_sign(copy.comparison.changes.volume_percent, 2),
        copy.fit.size ? with_sign(-shrinkage_percent(*copy.fit.size), 2) : "–",
        fixed(std::max(own.p95, copy.comparison.master.statistics.p95), 2),
        with_sign(own.max_proud, 2),
        with_sign(own.max_shy, 2),
        fixed(100 * copy.fit.other.compared, 0)};
    if (result.limit_mm) cells.emplace_back(copy.profile && copy.profile->passed ? "yes" : "no");
    if (water) {
      cells.push_back(copy.water ? with_sign(copy.water->effect.change.reserve_g, 2) : "–");
      cells.push_back(copy.water ? change_cell(copy.water->effect.change.tail_down_deg, 2) : "–");
    }
    table.row(std::move(cells));
  }
  std::string text = '\n' + table.text();
  for (std::size_t i = 0; i < result.copies.size(); ++i) {
    text += paragraph(std::to_string(i + 1) + ": " + shown(result.copies[i].input.file), 4, 2);
  }
  return text;
}

std::string mould_text(const CompareResult& result, const TextStyle& style) {
  if (!result.together) return "";
  const symmetry::CopiesResult& all = *result.together;
  Facts facts;
  facts.add("in common", fixed(all.mould_rms_mm, 3) + " mm rms, the mould's (" +
                             fixed(all.mean_rms_mm, 3) + " with noise and chance)");
  facts.add("apart", fixed(all.scatter_rms_mm, 3) + " mm rms from copy to copy (" +
                         fixed(all.spread_rms_mm, 3) + " with noise)");
  if (all.F) {
    facts.add("chance", "F " + fixed(*all.F, 2) + " with " + fixed(all.freedom_above, 1) + " and " +
                            fixed(all.freedom_below, 1) + " degrees of freedom: by scatter alone " +
                            (all.chance < 1e-4 ? "less than once in 10 000"
                                               : percent(all.chance, 2) + " of the time"));
  }
  std::string text = '\n' + facts.text();
  std::vector<const symmetry::MouldPatch*> patches;
  for (const auto* list : {&all.proud, &all.shy}) {
    for (const symmetry::MouldPatch& one : *list) patches.push_back(&one);
  }
  if (patches.empty()) return text;
  std::ranges::stable_sort(patches, [](const auto* a, const auto* b) {
    return std::abs(a->patch.volume_mm3) > std::abs(b->patch.volume_mm3);
  });
  Table table;
  table.row({"mould", "from nose", "most", "mean", "spread", "area", "volume"});
  table.row({"", "mm", "mm", "mm", "mm", "mm²", "mm³"});
  const std::size_t shown_rows = std::min(patches.size(), rows_shown(style));
  for (std::size_t i = 0; i < shown_rows; ++i) {
    const symmetry::MouldPatch& one = *patches[i];
    table.row({std::to_string(i + 1),
               fixed(one.patch.from_station_mm, 0) + " to " + fixed(one.patch.to_station_mm, 0),
               with_sign(one.patch.greatest_mm, 2), with_sign(one.mean_mm, 2),
               fixed(one.spread_mm, 2), fixed(one.patch.area_mm2, 0),
               with_sign(one.patch.volume_mm3, 1)});
  }
  text += '\n' + table.text();
  for (std::size_t i = 0; i < shown_rows; ++i) {
    text += paragraph(std::to_string(i + 1) + ": " + patches[i]->patch.name, 4, 2);
  }
  return text;
}

std::string places_text(const CompareResult& result) {
  if (result.by_place.empty()) return "";
  Table table;
  table.row({"from nose", "back", "±", "right", "±", "belly", "±", "left", "±"});
  table.row({"mm", "mm", "mm", "mm", "mm", "mm", "mm", "mm", "mm"});
  for (const symmetry::SliceOfCopies& slice : result.by_place) {
    std::vector<std::string> cells = {fixed(slice.from_mm, 0) + " to " + fixed(slice.to_mm, 0)};
    for (const std::optional<symmetry::PlaceOfCopies>& face : slice.faces) {
      cells.push_back(face ? with_sign(face->mean_mm, 2) : "–");
      cells.push_back(face ? fixed(face->spread_mm, 2) : "–");
    }
    table.row(std::move(cells));
  }
  return '\n' + table.text() +
         paragraph(
             "The mean copy by slice and by the way the skin faces, + where it has more; ±: "
             "spread from copy to copy.");
}

std::string many_text(const CompareResult& result, const TextStyle& style) {
  Facts facts;
  add_input(facts, result.input, result.record);
  if (result.map_scale_mm) facts.add("map", colour_legend(*result.map_scale_mm));
  if (style.verbose) add_frame(facts, result.frame, result.guessed);
  std::string text = "The master:\n" + facts.text() + copies_table(result);
  text += mould_text(result, style) + places_text(result);
  for (const SkippedCopy& one : result.skipped) {
    text += paragraph("Skipped " + shown(one.file) + ": " + one.why, 2);
  }
  return text;
}

std::vector<std::string> all_warnings(const CompareResult& result) {
  std::vector<std::string> all = result.warnings;
  for (const ComparedCopy& copy : result.copies) {
    for (const std::string& one : copy.warnings) all.push_back(shown(copy.input.file) + ": " + one);
  }
  return all;
}

}  // namespace

bool limit_missed(const CompareResult& result) {
  return std::ranges::any_of(result.copies, [](const ComparedCopy& copy) {
    return copy.profile && !copy.profile->passed;
  });
}

symmetry::Comparison slimmed(symmetry::Comparison comparison) {
  for (symmetry::SkinComparison* skin : {&comparison.copy, &comparison.master}) {
    skin->field = {};
    skin->patches = {};
  }
  for (auto* list : {&comparison.differences.proud, &comparison.differences.shy}) {
    for (Difference& one : *list) one.patch.vertices = {};
  }
  return comparison;
}

bool is_part(const ComparedCopy& copy) {
  return copy.record.made_up_share > some_made_up && copy.fit.body.compared < nearly_whole;
}

std::vector<std::string> doubts_of(const ComparedCopy& copy, double length_mm) {
  std::vector<std::string> doubts;
  const symmetry::AlignmentFit& fit = copy.fit;
  if (fit.likely_unit_factor) {
    doubts.push_back("Its shape fits if a unit of its file is taken as " +
                     figures(*fit.likely_unit_factor, 5) +
                     " times as long: is its unit right? --other-units says for sure.");
  } else if (fit.size && fit.motion.scale == 1 && std::abs(fit.size->factor - 1) > other_size) {
    doubts.push_back("It would fit best " + figures(fit.size->factor, 4) +
                     " times as large: is its scale right? --fit-scale leaves the size out.");
  }
  if (fit.other.compared < little_compared || fit.rms_mm > poor_fit * length_mm) {
    doubts.push_back("It hardly fits on the master (" + percent(fit.other.compared, 0) +
                     " of its skin compared, " + fixed(fit.rms_mm, 2) +
                     " mm rms): is it a copy of that body?");
  } else if (fit.runner_up_rms_mm && *fit.runner_up_rms_mm < alike * fit.rms_mm) {
    doubts.push_back("It fits on the master in several ways (" + fixed(fit.rms_mm, 3) + " and " +
                     fixed(*fit.runner_up_rms_mm, 3) +
                     " mm rms): the shape does not tell which way round it lies.");
  }
  if (is_part(copy)) {
    doubts.push_back("It is a part: " + percent(fit.body.compared, 0) +
                     " of the master's skin has a counterpart. Its volume, area and balance are "
                     "those of the part, closed where it ends; what it does in the water is not "
                     "told.");
  }
  if (fit.mirrored) {
    doubts.push_back(
        "It fits only as a mirror image, and is compared turned back: was its file mirrored?");
  }
  return doubts;
}

std::string no_water_without_pose(const std::string& sheet) {
  return "What it does in the water is not told: as " + sheet +
         " has it, the master has no pose to compare.";
}

std::string answer(const CompareResult& result, const TextStyle& style) {
  if (result.copies.size() != 1 || !result.skipped.empty()) {
    return together_sentence(result, style);
  }
  const ComparedCopy& copy = result.copies.front();
  return size_sentence(copy) + shrinkage_words(copy) + skin_sentence(copy, style) +
         limit_sentence(copy, style) + (copy.water ? water_sentence(*copy.water, style) : "");
}

std::string to_text(const CompareResult& result, const TextStyle& style) {
  const bool one = result.copies.size() == 1 && result.skipped.empty();
  const std::string body = one ? one_text(result, style) : many_text(result, style);
  const std::vector<std::string> warnings = all_warnings(result);
  return paragraph(answer(result, style)) + '\n' + body + (warnings.empty() ? "" : "\n") +
         notes(warnings);
}

}  // namespace trueblank::report
