// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <string_view>

#include "sheet/contents.h"
#include "sheet/table_reader.h"

// The tables of a sheet that stand once: what may stand in each, and its reader. All throw
// InputError.
namespace trueblank::sheet {

inline constexpr std::array<std::string_view, 21> body_keys{
    "mesh",       "side",      "top",     "fullness",        "fullness_above", "fullness_below",
    "length",     "width",     "height",  "units",           "nose",           "back",
    "nose_point", "displaced", "push",    "displaced_water", "scanned",        "cavity",
    "mend",       "table",     "baseline"};
inline constexpr std::array<std::string_view, 5> wood_keys{"species", "density", "weighed",
                                                           "halves", "balance"};
inline constexpr std::array<std::string_view, 3> finish_keys{"thickness", "density", "weighed"};
inline constexpr std::array<std::string_view, 4> water_keys{"kind", "salinity", "density",
                                                            "temperature"};
inline constexpr std::array<std::string_view, 4> tolerance_keys{"mass", "place", "wood_density",
                                                                "scale"};
inline constexpr std::array<std::string_view, 1> line_keys{"eye"};

/// Sets the mesh's path.
void read_mesh_path(const TableReader& table, Sheet::Contents& sheet);
/// Sets hints and baseline.
void read_body(const TableReader& table, Sheet::Contents& sheet);
/// Sets the hints that want wood and finish, once those are read: the dunk test, and the coat that
/// comes off a scan of the finished lure.
void read_dunk_and_coat(const TableReader& body, Sheet::Contents& sheet);
[[nodiscard]] WrittenWood read_wood(const TableReader& table);
[[nodiscard]] WrittenFinish read_finish(const TableReader& table);
/// otherwise_c  the temperature where none is given
[[nodiscard]] rig::Water read_water(const TableReader& table, double otherwise_c);
[[nodiscard]] rig::Tolerances read_tolerances(const TableReader& table);
/// Once the wires and hooks are read and named.
[[nodiscard]] WrittenLineEye read_line_eye(const TableReader& table, const Sheet::Contents& sheet);

}  // namespace trueblank::sheet
