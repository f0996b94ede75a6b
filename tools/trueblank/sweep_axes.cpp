// SPDX-License-Identifier: GPL-3.0-or-later
#include "sweep_axes.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>

#include "messages.h"
#include "sheet/nearest_word.h"
#include "sheet/quantity.h"

namespace trueblank::tools {

namespace {

using rig::PartKind;
using sheet::Quantity;
using water::Swept;

constexpr long long most_builds = 1'000'000;

struct Named {
  std::string_view word;
  Swept what;
  Quantity quantity;
};

constexpr std::array<Named, 4> of_parts = {{{"mass", Swept::mass, Quantity::mass},
                                            {"x", Swept::x, Quantity::length},
                                            {"y", Swept::y, Quantity::length},
                                            {"z", Swept::z, Quantity::length}}};

bool is_place(Swept what) { return what == Swept::x || what == Swept::y || what == Swept::z; }

bool over_nil(Swept what) { return !is_place(what); }

double amount(const std::string& option, const std::string& text, std::string_view part,
              Quantity quantity) {
  using Fault = sheet::ReadQuantity::Fault;
  const sheet::ReadQuantity read = sheet::read_quantity(part, quantity);
  const bool good = read.fault == Fault::none || read.fault == Fault::no_unit;
  if (!good || !std::isfinite(read.value)) {
    throw bad_sweep(
        option, text,
        '"' + std::string(part) + "\" is not " + std::string(sheet::quantity_name(quantity)));
  }
  return read.value;
}

int step_count(const std::string& option, const std::string& text, std::string_view part) {
  int count = 0;
  const auto end = part.data() + part.size();
  const auto result = std::from_chars(part.data(), end, count);
  if (result.ec != std::errc() || result.ptr != end || count < 2 || count > most_builds) {
    throw bad_sweep(option, text,
                    '"' + std::string(part) + "\" is not a number of steps from 2 to 1000000");
  }
  return count;
}

// Which quantity of what; nothing where there is none of that name.
std::optional<Quantity> take_key(SweepWish& wish) {
  if (wish.key == "wood.density" || wish.key == "water.density") {
    wish.what = wish.key == "wood.density" ? Swept::wood_density : Swept::water_density;
    return Quantity::density;
  }
  const std::size_t dot = wish.key.rfind('.');
  if (dot == std::string::npos || dot == 0) return {};
  wish.part = wish.key.substr(0, dot);
  const std::string word = wish.key.substr(dot + 1);
  for (const Named& named : of_parts) {
    if (named.word != word) continue;
    wish.what = named.what;
    return named.quantity;
  }
  return {};
}

geometry::Vec3 place_of(std::size_t part, const rig::Rig& rig, const rig::Assembly& assembly) {
  const rig::LaidPart& laid = assembly.parts[part];
  for (const rig::Pocket& pocket : rig.pockets) {
    if (laid.kind == PartKind::pocket && pocket.name == laid.name) return pocket.at_mm;
  }
  return laid.centre_mm;
}

// What a sheet can't be asked for: the place of a coat, the mass of a hole.
bool has(PartKind kind, Swept what) {
  if (kind == PartKind::finish) return what == Swept::mass;
  return kind != PartKind::pocket || is_place(what);
}

}  // namespace

SweepWish sweep_value(const std::string& option, const std::string& text) {
  const std::size_t equals = text.rfind('=');
  if (equals == std::string::npos) throw bad_sweep(option, text, "it has no \"=\"");
  SweepWish wish{.key = text.substr(0, equals)};
  const std::optional<Quantity> quantity = take_key(wish);
  if (!quantity) {
    throw bad_sweep(option, text, '"' + wish.key + "\" is no quantity of a sheet");
  }
  const std::string_view range = std::string_view(text).substr(equals + 1);
  const std::size_t first = range.find(':');
  const std::size_t second = first == std::string_view::npos ? first : range.find(':', first + 1);
  if (second == std::string_view::npos)
    throw bad_sweep(option, text, "it is not A:B:N after \"=\"");
  wish.from = amount(option, text, range.substr(0, first), *quantity);
  wish.to = amount(option, text, range.substr(first + 1, second - first - 1), *quantity);
  wish.count = step_count(option, text, range.substr(second + 1));
  if (over_nil(wish.what) && (wish.from <= 0 || wish.to <= 0)) {
    throw bad_sweep(option, text, "a mass or a density is over nil");
  }
  if (wish.from == wish.to) throw bad_sweep(option, text, "it ends where it begins");
  return wish;
}

void check_sweeps(const std::vector<SweepWish>& wishes) {
  if (wishes.size() > 2) throw too_many_sweeps();
  long long builds = 1;
  for (const SweepWish& wish : wishes) builds *= wish.count;
  if (wishes.size() == 2 && wishes[0].key == wishes[1].key) throw swept_twice(wishes[0].key);
  if (builds > most_builds) throw sweep_too_fine(builds, most_builds);
}

water::SweepAxis sweep_axis(const SweepWish& wish, const rig::Rig& rig,
                            const rig::Assembly& assembly) {
  water::SweepAxis axis{.what = wish.what, .from = wish.from, .to = wish.to, .count = wish.count};
  if (wish.what == Swept::wood_density || wish.what == Swept::water_density) {
    axis.nominal =
        wish.what == Swept::wood_density ? rig.wood_density_g_cm3 : assembly.water_density_g_cm3;
    return axis;
  }
  const auto found = std::ranges::find(assembly.parts, wish.part, &rig::LaidPart::name);
  if (found == assembly.parts.end()) {
    std::vector<std::string_view> names = sheet::names_of(assembly.parts);
    throw no_such_part(wish.key, wish.part, std::string(sheet::nearest_word(wish.part, names)),
                       sheet::listed(names));
  }
  if (!has(found->kind, wish.what)) throw no_such_quantity(wish.key, wish.part);
  axis.part = static_cast<std::size_t>(found - assembly.parts.begin());
  axis.place_mm = place_of(axis.part, rig, assembly);
  axis.inside = found->kind == PartKind::ballast || found->kind == PartKind::pocket;
  const int coordinate = wish.what == Swept::x ? 0 : wish.what == Swept::y ? 1 : 2;
  axis.nominal = is_place(wish.what) ? axis.place_mm(coordinate) : found->mass_g;
  return axis;
}

std::vector<std::string> sweep_warnings(const report::SweepResult& sweep_result,
                                        const rig::Assembly& assembly) {
  const water::Sweep& map = sweep_result.map;
  const auto all = static_cast<long long>(map.cells.size());
  const long long untold = map.untold();
  if (untold == all) throw swept_outside(sweep_result.keys.front());
  std::vector<std::string> warnings;
  if (untold > 0) {
    warnings.push_back("Of " + std::to_string(all) + " builds of the map " +
                       std::to_string(untold) +
                       " would have a part outside the body; nothing is told of these.");
  }
  for (const water::SweepAxis& axis : map.axes) {
    if (!is_place(axis.what) || assembly.parts[axis.part].kind != PartKind::wire) continue;
    warnings.push_back("In the map the " + assembly.parts[axis.part].name +
                       " is moved as one: where it leaves the skin is not found anew.");
    break;
  }
  return warnings;
}

}  // namespace trueblank::tools
