// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "rig/materials.h"
#include "tuning/find_weights.h"

// The same wishes with another wood, or other hooks.
namespace trueblank::tuning {

/// One line of a table: what the wishes then need, and how firmly it stands.
struct TableRow {
  std::string name = {};  ///< of the wood, or the hook
  double value = 0;       ///< g/cm³, or g
  bool met = false;
  double added_g = 0;
  double ratio_g_per_100g_wood = 0;  ///< as float's: all that is not wood or finish
  double reserve_g = 0;
  std::optional<double> tail_down_deg = {};
  std::optional<double> least_stiffness_g_mm_per_deg = {};
  /// How far it lists when the heaviest weight found lies 1 mm aside.
  std::optional<double> list_per_mm_deg = {};
};

/// The lure's rig with another wood of even density: neither weighed, nor in halves, nor balanced.
[[nodiscard]] rig::Rig with_wood(rig::Rig rig, double density_g_cm3);

/// cost  a find_weights() a wood
[[nodiscard]] std::vector<TableRow> over_woods(const Workpiece& lure, const rig::Wishes& wishes,
                                               const rig::Tolerances& tolerances,
                                               std::span<const rig::Wood> woods,
                                               const geometry::ParallelFor& loop);

/// For each hook that the sheet gives sizes for, each of its sizes with all else as wished.
[[nodiscard]] std::vector<TableRow> over_hooks(const Workpiece& lure, const rig::Wishes& wishes,
                                               const rig::Tolerances& tolerances,
                                               const geometry::ParallelFor& loop);

}  // namespace trueblank::tuning
