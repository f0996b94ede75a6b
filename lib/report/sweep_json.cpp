// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/sweep_json.h"

#include <utility>

#include "report/float_json.h"

namespace trueblank::report {

namespace {

using water::SweepCell;

std::vector<JsonObject> axes(const SweepResult& sweep) {
  std::vector<JsonObject> out;
  for (std::size_t k = 0; k < sweep.keys.size(); ++k) {
    const water::SweepAxis& axis = sweep.map.axes[k];
    std::vector<double> values;
    for (int i = 0; i < axis.count; ++i) values.push_back(axis.value(i));
    std::vector<std::vector<double>> between;
    for (const auto& [from, to] : sweep.map.stands_between[k]) between.push_back({from, to});
    JsonObject& entry = out.emplace_back();
    entry.text("key", sweep.keys[k]);
    entry.text("unit", sweep_unit(axis.what));
    entry.number("sheet_value", axis.nominal);
    entry.numbers("values", values);
    entry.number_lists("stands_between", between);
  }
  return out;
}

template <class Value, class Of>
std::vector<std::optional<Value>> of_cells(const water::Sweep& map, const Of& of) {
  std::vector<std::optional<Value>> values;
  values.reserve(map.cells.size());
  for (const SweepCell& cell : map.cells) {
    values.push_back(cell.told ? std::optional<Value>(of(cell)) : std::nullopt);
  }
  return values;
}

std::vector<std::vector<std::vector<double>>> border(const water::Sweep& map) {
  std::vector<std::vector<std::vector<double>>> lines;
  for (const auto& line : map.border) {
    std::vector<std::vector<double>>& out = lines.emplace_back();
    for (const auto& point : line) {
      out.push_back(map.axes.size() > 1 ? std::vector<double>{point.x(), point.y()}
                                        : std::vector<double>{point.x()});
    }
  }
  return lines;
}

}  // namespace

std::optional<JsonObject> sweep_json(const std::optional<SweepResult>& sweep) {
  if (!sweep) return {};
  const water::Sweep& map = sweep->map;
  const auto figures = [&](std::string_view key, std::optional<double> SweepCell::*figure) {
    std::vector<std::optional<double>> values;
    for (const SweepCell& cell : map.cells) values.push_back(cell.*figure);
    return std::pair(std::string(key), values);
  };
  JsonObject out;
  out.list("axes", axes(*sweep));
  out.maybe_texts(
      "state", of_cells<std::string>(map, [](const SweepCell& c) { return state_name(c.state); }));
  out.maybe_numbers("reserve_g",
                    of_cells<double>(map, [](const SweepCell& c) { return c.reserve_g; }));
  for (const auto& [key, values] :
       {figures("tail_down_deg", &SweepCell::tail_down_deg),
        figures("list_deg", &SweepCell::list_deg),
        figures("least_stiffness_g_mm_per_deg", &SweepCell::least_stiffness_g_mm_per_deg)}) {
    out.maybe_numbers(key, values);
  }
  out.maybe_flags("stands", of_cells<bool>(map, [](const SweepCell& c) { return c.stands; }));
  out.polylines("border", border(map));
  return out;
}

}  // namespace trueblank::report
