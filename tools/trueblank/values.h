// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "body/load_body.h"
#include "options.h"
#include "rig/waters.h"
#include "symmetry/deviation.h"

// Values of options. Each takes the option's name, for messages, and throws InputError where the
// text is not what it should be. Numbers have a decimal point, whatever the locale.
namespace trueblank::tools {

/// 1 .. 256
[[nodiscard]] int threads_value(const std::string& option, const std::string& text);

/// How many builds are drawn: 1 .. 1 000 000
[[nodiscard]] int builds_value(const std::string& option, const std::string& text);

/// How many facets a body is drawn with: 4 .. 100 000 000
[[nodiscard]] int facets_value(const std::string& option, const std::string& text);

/// 0 .. 2^53 − 1
[[nodiscard]] std::uint64_t seed_value(const std::string& option, const std::string& text);

/// mm, or with a unit: "165", "6.5 in", "16.5cm"; > 0
[[nodiscard]] double length_value(const std::string& option, const std::string& text);

/// mm ≥ 0
[[nodiscard]] double limit_value(const std::string& option, const std::string& text);

/// g, or with a unit: "31.4", "31.4 g", "1.1 oz"; > 0
[[nodiscard]] double mass_value(const std::string& option, const std::string& text);

/// g/cm³: "0.37", "0.37 g/cm3", "370 kg/m3"; > 0
[[nodiscard]] double density_value(const std::string& option, const std::string& text);

/// A plain number. what  "an angle"; write  how it is written
[[nodiscard]] double plain_value(const std::string& option, const std::string& text,
                                 const std::string& what, const std::string& write);

[[nodiscard]] body::Unit unit_value(const std::string& option, const std::string& text);
[[nodiscard]] geometry::Vec3 direction_value(const std::string& option, const std::string& text);

/// "X,Y,Z", mm
[[nodiscard]] geometry::Vec3 point_value(const std::string& option, const std::string& text);

/// "X,Y,Z" of a printer's bed: wide, deep, high; each a length above zero
[[nodiscard]] std::array<double, 3> bed_value(const std::string& option, const std::string& text);

/// "NX,NY,NZ,OFFSET" with n·p = offset; the normal need not be of unit length.
[[nodiscard]] geometry::Plane plane_value(const std::string& option, const std::string& text);

/// Three of "X,Y,Z", not on one line.
[[nodiscard]] std::array<geometry::Vec3, 3> split_line_value(const std::string& option,
                                                             const std::vector<std::string>& text);

/// Two of "X,Y,Z", apart from each other.
[[nodiscard]] std::pair<geometry::Vec3, geometry::Vec3> eyes_value(
    const std::string& option, const std::vector<std::string>& text);

/// "20": so many slices; "10mm": a step.
[[nodiscard]] symmetry::StationSpacing stations_value(const std::string& option,
                                                      const std::string& text);

/// A wood's name, or a density as density_value() takes it.
[[nodiscard]] OtherWood wood_value(const std::string& option, const std::string& text);

/// "fresh" or "sea" at a temperature, or a density in g/cm³.
[[nodiscard]] rig::Water water_value(const std::string& option, const std::string& text,
                                     double temperature_c);

/// -2 to 40 °C.
[[nodiscard]] double water_temperature_value(const std::string& option, const std::string& text);

/// The temperature of a tub of water, where nobody says another: that of a room, in °C.
inline constexpr double tub_temperature_c = 20;

/// "tail_down=14,list=-3,sank_with=5 g", each at most once, at least one; and in which water,
/// "water=fresh,temperature=20".
[[nodiscard]] tuning::Seen seen_value(const std::string& option, const std::string& text);

/// throws  InputError where --seen stands beside what goes with a plan
void check_seen(const BallastRequest& request);

/// throws  InputError where a body of that length would have too many of them
void check_stations(const symmetry::StationSpacing& spacing, double length_mm);

}  // namespace trueblank::tools
