// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/record_text.h"

#include <cmath>

#include "report/input_text.h"

namespace trueblank::report {

namespace {

// A doubt of less than this part of the volume is not worth a line.
constexpr double worth_a_line = 1e-4;
// Shown to a tenth of a gram.
constexpr double shown_g = 0.05;

std::string volume_text(double mm3) { return grouped(mm3, mm3 < 100 ? 1 : 0) + " mm³"; }

std::string lift_text(double mm3, double water_g_cm3, const TextStyle& style) {
  return mass_text(mm3 / 1000 * water_g_cm3, style) + " of lift";
}

std::string hole_text(const intake::FilledHole& hole) {
  return std::string(hole.table ? "where it stood, at " : "hole at ") +
         point_text(hole.centre_mm, 1) + ": " + grouped(hole.area_mm2, 0) + " mm², ± " +
         volume_text(hole.bound_mm3) + (hole.wide ? ", wide: an end or a side is missing" : "");
}

void add_made_up(Facts& facts, const body::BodyRecord& record, double water_g_cm3,
                 const TextStyle& style) {
  if (record.made_up_share == 0) return;
  facts.add("made up", percent(record.made_up_share, 1) +
                           " of the skin; the true volume is within "
                           "± " +
                           volume_text(record.made_up_bound_mm3) + " there, " +
                           lift_text(record.made_up_bound_mm3, water_g_cm3, style));
  if (!style.verbose) return;
  for (const intake::FilledHole& hole : record.holes) facts.add("", hole_text(hole));
}

std::string skin_text(const body::BodyRecord& record) {
  std::string text;
  if (record.coat_off_mm > 0) text = "a coat of " + fixed(record.coat_off_mm, 2) + " mm taken off";
  if (record.skin_offset_mm == 0) return text;
  if (!text.empty()) text += "; then ";
  return text + "moved " + (record.skin_offset_mm < 0 ? "in" : "out") + " by " +
         fixed(std::abs(record.skin_offset_mm), 3) + " mm all over, to what the dunk test has";
}

// Where the noise was told from, and how far it was taken to hold together.
std::string noise_text(const body::BodyRecord& record) {
  return " of " + fixed(record.noise_sigma_mm, 2) + " mm over " +
         fixed(record.noise_correlation_mm, 1) + " mm, as left and right differ,";
}

std::string doubts_text(const body::BodyRecord& record) {
  std::string measured;
  std::string bounds;
  for (const body::VolumeDoubt& doubt : record.doubts) {
    std::string& text = doubt.bound ? bounds : measured;
    if (!text.empty()) text += ", ";
    const bool noise = doubt.what == "noise of the scan";
    text += doubt.what + (noise ? noise_text(record) : "") + ' ' + grouped(doubt.mm3, 0);
  }
  if (!measured.empty()) measured += " (one standard deviation, counted twice)";
  if (!bounds.empty()) bounds += " (the most it can be)";
  return measured + (measured.empty() || bounds.empty() ? "" : "; ") + bounds;
}

void add_doubts(Facts& facts, const body::BodyRecord& record, double water_g_cm3,
                const TextStyle& style) {
  const double bound_mm3 = body::volume_bound_mm3(record);
  if (bound_mm3 < worth_a_line * record.displaced_mm3 || bound_mm3 == 0) return;
  facts.add("known to", "± " + volume_text(bound_mm3) + ", " +
                            lift_text(bound_mm3, water_g_cm3, style) + ": " + doubts_text(record) +
                            (record.scale_sd_percent ? "" : "; nobody measured the scale"));
}

}  // namespace

std::string mended_text(const std::vector<intake::Mended>& mended) {
  if (mended.empty()) return "nothing";
  std::string text;
  for (const intake::Mended& one : mended) {
    if (!text.empty()) text += "; ";
    text += one.what + ": " + grouped(static_cast<long long>(one.count));
    if (one.bound_mm3 > 0) text += ", ± " + volume_text(one.bound_mm3);
  }
  return text;
}

void add_record(Facts& facts, const body::BodyRecord& record, double water_g_cm3,
                const TextStyle& style) {
  add_made_up(facts, record, water_g_cm3, style);
  for (const body::Reshaping& one : record.reshaped) {
    facts.add(one.what, grouped(static_cast<long long>(one.facets)) +
                            " facets, volume changed by " + (one.volume_change_mm3 < 0 ? "" : "+") +
                            grouped(one.volume_change_mm3, 1) + " mm³, nowhere more than " +
                            figures(one.greatest_distance_mm, 2) + " mm from what was read");
  }
  const std::string skin = skin_text(record);
  if (!skin.empty()) facts.add("skin", skin);
  if (skin.empty() && style.verbose && record.displaced_mm3 > 0) {
    facts.add("skin", std::string(record.drawn ? "as it was drawn" : "as it was scanned") +
                          "; 0.1 mm all over is worth " + volume_text(record.area_mm2 / 10) + ", " +
                          lift_text(record.area_mm2 / 10, water_g_cm3, style));
  }
  if (record.cavity) {
    facts.add("cavity", *record.cavity == body::Cavity::air
                            ? "holds air: all within the outer skin displaces"
                            : "flooded: only the stuff of the body displaces");
  }
  add_doubts(facts, record, water_g_cm3, style);
}

std::string mass_within(double g, double bound_g, const TextStyle& style) {
  const std::string text = mass_text(g, style);
  if (bound_g < shown_g) return text;
  const std::size_t unit = text.find(" g");
  return text.substr(0, unit) + " ± " + fixed(bound_g, 1) + text.substr(unit);
}

}  // namespace trueblank::report
