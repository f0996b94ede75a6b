// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sheet/table_reader.h"

// What the numbers of a sheet may be. Where there is no bound in the nature of a thing, there is
// one far beyond any lure, so that nothing overflows.
namespace trueblank::sheet {

/// A length that may point either way, one that is more than nothing, one that may be nothing.
[[nodiscard]] Allowed any_length();
[[nodiscard]] Allowed positive_length();
[[nodiscard]] Allowed length_or_none(std::string_view mend = {});

/// A mass or a force told as one, which may point either way.
[[nodiscard]] Allowed any_mass();
[[nodiscard]] Allowed positive_mass();
[[nodiscard]] Allowed mass_or_none();
[[nodiscard]] Allowed positive_density();

/// One standard deviation in percent, 0 to 20: of five of them nothing is left.
[[nodiscard]] Allowed scatter_percent();

/// An angle that lies between -90 and 90 degrees; how far one may be off, more than nothing.
[[nodiscard]] Allowed any_tilt();
[[nodiscard]] Allowed positive_angle();
[[nodiscard]] Allowed speed_or_none();
[[nodiscard]] Allowed positive_stiffness();

}  // namespace trueblank::sheet
