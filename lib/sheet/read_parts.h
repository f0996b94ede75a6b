// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "sheet/contents.h"
#include "sheet/table_reader.h"

// The tables of a sheet that may stand several times: what may stand in each, and its reader. All
// throw InputError.
namespace trueblank::sheet {

inline constexpr std::array<std::string_view, 6> wire_keys{"name",     "metal", "density",
                                                           "diameter", "path",  "weighed"};
inline constexpr std::array<std::string_view, 7> ballast_keys{
    "name", "at", "mass", "metal", "density", "diameter", "axis"};
inline constexpr std::array<std::string_view, 6> pocket_keys{"name",  "at",   "diameter",
                                                             "depth", "axis", "filled"};
inline constexpr std::array<std::string_view, 9> hook_keys{
    "name", "eye", "mass", "metal", "density", "hang", "size_up", "sizes", "eye_x"};
inline constexpr std::array<std::string_view, 5> outside_keys{"name", "at", "mass", "metal",
                                                              "density"};

/// Its diameter stays 0 where it is to follow from the weight.
[[nodiscard]] WrittenWire read_wire(const TableReader& table);
[[nodiscard]] WrittenBallast read_ballast(const TableReader& table);
/// The density of water stays 0: it is not known here.
[[nodiscard]] WrittenPocket read_pocket(const TableReader& table);
[[nodiscard]] WrittenHook read_hook(const TableReader& table);
[[nodiscard]] WrittenOutside read_outside(const TableReader& table);

/// By its metal or as given.
[[nodiscard]] double density_of_part(const TableReader& table);
[[nodiscard]] std::optional<rig::HoleAxis> read_axis(const TableReader& table);

}  // namespace trueblank::sheet
