// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/tables.h"

#include <algorithm>

#include "rig/assembly.h"
#include "water/sensitivity.h"

namespace trueblank::tuning {
namespace {

Workpiece with_rig(const Workpiece& lure, const rig::Rig& rig) {
  return {.bare = lure.bare,
          .whole = lure.whole,
          .coated = lure.coated,
          .skin = lure.skin,
          .wet = lure.wet,
          .cut = lure.cut,
          .rig = rig,
          .length_mm = lure.length_mm};
}

// How far the plan lists for a millimetre of its heaviest weight.
std::optional<double> list_per_mm(const Workpiece& lure, const Plan& plan,
                                  const water::RestPose& pose) {
  if (plan.weights.empty()) return {};
  const auto heaviest = std::ranges::max_element(
      plan.weights, {}, [](const PlannedWeight& one) { return one.ballast.mass_g; });
  const rig::Assembly laid = rig::assemble(lure.bare, lure.whole, plan.rig, lure.coated);
  const water::Sensitivity slopes = water::sensitivity(lure.cut, laid, pose, {});
  for (const water::PartSlopes& part : slopes.parts) {
    if (part.name == heaviest->ballast.name && part.per_mm) return (*part.per_mm)[1].list_deg;
  }
  return {};
}

TableRow row_of(const Workpiece& lure, const Plan& plan) {
  const rig::RiggedLure rigged =
      rig::add_up(rig::assemble(lure.bare, lure.whole, plan.rig, lure.coated));
  TableRow row{.met = plan.met,
               .added_g = plan.added_g,
               .ratio_g_per_100g_wood = rigged.ratio_g_per_100g_wood,
               .reserve_g = plan.balance.reserve_g};
  if (plan.pose < 0) return row;
  const water::RestPose& pose = plan.balance.poses[static_cast<std::size_t>(plan.pose)];
  row.tail_down_deg = pose.tail_down_deg;
  row.least_stiffness_g_mm_per_deg = pose.least_stiffness_g_mm_per_deg;
  row.list_per_mm_deg = list_per_mm(lure, plan, pose);
  return row;
}

}  // namespace

rig::Rig with_wood(rig::Rig rig, double density_g_cm3) {
  rig.wood_density_g_cm3 = density_g_cm3;
  rig.wood_weighed = false;
  rig.halves.reset();
  rig.wood_balance_mm.reset();
  return rig;
}

std::vector<TableRow> over_woods(const Workpiece& lure, const rig::Wishes& wishes,
                                 const rig::Tolerances& tolerances,
                                 std::span<const rig::Wood> woods,
                                 const geometry::ParallelFor& loop) {
  std::vector<TableRow> rows;
  for (const rig::Wood& wood : woods) {
    const rig::Rig rig = with_wood(lure.rig, wood.density_g_cm3);
    const Workpiece there = with_rig(lure, rig);
    const FoundWeights found = find_weights(there, wishes, tolerances, loop, Effort::quick);
    rows.push_back(row_of(there, found.plan));
    rows.back().name = wood.name;
    rows.back().value = wood.density_g_cm3;
  }
  std::ranges::stable_sort(rows, {}, &TableRow::value);
  return rows;
}

std::vector<TableRow> over_hooks(const Workpiece& lure, const rig::Wishes& wishes,
                                 const rig::Tolerances& tolerances,
                                 const geometry::ParallelFor& loop) {
  std::vector<TableRow> rows;
  for (std::size_t i = 0; i < wishes.hooks.size(); ++i) {
    for (const double mass_g : wishes.hooks[i].masses_g) {
      rig::Wishes one = wishes;
      one.hooks[i].masses_g = {mass_g};
      const FoundWeights found = find_weights(lure, one, tolerances, loop, Effort::quick);
      rows.push_back(row_of(lure, found.plan));
      rows.back().name = lure.rig.hooks[wishes.hooks[i].hook].name;
      rows.back().value = mass_g;
    }
  }
  return rows;
}

}  // namespace trueblank::tuning
