// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

#include "geometry/error.h"
#include "sheet/spot.h"

namespace trueblank::sheet {

/// What the maker did, from where the parser stumbled: its own words speak of the grammar, ours of
/// the line.
///
/// text    the whole sheet
/// spot    where the parser gave up
/// detail  its own words, shown only where none of the usual slips is recognised
[[nodiscard]] geometry::InputError syntax_error(std::string_view text, const std::string& file,
                                                const Spot& spot, std::string_view detail);

}  // namespace trueblank::sheet
