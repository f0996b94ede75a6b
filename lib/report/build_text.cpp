// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/build_text.h"

#include <array>

#include "report/layout.h"

namespace trueblank::report {

namespace {

constexpr std::array<const char*, rig::part_kinds> kind_words = {
    "wood", "finish", "wire", "weights", "in pockets", "hooks", "outside parts"};

}  // namespace

std::string mass_table(const FloatResult& result, const TextStyle& style) {
  Table table;
  std::vector<std::string> names{"what weighs", "mass g", "x mm", "y mm", "z mm"};
  if (style.imperial) names.insert(names.begin() + 2, "oz");
  table.row(names);
  const auto add = [&](const std::string& name, double mass_g, const geometry::Vec3& at) {
    std::vector<std::string> cells{shown(name), fixed(mass_g, 2), fixed(at.x(), 1),
                                   fixed(at.y(), 1), fixed(at.z(), 1)};
    if (style.imperial) cells.insert(cells.begin() + 2, fixed(ounces(mass_g), 3));
    table.row(cells);
  };
  for (const rig::MassPart& part : result.lure.parts) add(part.name, part.mass_g, part.centre_mm);
  add("all", result.lure.mass_g, result.lure.centre_of_mass_mm);
  return table.text();
}

std::string budget_words(const rig::MassBudget& budget, const TextStyle& style) {
  std::string text;
  for (std::size_t kind = 0; kind < rig::part_kinds; ++kind) {
    if (budget.g[kind] == 0) continue;
    if (!text.empty()) text += ", ";
    text += mass_text(budget.g[kind], style) + ' ' + kind_words[kind];
  }
  const double wire_g = budget.of(rig::PartKind::wire);
  const double weights_g = budget.of(rig::PartKind::ballast);
  if (wire_g > 0 && weights_g > 0) {
    text += "; the wire weighs " + figures(wire_g / weights_g, 2) + " of what the weights do";
  }
  return text;
}

std::string bench_words(const rig::RiggedLure& lure, const TextStyle& style) {
  return "on an edge it balances " + length_text(lure.dry_balance_mm, 1, style) +
         " from the nose (dry, rigged, " + mass_text(lure.dry_mass_g, style) +
         "); the bare blank " + length_text(lure.blank_balance_mm, 1, style);
}

std::string casting_words(const water::Casting& casting, const TextStyle& style) {
  const std::string leads = casting.leads == water::Leads::nose   ? "the nose leads"
                            : casting.leads == water::Leads::tail ? "the tail leads"
                                                                  : "neither end leads";
  return "centre of mass at " + fixed(casting.mass_centre_percent, 1) +
         " % of the length, of the side view at " + fixed(casting.side_centre_percent, 1) + " %, " +
         length_text(casting.centres_apart_mm, 1, style) + " apart: " + leads +
         "; radius of gyration " + length_text(casting.radius_of_gyration_mm, 1, style) +
         " (comparative figures; the flight is not computed)";
}

}  // namespace trueblank::report
