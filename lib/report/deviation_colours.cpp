// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/deviation_colours.h"

#include <algorithm>
#include <cmath>

#include "report/numbers.h"

namespace trueblank::report {

namespace {

constexpr double least_scale_mm = 0.01;

// ColorBrewer PuOr, 11 classes, from purple (shy) over nearly white to orange-brown (proud).
// "Colour specifications and designs developed by Cynthia Brewer (colorbrewer.org)", Apache-2.0.
constexpr std::array<Rgb, 11> pu_or = {{{0x2D, 0x00, 0x4B},
                                        {0x54, 0x27, 0x88},
                                        {0x80, 0x73, 0xAC},
                                        {0xB2, 0xAB, 0xD2},
                                        {0xD8, 0xDA, 0xEB},
                                        {0xF7, 0xF7, 0xF7},
                                        {0xFE, 0xE0, 0xB6},
                                        {0xFD, 0xB8, 0x63},
                                        {0xE0, 0x82, 0x14},
                                        {0xB3, 0x58, 0x06},
                                        {0x7F, 0x3B, 0x08}}};

}  // namespace

double colour_scale_mm(double p95_mm) {
  const double wanted = std::max(2 * p95_mm, least_scale_mm);
  double decade = least_scale_mm;
  while (10 * decade < wanted) decade *= 10;
  for (const double step : {1.0, 2.0, 5.0}) {
    // A share of 1e-9 is rounding in `decade`.
    if (step * decade * (1 + 1e-9) >= wanted) return step * decade;
  }
  return 10 * decade;
}

Rgb deviation_colour(double deviation_mm, double scale_mm) {
  const double share = std::clamp(deviation_mm / scale_mm, -1.0, 1.0);
  const double place = (share + 1) / 2 * static_cast<double>(pu_or.size() - 1);
  const auto lower = std::min(static_cast<std::size_t>(place), pu_or.size() - 2);
  const double part = place - static_cast<double>(lower);
  Rgb colour{};
  for (std::size_t i = 0; i < 3; ++i) {
    const double value = (1 - part) * pu_or[lower][i] + part * pu_or[lower + 1][i];
    colour[i] = static_cast<std::uint8_t>(std::lround(value));
  }
  return colour;
}

std::vector<Rgb> deviation_colours(std::span<const double> deviation_mm,
                                   std::span<const std::uint8_t> measured, double scale_mm) {
  std::vector<Rgb> colours(deviation_mm.size());
  for (std::size_t i = 0; i < deviation_mm.size(); ++i) {
    const bool made_up = !measured.empty() && measured[i] == 0;
    colours[i] = made_up ? made_up_grey : deviation_colour(deviation_mm[i], scale_mm);
  }
  return colours;
}

std::vector<Rgb> mended_colours(std::span<const std::uint8_t> measured) {
  std::vector<Rgb> colours;
  colours.reserve(measured.size());
  for (const std::uint8_t seen : measured) colours.push_back(seen != 0 ? plain_wood : made_up_grey);
  return colours;
}

std::string colour_legend(double scale_mm) {
  const std::string ends = figures(scale_mm, 1) + " mm";
  return "deviation: brown +" + ends + " proud, white 0 true, purple -" + ends +
         " shy, grey made up; colours: ColorBrewer PuOr, Cynthia A. Brewer";
}

}  // namespace trueblank::report
