// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sheet/contents.h"

namespace trueblank::sheet {

/// What a sheet wishes for, held against its body.
///
/// rig     the sheet's own, in which the hooks have their eyes
/// throws  InputError: a place that is nowhere in the body, a hole that is wider than the body
///         wherever it may go, a hook's eye that may go beyond the body
/// cost    some passes over the facets for each place; some hundred for one that is refused
[[nodiscard]] rig::Wishes resolve_wishes(const Sheet::Contents& sheet, const body::FramedBody& body,
                                         const rig::Rig& rig);

}  // namespace trueblank::sheet
