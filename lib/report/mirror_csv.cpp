// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <set>

#include "report/mirror_report.h"

namespace trueblank::report {

namespace {

using symmetry::HalfWidths;
using symmetry::Station;

// A micrometre, and as much of the rest.
constexpr int decimals = 3;

std::set<double> heights(const std::vector<Station>& stations) {
  std::set<double> all;
  for (const Station& station : stations) {
    for (const HalfWidths& one : station.half_widths) all.insert(one.z_mm);
  }
  return all;
}

std::string line(const std::vector<std::string>& cells) {
  std::string text;
  for (const std::string& cell : cells) text += (text.empty() ? "" : ",") + cell;
  return text + '\n';
}

std::vector<std::string> headings(const std::set<double>& at, bool in_water) {
  std::vector<std::string> cells = {
      "x_mm",           "left_half_width_mm",  "right_half_width_mm", "height_mm", "left_area_mm2",
      "right_area_mm2", "area_difference_mm2", "centre_offset_mm",    "belly_mm",  "back_mm"};
  if (in_water) cells.insert(cells.end(), {"turning_moment_g_mm", "list_deg"});
  for (const double z : at) {
    cells.push_back("left_at_z_" + fixed(z, 1) + "_mm");
    cells.push_back("right_at_z_" + fixed(z, 1) + "_mm");
  }
  return cells;
}

// A side without skin at a height has no width there.
std::string width_cell(double mm) { return mm > 0 ? fixed(mm, decimals) : ""; }

void add_half_widths(std::vector<std::string>& cells, const Station& station,
                     const std::set<double>& at) {
  for (const double z : at) {
    const auto found = std::ranges::find(station.half_widths, z, &HalfWidths::z_mm);
    const bool here = found != station.half_widths.end();
    cells.push_back(here ? width_cell(found->left_mm) : "");
    cells.push_back(here ? width_cell(found->right_mm) : "");
  }
}

}  // namespace

std::string stations_csv(const MirrorResult& result) {
  const effect::Effect* effect =
      result.water && result.water->effect ? &*result.water->effect : nullptr;
  const std::set<double> at = heights(result.stations);
  std::string text = line(headings(at, effect != nullptr));
  for (std::size_t i = 0; i < result.stations.size(); ++i) {
    const Station& station = result.stations[i];
    std::vector<std::string> cells;
    for (const double value : {station.section.x_mm, station.section.left_half_width_mm,
                               station.section.right_half_width_mm, station.section.height_mm(),
                               station.section.left_area_mm2, station.section.right_area_mm2,
                               station.area_difference_mm2, station.centre_offset_mm,
                               station.belly_below_mm, station.back_above_mm}) {
      cells.push_back(fixed(value, decimals));
    }
    if (effect != nullptr) {
      cells.push_back(fixed(effect->slices[i].turning_moment_g_mm, decimals));
      cells.push_back(fixed(effect->slices[i].list_deg, decimals));
    }
    add_half_widths(cells, station, at);
    text += line(cells);
  }
  return text;
}

}  // namespace trueblank::report
