// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

#include "sheet/contents.h"
#include "sheet/table_reader.h"

namespace trueblank::sheet {

/// A point in any of its forms: [x, y, z], [x, z], or a station and a height from the skin.
///
/// key     for messages: "at", "eye", "path"
/// throws  InputError
[[nodiscard]] Place place_of(const Node& node, std::string_view key, const std::string& file);

/// Whether two points are written alike.
[[nodiscard]] bool same_place(const Place& a, const Place& b);

}  // namespace trueblank::sheet
