// SPDX-License-Identifier: GPL-3.0-or-later
#include <string>
#include <vector>

#include "report/compare_report.h"

namespace trueblank::report {

namespace {

// A micrometre, and as much of the rest.
constexpr int decimals = 3;

std::string line(const std::vector<std::string>& cells) {
  std::string text;
  for (const std::string& cell : cells) text += (text.empty() ? "" : ",") + cell;
  return text + '\n';
}

std::string maybe(const std::optional<double>& value) {
  return value ? fixed(*value, decimals) : "";
}

// RFC 4180: a name that holds a comma, a quote or a line's end stands in quotes.
std::string quoted(const std::string& name) {
  if (name.find_first_of(",\"\n\r") == std::string::npos) return name;
  std::string text = "\"";
  for (const char c : name) text += c == '"' ? std::string("\"\"") : std::string(1, c);
  return text + '"';
}

std::vector<std::string> cells_of(const symmetry::Station& station) {
  const geometry::Section& section = station.section;
  std::vector<std::string> cells;
  for (const double value : {section.left_half_width_mm, section.right_half_width_mm,
                             section.height_mm(), section.left_area_mm2, section.right_area_mm2,
                             station.belly_below_mm, station.back_above_mm}) {
    cells.push_back(fixed(value, decimals));
  }
  return cells;
}

std::string stations_table(const ComparedCopy& copy) {
  std::vector<std::string> headings = {"x_mm"};
  for (const char* whose : {"body_", "other_"}) {
    for (const char* what : {"left_half_width_mm", "right_half_width_mm", "height_mm",
                             "left_area_mm2", "right_area_mm2", "belly_mm", "back_mm"}) {
      headings.push_back(std::string(whose) + what);
    }
  }
  std::string text = line(headings);
  for (const symmetry::StationPair& one : copy.comparison.stations) {
    std::vector<std::string> cells = {fixed(one.master.section.x_mm, decimals)};
    for (const symmetry::Station* station : {&one.master, &one.copy}) {
      const std::vector<std::string> more = cells_of(*station);
      cells.insert(cells.end(), more.begin(), more.end());
    }
    text += line(cells);
  }
  return text;
}

std::string copies_table(const CompareResult& result) {
  std::string text =
      line({"file", "volume_change_mm3", "volume_percent", "length_change_mm", "width_change_mm",
            "height_change_mm", "p95_mm", "max_proud_mm", "max_shy_mm", "compared_share", "passed",
            "reserve_change_g", "tail_down_change_deg", "list_change_deg"});
  for (const ComparedCopy& copy : result.copies) {
    const symmetry::BodyChanges& changes = copy.comparison.changes;
    const symmetry::DeviationStatistics& own = copy.comparison.copy.statistics;
    const effect::LiesAs* lies = copy.water ? &copy.water->effect.change : nullptr;
    text += line({quoted(copy.input.file), fixed(changes.volume_mm3, decimals),
                  fixed(changes.volume_percent, decimals), fixed(changes.size_mm.x(), decimals),
                  fixed(changes.size_mm.y(), decimals), fixed(changes.size_mm.z(), decimals),
                  fixed(own.p95, decimals), fixed(own.max_proud, decimals),
                  fixed(own.max_shy, decimals), fixed(copy.fit.other.compared, decimals),
                  !copy.profile          ? ""
                  : copy.profile->passed ? "yes"
                                         : "no",
                  lies != nullptr ? fixed(lies->reserve_g, decimals) : "",
                  lies != nullptr ? maybe(lies->tail_down_deg) : "",
                  lies != nullptr ? maybe(lies->list_deg) : ""});
  }
  return text;
}

}  // namespace

std::string comparison_csv(const CompareResult& result) {
  return result.copies.size() == 1 ? stations_table(result.copies.front()) : copies_table(result);
}

}  // namespace trueblank::report
