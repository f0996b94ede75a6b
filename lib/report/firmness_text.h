// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/float_report.h"

// How firmly a lure holds each way to lie, in words and tables.
namespace trueblank::report {

/// Whether a pose's barrier is so low that a ripple may do: less than lifting the whole lure by
/// `ripple_mm`. Our own judgement.
[[nodiscard]] bool near_border(const FloatResult& result, std::size_t pose);
inline constexpr double ripple_mm = 0.2;

/// "rolls onto its right flank once 23 g·mm of work is done, as to lift 1 g by 23 mm; hardest push
/// 4.0 g·mm"; what it takes to turn a sole pose over. Nothing where neither has a meaning.
[[nodiscard]] std::string barrier_words(const FloatResult& result, std::size_t pose);

/// Sentences on the barriers of the first poses, a row a pose on righting; with --verbose the
/// righting curve of the first.
[[nodiscard]] std::string firmness_text(const FloatResult& result, const TextStyle& style);

}  // namespace trueblank::report
