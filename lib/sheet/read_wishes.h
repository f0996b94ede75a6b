// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <string_view>

#include "sheet/contents.h"
#include "sheet/table_reader.h"

// How a lure is to lie and what may be changed for it: what may stand in these tables, and their
// readers. All throw InputError.
namespace trueblank::sheet {

inline constexpr std::array<std::string_view, 10> target_keys{
    "state",   "tail_down",         "tail_down_tolerance", "list_tolerance",
    "reserve", "reserve_tolerance", "least_stiffness_min", "sink_rate",
    "prefer",  "wall_min"};
inline constexpr std::array<std::string_view, 14> weight_place_keys{
    "name",  "x",       "y",        "z",    "above_belly", "below_back", "mass",
    "metal", "density", "diameter", "axis", "from",        "step",       "stock"};

/// More than these are no longer found within reason.
inline constexpr std::size_t most_places = 6;

[[nodiscard]] WrittenTarget read_target(const TableReader& table);
[[nodiscard]] WrittenWeightPlace read_weight_place(const TableReader& table);
/// Sets what may be changed of a hook, once its mass is read.
void read_hook_choice(const TableReader& table, WrittenHook& hook);

}  // namespace trueblank::sheet
