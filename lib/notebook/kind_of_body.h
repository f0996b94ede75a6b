// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace trueblank::notebook {

/// A word for a body where its maker gives none: "slim", "medium" or "stout", by its slenderness,
/// length / √(width · height): from 8, from 5, below. The bounds are our own, so that builds can be
/// told apart at all; no published source.
///
/// *_mm  more than 0
[[nodiscard]] std::string kind_of_body(double length_mm, double width_mm, double height_mm);

}  // namespace trueblank::notebook
