// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/mirror_report.h"

#include "report/deviation_colours.h"
#include "report/input_text.h"
#include "report/layout.h"

namespace trueblank::report {

namespace {

// Below this a flank is not called proud: less than a sheet of fine sanding paper takes off in a
// stroke, and less than any scan of 0.1 to 0.5 mm noise can show.
constexpr double worth_saying_mm = 0.05;

std::string spot_text(const char* what, const symmetry::Spot& spot, const TextStyle& style) {
  const double depth = spot.deviation_mm < 0 ? -spot.deviation_mm : spot.deviation_mm;
  return std::string(what) + " " + length_text(depth, 2, style) +
         (spot.at_mm.y() < 0 ? " on the left flank at " : " on the right flank at ") +
         fixed(spot.at_mm.x(), 0) + " mm from the nose";
}

std::string open_answer(const MirrorResult& result) {
  const std::string give =
      " Say which way its back points (--back +z), or give three points of the split line "
      "(--split-line).";
  if (result.round) {
    return "No answer yet: the body is round, so that any plane through its long axis is a mirror "
           "plane as good as the next." +
           give;
  }
  return "No answer yet: " + std::to_string(result.candidates.size()) +
         " mirror planes fit about equally well." + give;
}

std::string limit_text(const MirrorResult& result) {
  if (!result.limit_mm) return "";
  const std::string limit = fixed(*result.limit_mm, 2) + " mm";
  if (!result.deviation_mm) return " Whether it keeps the limit of " + limit + " is not known.";
  return limit_missed(result) ? " That is above the limit of " + limit + "."
                              : " That is within the limit of " + limit + ".";
}

const char* from_text(symmetry::PlaneFrom from) {
  switch (from) {
    case symmetry::PlaneFrom::shape:
      return "found from the shape";
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
            std::string(from_text(result.plane_from)) +
                (result.well_determined ? "" : "; the shape alone does not settle it"));
  facts.add("", "normal " + point_text(result.plane->normal, 5) + ", offset " +
                    fixed(result.plane->offset_mm, 3) + " mm in the file's axes");
  const symmetry::DeviationStatistics& d = *result.deviation_mm;
  facts.add("deviation", "95 % of the skin within " + length_text(d.p95, 3, style) + ", mean " +
                             fixed(d.mean_abs, 3) + ", rms " + fixed(d.rms, 3) + " mm");
  facts.add("proudest, shyest",
            "+" + fixed(d.max_proud, 3) + " mm, " + fixed(d.max_shy, 3) + " mm");
  facts.add("volumes", "left " + fixed(result.volumes->left_mm3 / 1000, 3) + " cm³, right " +
                           fixed(result.volumes->right_mm3 / 1000, 3) + " cm³");
}

void add_candidates(Facts& facts, const std::vector<symmetry::Candidate>& candidates) {
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    facts.add(i == 0 ? "candidates" : "", "normal " + point_text(candidates[i].plane.normal, 4) +
                                              ", offset " +
                                              fixed(candidates[i].plane.offset_mm, 2) +
                                              " mm, rms " + fixed(candidates[i].rms_mm, 3) + " mm");
  }
}

std::string stations_text(const std::vector<geometry::Section>& stations) {
  if (stations.empty()) return "";
  Table table;
  table.row({"from nose", "left half", "right half", "right − left", "height", "left area",
             "right area"});
  table.row({"mm", "mm", "mm", "mm", "mm", "mm²", "mm²"});
  for (const geometry::Section& s : stations) {
    table.row({fixed(s.x_mm, 1), fixed(s.left_half_width_mm, 2), fixed(s.right_half_width_mm, 2),
               fixed(s.right_half_width_mm - s.left_half_width_mm, 2), fixed(s.height_mm(), 2),
               fixed(s.left_area_mm2, 1), fixed(s.right_area_mm2, 1)});
  }
  return '\n' + table.text();
}

bool worth_a_word(const MirrorResult& result) {
  return result.extremes.proudest && result.extremes.proudest->deviation_mm >= worth_saying_mm;
}

}  // namespace

std::string no_map_without_plane(const std::string& path) {
  return "No map was written to " + path +
         ": without a mirror plane there is no deviation to show.";
}

bool limit_missed(const MirrorResult& result) {
  if (!result.limit_mm) return false;
  return !result.deviation_mm || result.deviation_mm->p95 > *result.limit_mm;
}

std::string answer(const MirrorResult& result, const TextStyle& style) {
  if (!result.plane || !result.deviation_mm) return open_answer(result) + limit_text(result);
  std::string text =
      "True to " + length_text(result.deviation_mm->p95, 2, style) + " (95 % of the skin)";
  if (worth_a_word(result)) {
    text += "; " + spot_text("proudest", *result.extremes.proudest, style);
  }
  return text + "." + limit_text(result);
}

std::string to_text(const MirrorResult& result, const TextStyle& style) {
  Facts facts;
  add_input(facts, result.input);
  facts.add("length", length_text(result.length_mm, 1, style));
  if (result.plane && result.deviation_mm && result.volumes) add_plane(facts, result, style);
  if (result.map_scale_mm) facts.add("map", colour_legend(*result.map_scale_mm));
  if (style.verbose || !result.plane) add_candidates(facts, result.candidates);
  if (style.verbose) add_frame(facts, result.frame, result.guessed);
  std::string text = paragraph(answer(result, style)) + '\n' + facts.text();
  text += stations_text(result.stations);
  if (!result.stations.empty() || !result.warnings.empty() || worth_a_word(result)) text += '\n';
  if (worth_a_word(result)) {
    text += paragraph(
        "Proud: stands out further than the other side. In the water a proud flank lifts its own "
        "side, since it displaces more than its wood weighs; above the waterline it sinks it.");
  }
  return text + notes(result.warnings);
}

}  // namespace trueblank::report
