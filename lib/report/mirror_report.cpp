// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/mirror_report.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "report/deviation_colours.h"
#include "report/effect_text.h"
#include "report/input_text.h"
#include "report/layout.h"
#include "report/mirror_words.h"

namespace trueblank::report {

namespace {

// Below this a flank is not called proud: less than a sheet of fine sanding paper takes off in a
// stroke, and less than any scan of 0.1 to 0.5 mm noise can show.
constexpr double worth_saying_mm = 0.05;

// A second scan that is further off than this part of the length is no scan of the same blank: ten
// times what phones do to a lure.
constexpr double poor_fit = 0.01;

// Two ways to lay a scan on that differ by less are as good as each other.
constexpr double alike = 1.1;

// A lure that lists more than that lies on a flank: no asymmetry of a blank does that.
constexpr double on_its_flank_deg = 45;

std::string spot_text(const char* what, const symmetry::Spot& spot, const TextStyle& style) {
  const double depth = spot.deviation_mm < 0 ? -spot.deviation_mm : spot.deviation_mm;
  return std::string(what) + " " + length_text(depth, 2, style) +
         (spot.at_mm.y() < 0 ? " on the left flank at " : " on the right flank at ") +
         fixed(spot.at_mm.x(), 0) + " mm from the nose";
}

std::string roundness_words(const symmetry::Roundness& worst, const TextStyle& style) {
  if (worst.out_of_round_mm < 0.005) return " It is round to 0.01 mm.";
  return " It is out of round by " + length_text(worst.out_of_round_mm, 2, style) +
         " at most, at " + fixed(worst.x_mm, 0) + " mm from the nose.";
}

std::string open_answer(const MirrorResult& result, const TextStyle& style) {
  const std::string give =
      " Say which way its back points (--back +z), or give three points of the split line "
      "(--split-line), or both eyes of the wire (--eyes) with a rough --back.";
  if (!result.round) {
    return "No answer yet: " + std::to_string(result.candidates.size()) +
           " mirror planes fit about equally well." + give;
  }
  std::string text =
      "No answer yet: the body is round, so that any plane through its long axis is a mirror plane "
      "as good as the next.";
  if (!result.roundness.empty()) {
    const auto worst =
        std::ranges::max_element(result.roundness, {}, &symmetry::Roundness::out_of_round_mm);
    text += roundness_words(*worst, style);
  }
  return text + give;
}

std::string water_words(const MirrorResult& result, const TextStyle& style) {
  if (!result.water || !result.water->effect) return "";
  const effect::SandingPlan& plan = result.water->plan;
  if (std::abs(plan.list_before_deg) > on_its_flank_deg) {
    return " In the water it lies on its " +
           std::string(plan.list_before_deg > 0 ? "right" : "left") + " flank (list " +
           fixed(std::abs(plan.list_before_deg), 1) +
           "°): that comes from its weights, not from what its sides differ by.";
  }
  std::string words = level_sentence(plan, patch_names(result), style);
  words[0] = 'i';  // It lies, it lists
  return " In the water " + words;
}

std::string limit_text(const MirrorResult& result) {
  if (!result.limit_mm) return "";
  const std::string limit = fixed(*result.limit_mm, 2) + " mm";
  if (!result.deviation_mm) return " Whether it keeps the limit of " + limit + " is not known.";
  return limit_missed(result) ? " That is above the limit of " + limit + "."
                              : " That is within the limit of " + limit + ".";
}

const char* from_text(const MirrorResult& result) {
  switch (result.plane_from) {
    case symmetry::PlaneFrom::shape:
      return result.record.drawn ? "the one that it is drawn about" : "found from the shape";
    case symmetry::PlaneFrom::back:
      return "found near the back that was given";
    case symmetry::PlaneFrom::split_line:
      return "through the split line that was given";
    case symmetry::PlaneFrom::given:
      return "as given";
    case symmetry::PlaneFrom::best_sand:
      return "where the least wood is lost";
  }
  return "";
}

void add_plane(Facts& facts, const MirrorResult& result, const TextStyle& style) {
  facts.add("mirror plane",
            std::string(from_text(result)) +
                (result.well_determined ? "" : "; the shape alone does not settle it"));
  facts.add("", "normal " + point_text(result.plane->normal, 5) + ", offset " +
                    fixed(result.plane->offset_mm, 3) + " mm in the file's axes");
  const symmetry::DeviationStatistics& d = *result.deviation_mm;
  facts.add("deviation", "95 % of the skin within " + length_text(d.p95, 3, style) + ", mean " +
                             fixed(d.mean_abs, 3) + ", rms " + fixed(d.rms, 3) + " mm");
  facts.add("proudest, shyest",
            "+" + fixed(d.max_proud, 3) + " mm, " + fixed(d.max_shy, 3) + " mm");
  if (result.noise.sigma_mm > 0 && !result.record.drawn) {
    facts.add("noise", fixed(result.noise.sigma_mm, 3) + " mm of one skin, holding together over " +
                           fixed(result.noise.correlation_mm, 1) + " mm");
  }
  facts.add("volumes", "left " + fixed(result.volumes->left_mm3 / 1000, 3) + " cm³, right " +
                           fixed(result.volumes->right_mm3 / 1000, 3) + " cm³");
}

void add_sanding(Facts& facts, const MirrorResult& result, const TextStyle& style) {
  if (!result.sanding) return;
  const symmetry::Sanding& sanding = *result.sanding;
  std::string text = wood_text(sanding.remove_mm3, result, style);
  if (sanding.remove_mm3 > 0) {
    text += " (left " + volume_text(sanding.left_mm3) + ", right " +
            volume_text(sanding.right_mm3) + ")";
  }
  if (!result.record.drawn) {
    text += "; " + volume_text(sanding.remove_raw_mm3) + " with all that is noise";
  }
  facts.add("to sand", text);
  if (sanding.deepest_at_mm) {
    facts.add("deepest", length_text(sanding.deepest_mm, 2, style) + " at " +
                             point_text(*sanding.deepest_at_mm, 1) + " mm, body frame");
  }
  if (sanding.mass_after_g) {
    facts.add("blank after", mass_text(*sanding.mass_after_g, style));
  }
}

// With the back that would choose it.
void add_candidates(Facts& facts, const MirrorResult& result) {
  for (std::size_t i = 0; i < result.candidates.size(); ++i) {
    const symmetry::Candidate& one = result.candidates[i];
    std::string text = "normal " + point_text(one.plane.normal, 4) + ", offset " +
                       fixed(one.plane.offset_mm, 2) + " mm, rms " + fixed(one.rms_mm, 3) + " mm";
    if (!result.plane && !result.round) {
      const geometry::Vec3 back = result.frame.x.cross(one.plane.normal);
      text +=
          "; --back " + fixed(back.x(), 2) + ',' + fixed(back.y(), 2) + ',' + fixed(back.z(), 2);
    }
    facts.add(i == 0 ? "candidates" : "", text);
  }
}

bool worth_a_word(const MirrorResult& result) {
  return result.extremes.proudest && result.extremes.proudest->deviation_mm >= worth_saying_mm;
}

}  // namespace

std::string none_without_plane(const std::string& what, const std::string& path) {
  return "No " + what + " was written to " + path +
         ": without a mirror plane there is nothing to show.";
}

std::string no_effect_without_plane(const std::string& sheet) {
  return "What it does in the water as " + sheet +
         " has it is not told: without a mirror plane there is no asymmetry to carry there.";
}

std::string no_effect_without_list(const std::string& sheet) {
  return "What it does in the water is not told: as " + sheet +
         " has it, the lure stands too steep to have a list, or is held by nothing.";
}

std::string not_told_apart_without_plane(const std::string& second) {
  return second + " was not compared: without a mirror plane there is no asymmetry to tell apart.";
}

std::string doubtful_alignment(const ScannedAgain& again, double length_mm) {
  if (again.rms_mm > poor_fit * length_mm) {
    return again.file + " fits on the first scan only to " + fixed(again.rms_mm, 2) +
           " mm rms: is it the same blank, at the same scale?";
  }
  if (again.runner_up_rms_mm < alike * again.rms_mm) {
    return again.file + " fits on the first scan in several ways (" + fixed(again.rms_mm, 3) +
           " and " + fixed(again.runner_up_rms_mm, 3) +
           " mm rms): the shape does not tell which way round it lies.";
  }
  return "";
}

bool limit_missed(const MirrorResult& result) {
  if (!result.limit_mm) return false;
  return !result.deviation_mm || result.deviation_mm->p95 > *result.limit_mm;
}

std::string answer(const MirrorResult& result, const TextStyle& style) {
  if (!result.plane || !result.deviation_mm) return open_answer(result, style) + limit_text(result);
  std::string text =
      "True to " + length_text(result.deviation_mm->p95, 2, style) + " (95 % of the skin)";
  if (worth_a_word(result)) {
    text += "; " + spot_text("proudest", *result.extremes.proudest, style);
  }
  return text + "." + limit_text(result) + sure_words(result, style) +
         sanding_words(result, style) + water_words(result, style);
}

std::string to_text(const MirrorResult& result, const TextStyle& style) {
  Facts facts;
  add_input(facts, result.input, result.record);
  facts.add("length", length_text(result.length_mm, 1, style));
  if (result.plane && result.deviation_mm && result.volumes) add_plane(facts, result, style);
  add_sanding(facts, result, style);
  if (result.map_scale_mm) facts.add("map", colour_legend(*result.map_scale_mm));
  if (style.verbose || !result.plane) add_candidates(facts, result);
  if (style.verbose) add_frame(facts, result.frame, result.guessed);
  std::string text = paragraph(answer(result, style)) + '\n' + facts.text();
  text += patches_text(result, style);
  if (result.water && result.water->effect) {
    text += effect_text(*result.water->effect, result.water->plan, patch_names(result),
                        rows_shown(style));
  } else if (worth_a_word(result)) {
    text +=
        '\n' + paragraph(
                   "In the water a proud flank lifts its own side, since it displaces more than "
                   "its wood weighs; above the waterline it sinks it.");
  }
  text += stations_text(result) + roundness_text(result);
  const std::string more = again_words(result, style);
  if (!more.empty()) text += '\n' + paragraph(more);
  if (!result.warnings.empty() && more.empty()) text += '\n';
  return text + notes(result.warnings);
}

}  // namespace trueblank::report
