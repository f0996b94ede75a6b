// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/read_wishes.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "sheet/allowed.h"
#include "sheet/messages.h"
#include "sheet/one_of.h"
#include "sheet/read_parts.h"

namespace trueblank::sheet {

namespace {

using rig::HeightFrom;
using rig::HoleAxis;
using rig::Mouth;
using rig::Prefer;
using rig::Range;
using rig::WantedState;

constexpr std::array<std::pair<std::string_view, WantedState>, 3> states{
    {{"floats", WantedState::floats},
     {"suspends", WantedState::suspends},
     {"sinks", WantedState::sinks}}};
constexpr std::array<std::pair<std::string_view, Prefer>, 4> preferences{{{"light", Prefer::light},
                                                                          {"firm", Prefer::firm},
                                                                          {"cast", Prefer::cast},
                                                                          {"sure", Prefer::sure}}};
constexpr std::array<std::pair<std::string_view, Mouth>, 6> mouths{{{"belly", Mouth::belly},
                                                                    {"back", Mouth::back},
                                                                    {"left", Mouth::left},
                                                                    {"right", Mouth::right},
                                                                    {"nose", Mouth::nose},
                                                                    {"tail", Mouth::tail}}};

// Whole numbers of steps are counted so, since 0.3 is three times 0.1 only up to rounding.
constexpr double step_rounding = 1e-9;

// [low, high], or one number for both.
std::optional<Range> range_of(const TableReader& table, std::string_view key,
                              const Allowed& allowed) {
  const Node* node = table.find(key);
  if (node == nullptr) return {};
  if (node->kind != Node::Kind::list) {
    const double value = quantity_of(*node, key, allowed, table.file());
    return Range{.low = value, .high = value};
  }
  if (node->items.size() != 2) throw bad_range(table.where_value(key), key);
  const Range range{.low = quantity_of(node->items[0], key, allowed, table.file()),
                    .high = quantity_of(node->items[1], key, allowed, table.file())};
  if (range.low > range.high) {
    throw range_empty(table.where_value(key), key, range.low, range.high);
  }
  return range;
}

// One number or a list of them, each once, rising; nothing where the key is missing.
std::vector<double> choices_of(const TableReader& table, std::string_view key,
                               const Allowed& allowed) {
  std::vector<double> choices;
  const Node* node = table.find(key);
  if (node == nullptr) return choices;
  if (node->kind == Node::Kind::list) {
    if (node->items.empty()) throw choices_empty(table.where_value(key), key);
    for (const Node& item : node->items) {
      choices.push_back(quantity_of(item, key, allowed, table.file()));
    }
  } else {
    choices.push_back(quantity_of(*node, key, allowed, table.file()));
  }
  std::ranges::sort(choices);
  choices.erase(std::unique(choices.begin(), choices.end()), choices.end());
  return choices;
}

// A tolerance of what is not asked for says nothing.
void needs(const TableReader& table, std::string_view tolerance, std::string_view key) {
  if (table.has(tolerance) && !table.has(key))
    throw alone(table.where_key(tolerance), tolerance, key);
}

void check_reserve(const TableReader& table, const rig::Target& target) {
  if (!target.reserve_g) return;
  const bool suspends = target.state == WantedState::suspends;
  if (suspends && *target.reserve_g != 0) throw reserve_of_suspender(table.where_key("reserve"));
  if (!suspends && *target.reserve_g == 0) throw reserve_of_nothing(table.where_value("reserve"));
}

void read_sink_rate(const TableReader& table, rig::Target& target) {
  target.sink_rate_m_s = range_of(table, "sink_rate", speed_or_none());
  if (!target.sink_rate_m_s) return;
  if (target.sink_rate_m_s->fixed()) throw band_without_width(table.where_value("sink_rate"));
  if (target.state.value_or(WantedState::sinks) != WantedState::sinks) {
    throw sink_rate_of_no_sinker(table.where_key("sink_rate"));
  }
  target.state = WantedState::sinks;
}

void read_height(const TableReader& table, rig::WeightPlace& place) {
  for (const auto& [one, other] : {std::pair("z", "above_belly"), std::pair("z", "below_back"),
                                   std::pair("above_belly", "below_back")}) {
    table.not_both(one, other, "keep one of them: each is the height");
  }
  const std::string_view inside = "it is measured into the body";
  const std::array ways{std::tuple("z", HeightFrom::axis, any_length()),
                        std::tuple("above_belly", HeightFrom::above_belly, length_or_none(inside)),
                        std::tuple("below_back", HeightFrom::below_back, length_or_none(inside))};
  for (const auto& [key, from, allowed] : ways) {
    if (!table.has(key)) continue;
    place.height_from = from;
    place.height_mm = range_of(table, key, allowed);
  }
}

void read_mass(const TableReader& table, rig::WeightPlace& place) {
  table.not_both("step", "stock", "keep step for what is poured or cut, stock for what is bought");
  const std::optional<Range> mass = range_of(table, "mass", mass_or_none());
  place.step_g = table.number("step", positive_mass());
  place.stock_g = choices_of(table, "stock", positive_mass());
  if (!mass && place.stock_g.empty()) {
    throw key_missing(table.where_table(), table.heading(), "mass",
                      "write mass = [0, 20], or the masses that there are, as stock = [5, 7, 10]");
  }
  if (mass && mass->high == 0) throw mass_of_nothing(table.where_value("mass"));
  place.mass_g = mass ? *mass : Range{.low = place.stock_g.front(), .high = place.stock_g.back()};
  if (mass && !place.stock_g.empty()) {
    std::erase_if(place.stock_g, [&](double g) { return g < mass->low || g > mass->high; });
    if (place.stock_g.empty())
      throw stock_beyond_mass(table.where_value("stock"), mass->low, mass->high);
  }
  if (place.step_g) {
    const double greatest_g =
        std::floor(mass->high / *place.step_g + step_rounding) * *place.step_g;
    if (greatest_g == 0 || greatest_g < mass->low * (1 - step_rounding)) {
      throw no_whole_step(table.where_value("step"), *place.step_g, mass->low, mass->high);
    }
  }
}

HoleAxis axis_of(Mouth mouth) {
  switch (mouth) {
    case Mouth::nose:
    case Mouth::tail:
      return HoleAxis::along;
    case Mouth::left:
    case Mouth::right:
      return HoleAxis::across;
    case Mouth::belly:
    case Mouth::back:
      break;
  }
  return HoleAxis::upright;
}

void read_hole(const TableReader& table, rig::WeightPlace& place) {
  place.diameters_mm = choices_of(table, "diameter", positive_length());
  const std::optional<HoleAxis> axis = read_axis(table);
  place.mouth = one_of(table, "from", mouths);
  if (axis && place.mouth && axis_of(*place.mouth) != *axis) {
    throw mouth_off_axis(table.where_value("from"), *table.text("from"), *table.text("axis"));
  }
  if (axis) {
    place.axis = *axis;
  } else if (place.mouth) {
    place.axis = axis_of(*place.mouth);
  }
}

}  // namespace

WrittenTarget read_target(const TableReader& table) {
  WrittenTarget written{.part = {}, .spot = table.spot()};
  rig::Target& target = written.part;
  target.state = one_of(table, "state", states);
  target.tail_down_deg = table.number("tail_down", any_tilt());
  target.reserve_g = table.number("reserve", mass_or_none());
  check_reserve(table, target);
  target.least_stiffness_min_g_mm_per_deg =
      table.number("least_stiffness_min", positive_stiffness());
  read_sink_rate(table, target);
  const auto tolerance = [&](std::string_view key, const Allowed& allowed, double& value) {
    value = table.number(key, allowed).value_or(value);
  };
  tolerance("tail_down_tolerance", positive_angle(), target.tail_down_tolerance_deg);
  tolerance("list_tolerance", positive_angle(), target.list_tolerance_deg);
  tolerance("reserve_tolerance", positive_mass(), target.reserve_tolerance_g);
  needs(table, "tail_down_tolerance", "tail_down");
  needs(table, "reserve_tolerance", "reserve");
  target.wall_min_mm = table.number("wall_min", length_or_none()).value_or(target.wall_min_mm);
  target.prefer = one_of(table, "prefer", preferences).value_or(target.prefer);
  if (!target.state && !target.tail_down_deg && !target.reserve_g &&
      !target.least_stiffness_min_g_mm_per_deg && !target.sink_rate_m_s) {
    throw target_of_nothing(table.where_table());
  }
  return written;
}

WrittenWeightPlace read_weight_place(const TableReader& table) {
  WrittenWeightPlace written{.part = {},
                             .spot = table.spot(),
                             .name_spot = table.spot_of_key("name"),
                             .diameter_spot = table.spot_of_key("diameter")};
  rig::WeightPlace& place = written.part;
  place.name = table.text("name").value_or("");
  const std::optional<Range> x = range_of(table, "x", any_length());
  if (!x) {
    throw key_missing(table.where_table(), table.heading(), "x",
                      "write x = [50, 90], where along the body the weight may go");
  }
  place.x_mm = *x;
  place.y_mm = range_of(table, "y", any_length()).value_or(Range{});
  read_height(table, place);
  read_mass(table, place);
  place.density_g_cm3 = density_of_part(table);
  read_hole(table, place);
  return written;
}

void read_hook_choice(const TableReader& table, WrittenHook& hook) {
  hook.sizes_g = choices_of(table, "sizes", positive_mass());
  if (!hook.sizes_g.empty()) {
    const auto at = std::ranges::lower_bound(hook.sizes_g, hook.part.mass_g);
    if (at == hook.sizes_g.end() || *at != hook.part.mass_g) {
      hook.sizes_g.insert(at, hook.part.mass_g);
    }
  }
  hook.eye_x_mm = range_of(table, "eye_x", any_length());
  hook.eye_x_spot = table.spot_of_key("eye_x");
}

}  // namespace trueblank::sheet
