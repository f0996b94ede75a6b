// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/float_report.h"

// How near a lure is to lying otherwise, in words and tables.
namespace trueblank::report {

/// What a gram, a millimetre, a percent of wood and a lost or bigger hook change; nothing where
/// there is no pose. With --verbose every figure of every part.
[[nodiscard]] std::string border_text(const FloatResult& result, const TextStyle& style);

/// "If the belly treble is lost it rolls, and lies on its right flank (list 83.1°), ..."
[[nodiscard]] std::string hook_sentence(const water::HookChange& change, double reserve_before_g,
                                        const TextStyle& style);

}  // namespace trueblank::report
