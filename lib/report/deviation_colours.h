// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace trueblank::report {

using Rgb = std::array<std::uint8_t, 3>;

/// Skin that was made up to fill a hole: a neutral grey that the scale does not hold.
inline constexpr Rgb made_up_grey = {150, 150, 150};
/// Skin that was measured, where there is nothing to tell but that.
inline constexpr Rgb plain_wood = {222, 205, 178};

/// The ends of a colour scale, ±: the first of 1, 2, 5 times a power of ten that is at least
/// twice p95, so that nearly all of the skin has its own shade; never below 0.01 mm.
[[nodiscard]] double colour_scale_mm(double p95_mm);

/// The colour of a deviation: nearly white at zero, orange-brown where proud, purple where shy,
/// even steps between, the end colour beyond the scale. Both signs hold for red-green blindness.
/// source  ColorBrewer PuOr, 11 classes, Cynthia A. Brewer, The Pennsylvania State University
[[nodiscard]] Rgb deviation_colour(double deviation_mm, double scale_mm);

/// A colour a vertex; made-up skin in grey. `measured` may be empty: all.
[[nodiscard]] std::vector<Rgb> deviation_colours(std::span<const double> deviation_mm,
                                                 std::span<const std::uint8_t> measured,
                                                 double scale_mm);

/// A colour a vertex for a body without deviations: plain, or grey where made up.
[[nodiscard]] std::vector<Rgb> mended_colours(std::span<const std::uint8_t> measured);

/// The legend, for a file's comment and for the text.
[[nodiscard]] std::string colour_legend(double scale_mm);

}  // namespace trueblank::report
