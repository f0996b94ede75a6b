// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/sweep_report.h"

#include <algorithm>
#include <charconv>

#include "report/float_json.h"
#include "report/layout.h"

namespace trueblank::report {

namespace {

using water::SweepAxis;
using water::SweepCell;
using water::Swept;

// In the place of a column's name, the unit as the JSON's keys have it.
std::string suffix(Swept what) {
  if (what == Swept::mass) return "_g";
  return what == Swept::wood_density || what == Swept::water_density ? "_g_cm3" : "_mm";
}

// "70 mm (2.76 in)": as many figures as a maker can set.
std::string amount(const SweepAxis& axis, double value, const TextStyle& style) {
  if (axis.what == Swept::mass) return mass_text(value, style);
  if (axis.what == Swept::wood_density || axis.what == Swept::water_density) {
    return fixed(value, 4) + " g/cm³";
  }
  return length_text(value, 2, style);
}

std::string stretches(const SweepResult& sweep, std::size_t k, const TextStyle& style) {
  const SweepAxis& axis = sweep.map.axes[k];
  const std::string key = shown(sweep.keys[k]);
  std::string text;
  for (const auto& [from, to] : sweep.map.stands_between[k]) {
    text += text.empty() ? " it stands with " + key + " from " : ", and from ";
    text += amount(axis, from, style) + " to " + amount(axis, to, style);
  }
  return text.empty() ? " it stands at no " + key + " of these" : text;
}

std::string range(const SweepResult& sweep, std::size_t k, const TextStyle& style) {
  const SweepAxis& axis = sweep.map.axes[k];
  return shown(sweep.keys[k]) + " (" + amount(axis, axis.from, style) + " to " +
         amount(axis, axis.to, style) + " in " + std::to_string(axis.count) + " steps)";
}

std::string shortest(double value) {
  char digits[32];
  const auto end = std::to_chars(digits, digits + sizeof digits, value + 0.0);
  return {digits, end.ptr};
}

std::string figure(const std::optional<double>& maybe) { return maybe ? shortest(*maybe) : ""; }

// RFC 4180: in quotes where it has a comma, a quote or a line end, its quotes twice.
std::string field(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + '"';
}

}  // namespace

std::string sweep_unit(Swept what) {
  if (what == Swept::mass) return "g";
  return what == Swept::wood_density || what == Swept::water_density ? "g/cm3" : "mm";
}

std::string sweep_text(const std::optional<SweepResult>& sweep, const TextStyle& style) {
  if (!sweep) return "";
  const water::Sweep& map = sweep->map;
  const auto told = static_cast<long long>(map.cells.size()) - map.untold();
  const auto standing = std::ranges::count_if(map.cells, &SweepCell::stands);
  std::string text = "Map over " + range(*sweep, 0, style);
  if (map.axes.size() > 1) text += " and " + range(*sweep, 1, style);
  text += ", each build set on the water back up, held till it has trimmed, and let go: of " +
          grouped(told) + " builds " + grouped(standing) + " stand.";
  if (map.axes.size() == 1) {
    text += " With all else as in the sheet" + stretches(*sweep, 0, style) + "; the sheet has " +
            amount(map.axes[0], map.axes[0].nominal, style) + '.';
    return paragraph(text);
  }
  for (const std::size_t k : {std::size_t{0}, std::size_t{1}}) {
    const std::size_t other = 1 - k;
    text += " With " + shown(sweep->keys[other]) + " as in the sheet (" +
            amount(map.axes[other], map.axes[other].nominal, style) + ")" +
            stretches(*sweep, k, style) + '.';
  }
  return paragraph(text);
}

std::string sweep_csv(const SweepResult& sweep) {
  const water::Sweep& map = sweep.map;
  std::string text;
  for (std::size_t k = 0; k < map.axes.size(); ++k) {
    text += field(sweep.keys[k] + suffix(map.axes[k].what)) + ',';
  }
  text += "state,reserve_g,tail_down_deg,list_deg,least_stiffness_g_mm_per_deg,stands\r\n";
  const int columns = map.axes.size() > 1 ? map.axes[1].count : 1;
  for (std::size_t c = 0; c < map.cells.size(); ++c) {
    const SweepCell& cell = map.cells[c];
    const int row = static_cast<int>(c) / columns;
    const int column = static_cast<int>(c) % columns;
    text += shortest(map.axes[0].value(row)) + ',';
    if (map.axes.size() > 1) text += shortest(map.axes[1].value(column)) + ',';
    if (!cell.told) {
      text += ",,,,,\r\n";
      continue;
    }
    text += state_name(cell.state) + ',' + shortest(cell.reserve_g) + ',' +
            figure(cell.tail_down_deg) + ',' + figure(cell.list_deg) + ',' +
            figure(cell.least_stiffness_g_mm_per_deg) + ',' + (cell.stands ? "true" : "false") +
            "\r\n";
  }
  return text;
}

}  // namespace trueblank::report
