// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/mirror_words.h"

#include <algorithm>

#include "report/layout.h"

namespace trueblank::report {

namespace {

using symmetry::Patch;
using symmetry::Station;

// A scan with less noise than that is none: it is a drawn mesh, or stands for one.
constexpr double worth_naming_mm = 0.005;

bool is_scan(const MirrorResult& result) {
  return !result.record.drawn && result.noise.sigma_mm >= worth_naming_mm;
}

// Below these a plane is as sure as anyone can ask.
constexpr double least_deg = 0.01;
constexpr double least_offset_mm = 0.001;

std::string plane_words(const symmetry::PlaneUncertainty& sure) {
  if (sure.tilt_deg < least_deg && sure.yaw_deg < least_deg && sure.offset_mm < least_offset_mm) {
    return " The mirror plane is sure to better than 0.01° and 0.001 mm";
  }
  return " The mirror plane is sure to ± " + fixed(sure.tilt_deg, 2) + "° of tilt, ± " +
         fixed(sure.yaw_deg, 2) + "° of yaw and ± " + fixed(sure.offset_mm, 3) + " mm";
}

/// "the right flank, 38 to 61 mm from the nose, above the middle"
std::string place_words(const Patch& patch) { return "the " + patch.name; }

// Whether a patch may come from what the plane is off or from slow noise of the scan: one that is
// no higher than twice its doubt.
bool is_doubtful(const MirrorResult& result, std::size_t i) {
  return i < result.patch_doubt_mm.size() &&
         result.patches[i].greatest_mm < 2 * result.patch_doubt_mm[i];
}

std::string doubtful_words(const MirrorResult& result) {
  int doubtful = 0;
  for (std::size_t i = 0; i < result.patches.size(); ++i)
    doubtful += is_doubtful(result, i) ? 1 : 0;
  if (doubtful == 0) return "";
  const std::string and_so = " no higher than the plane's doubt and slow noise explain: leave ";
  if (result.patches.size() == 1) return " It is" + and_so + "it until a second scan shows it too.";
  const bool one = doubtful == 1;
  return ' ' + std::to_string(doubtful) + (one ? " of them is" : " of them are") + and_so +
         (one ? "it until a second scan shows it too."
              : "those until a second scan shows them too.");
}

const effect::PartEffect* effect_of_station(const MirrorResult& result, std::size_t i) {
  if (!result.water || !result.water->effect) return nullptr;
  const std::vector<effect::PartEffect>& slices = result.water->effect->slices;
  return i < slices.size() ? &slices[i] : nullptr;
}

}  // namespace

std::string volume_text(double volume_mm3) {
  if (volume_mm3 >= 1000) return fixed(volume_mm3 / 1000, 2) + " cm³";
  return fixed(volume_mm3, volume_mm3 < 10 ? 1 : 0) + " mm³";
}

std::string wood_text(double volume_mm3, const MirrorResult& result, const TextStyle& style) {
  std::string text = volume_text(volume_mm3);
  if (!result.water) return text;
  return text + ", " + mass_text(volume_mm3 / 1000 * result.water->wood_density_g_cm3, style);
}

std::string sure_words(const MirrorResult& result, const TextStyle& style) {
  std::string text;
  if (result.plane_uncertainty) {
    text = plane_words(*result.plane_uncertainty) + (is_scan(result) ? ";" : ".");
  }
  if (!is_scan(result)) return text;
  return text + (text.empty() ? " The" : " the") +
         " scan's noise, as far as it can be told from shape, is " +
         length_text(result.noise.sigma_mm, 2, style) + '.';
}

std::string sanding_words(const MirrorResult& result, const TextStyle& style) {
  if (!result.sanding) return "";
  if (result.patches.empty()) {
    return is_scan(result) ? " Nowhere is it proud by more than the noise explains: there is "
                             "nothing to sand."
                           : " There is nothing to sand.";
  }
  const Patch& first = result.patches.front();
  const std::string depth = "up to " + length_text(first.greatest_mm, 2, style) + " deep";
  const std::string doubt = doubtful_words(result);
  const std::string wood = wood_text(result.sanding->remove_mm3, result, style);
  if (result.patches.size() == 1) {
    return " Sand " + place_words(first) + ", " + depth + " (" + wood + ")." + doubt;
  }
  return " Sand " + std::to_string(result.patches.size()) + " places (" + wood + "), first " +
         place_words(first) + ", " + depth + '.' + doubt;
}

std::string again_words(const MirrorResult& result, const TextStyle& style) {
  if (result.again) {
    const ScannedAgain& again = *result.again;
    std::string text = "Of the deviation, " + length_text(again.body_mm.rms, 3, style) +
                       " rms stays with the body and " +
                       length_text(again.scanner_mm.rms, 3, style) +
                       " rms with the scanner (second scan laid on to " +
                       length_text(again.rms_mm, 3, style) + " rms).";
    if (again.scanner_mm.rms > again.body_mm.rms) {
      text += " More is the scanner's than the blank's: scan again before sanding.";
    }
    return text;
  }
  if (!result.plane || !is_scan(result)) return "";
  return "A slow bend of the whole scan looks just like a bent blank, and these figures can't know "
         "it. Turn the blank over, scan it again and give that scan as --again: it tells them "
         "apart.";
}

std::string patches_text(const MirrorResult& result, const TextStyle& style) {
  if (result.patches.empty()) return "";
  Table table;
  std::vector<std::string> names = {"proud patch", "from nose", "deepest", "±",
                                    "at",          "area",      "volume"};
  std::vector<std::string> units = {"", "mm", "mm", "mm", "mm", "mm²", "mm³"};
  if (result.water) {
    names.emplace_back("wood");
    units.emplace_back("g");
  }
  table.row(names);
  table.row(units);
  const std::size_t shown = std::min(result.patches.size(), rows_shown(style));
  for (std::size_t i = 0; i < shown; ++i) {
    const Patch& patch = result.patches[i];
    std::vector<std::string> cells = {
        std::to_string(i + 1),
        fixed(patch.from_station_mm, 0) + " to " + fixed(patch.to_station_mm, 0),
        fixed(patch.greatest_mm, 2),
        i < result.patch_doubt_mm.size() ? fixed(result.patch_doubt_mm[i], 2) : "–",
        fixed(patch.greatest_at_mm.x(), 0),
        fixed(patch.area_mm2, 0),
        fixed(patch.volume_mm3, 1)};
    if (result.water) {
      cells.push_back(patch.mass_g ? fixed(*patch.mass_g, 2) : "–");
    }
    table.row(std::move(cells));
  }
  std::string text = '\n' + table.text();
  // In the water they have another table, which names them.
  const bool named_below = result.water && result.water->effect;
  for (std::size_t i = 0; i < shown && !named_below; ++i) {
    text += paragraph(std::to_string(i + 1) + ": " + result.patches[i].name, 4, 2);
  }
  if (shown < result.patches.size()) {
    text += paragraph("And " + std::to_string(result.patches.size() - shown) +
                      " that matter less; --verbose shows them.");
  }
  if (!is_scan(result)) return text;
  const std::string noise = fixed(result.noise.sigma_mm, 2);
  return text + paragraph(
                    "A proud side faces a shy one: wood comes off the proud one. ±: by what "
                    "the plane may be off. What noise of " +
                    noise + " mm explains is left alone.");
}

std::string stations_text(const MirrorResult& result) {
  if (result.stations.empty()) return "";
  const bool in_water = result.water && result.water->effect;
  Table table;
  std::vector<std::string> names = {"from nose", "left half", "right half", "right − left"};
  std::vector<std::string> units = {"mm", "mm", "mm", "mm"};
  const auto column = [&](const char* name, const char* unit) {
    names.emplace_back(name);
    units.emplace_back(unit);
  };
  column("middle", "mm");
  column("below", "mm");
  column("above", "mm");
  if (in_water) column("list", "°");
  table.row(names);
  table.row(units);
  for (std::size_t i = 0; i < result.stations.size(); ++i) {
    const Station& s = result.stations[i];
    const double left = s.section.left_half_width_mm;
    const double right = s.section.right_half_width_mm;
    std::vector<std::string> cells = {fixed(s.section.x_mm, 1),
                                      fixed(left, 2),
                                      fixed(right, 2),
                                      with_sign(right - left, 2),
                                      with_sign(s.centre_offset_mm, 2),
                                      fixed(s.belly_below_mm, 2),
                                      fixed(s.back_above_mm, 2)};
    if (in_water) {
      const effect::PartEffect* part = effect_of_station(result, i);
      cells.push_back(part != nullptr ? with_sign(part->list_deg, 2) : "–");
    }
    table.row(std::move(cells));
  }
  return '\n' + table.text() +
         paragraph(
             "Middle: how far the section's middle lies to the right. Below, above: belly "
             "and back from the long axis.");
}

std::string roundness_text(const MirrorResult& result) {
  if (result.roundness.empty()) return "";
  Table table;
  table.row({"from nose", "mean radius", "out of round"});
  table.row({"mm", "mm", "mm"});
  for (const symmetry::Roundness& one : result.roundness) {
    table.row({fixed(one.x_mm, 1), fixed(one.radius_mm, 2), fixed(one.out_of_round_mm, 2)});
  }
  return '\n' + table.text() +
         paragraph(
             "Out of round: half of the greatest less the least radius, about each section's "
             "own middle.");
}

std::size_t rows_shown(const TextStyle& style) { return style.verbose ? 1000 : 6; }

std::vector<std::string> patch_names(const MirrorResult& result) {
  std::vector<std::string> names;
  for (const Patch& patch : result.patches) names.push_back(patch.name);
  return names;
}

}  // namespace trueblank::report
