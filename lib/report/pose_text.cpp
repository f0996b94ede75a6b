// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/pose_text.h"

#include <cmath>

#include "report/layout.h"

namespace trueblank::report {

namespace {

// Angles from which on another word is used. Level and upright are what the eye takes for them in
// a tub; the flank begins half way between back up and on the side.
constexpr double level_deg = 0.5;
constexpr double flank_deg = 45;
constexpr double belly_deg = 135;
constexpr double upright_deg = 85;  // beyond it a list has no meaning
constexpr double steep_deg = 60;
// Of a lure that is indifferent all round, in g·mm per degree; one that rolls freely about its long
// axis has a pitch stiffness of some g·mm per degree.
constexpr double nil_stiffness = 0.01;

std::string list_words(double list_deg) {
  const bool right = list_deg > 0;
  const double list = std::abs(list_deg);
  const std::string side = right ? "right" : "left";
  if (list < level_deg) return "back up";
  if (list < flank_deg) return "back up but listing " + degrees(list) + " to the " + side;
  if (list <= belly_deg) return "on its " + side + " flank (list " + degrees(list) + ")";
  if (180 - list < level_deg) return "belly up";
  return "belly up, turned over to the " + side + " (list " + degrees(list) + ")";
}

std::string maybe(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "–";
}

}  // namespace

std::string degrees(double deg) { return fixed(deg, 1) + "°"; }

std::string trim_words(double tail_down_deg) {
  if (std::abs(tail_down_deg) < level_deg) return "level";
  std::string text = tail_down_deg > 0 ? "tail " : "nose ";
  text += degrees(std::abs(tail_down_deg)) + " down";
  if (std::abs(tail_down_deg) > steep_deg) text += ", nearly upright";
  return text;
}

std::string lie_words(double tail_down_deg, const std::optional<double>& list_deg) {
  if (tail_down_deg > upright_deg) return "with the tail straight down";
  if (tail_down_deg < -upright_deg) return "with the nose straight down";
  if (!list_deg) {
    return "any side up (it rolls freely about its long axis), " + trim_words(tail_down_deg);
  }
  return list_words(*list_deg) + ", " + trim_words(tail_down_deg);
}

std::string pose_words(const water::RestPose& pose) {
  if (pose.indifferent && pose.pitch_stiffness_g_mm_per_deg.value_or(1) < nil_stiffness) {
    return "any way up: it stays as it is put";
  }
  const bool about_another_axis = pose.indifferent && pose.list_deg;
  return lie_words(pose.tail_down_deg, pose.list_deg) +
         (about_another_axis ? ", one of a ring that it turns through freely" : "");
}

std::string side_words(const water::RestPose& pose) {
  if (!pose.list_deg || std::abs(pose.tail_down_deg) > steep_deg) return "";
  const double list = std::abs(*pose.list_deg);
  if (list < flank_deg) return "back up";
  if (list > belly_deg) return "belly up";
  return *pose.list_deg > 0 ? "onto its right flank" : "onto its left flank";
}

std::string reserve_words(double reserve_g, const TextStyle& style) {
  return reserve_g < 0 ? mass_text(-reserve_g, style) + " in water"
                       : mass_text(reserve_g, style) + " in reserve";
}

std::string pose_table(const FloatResult& result) {
  if (result.balance.poses.empty()) return "";
  Table table;
  table.row(
      {"pose", "share", "tail", "list", "under", "roll", "pitch", "least", "GM roll", "GM pitch"});
  table.row({"", "%", "down °", "°", "water %", "g·mm/°", "g·mm/°", "g·mm/°", "mm", "mm"});
  int number = 0;
  for (const water::RestPose& pose : result.balance.poses) {
    table.row({std::to_string(++number) + (pose.indifferent ? " (rolls)" : ""),
               fixed(100 * pose.share, 0), fixed(pose.tail_down_deg, 1), maybe(pose.list_deg, 1),
               fixed(100 * pose.submerged_mm3 / result.coated_volume_mm3, 0),
               maybe(pose.roll_stiffness_g_mm_per_deg, 2),
               maybe(pose.pitch_stiffness_g_mm_per_deg, 2),
               fixed(pose.least_stiffness_g_mm_per_deg, 2), maybe(pose.gm_roll_mm, 2),
               maybe(pose.gm_pitch_mm, 1)});
  }
  return table.text() +
         "  Stiffness in g·mm per degree: at 5, 1 g moved 5 mm sideways lists it by 1°.\n";
}

}  // namespace trueblank::report
