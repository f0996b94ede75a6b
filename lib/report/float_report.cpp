// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/float_report.h"

#include <cmath>

#include "report/border_text.h"
#include "report/build_text.h"
#include "report/draws_text.h"
#include "report/firmness_text.h"
#include "report/input_text.h"
#include "report/layout.h"
#include "report/pose_text.h"
#include "report/record_text.h"
#include "report/water_text.h"

namespace trueblank::report {

namespace {

// Up to 7.4 g of surface tension a metre of waterline, and a lure has about 0.4 m of it: below
// this a dry lure may float higher than told.
constexpr double skin_of_water_g = 3;

constexpr std::size_t poses_in_answer = 3;

std::string under_water(const FloatResult& result, const water::RestPose& pose) {
  return percent(pose.submerged_mm3 / result.coated_volume_mm3);
}

// "71 % under water": only where there is a waterline to speak of.
std::string depth_words(const FloatResult& result, const water::RestPose& pose) {
  return pose.waterline_offset_mm ? ", " + under_water(result, pose) + " under water" : "";
}

std::string other_poses(const std::vector<water::RestPose>& poses) {
  if (poses.size() < 2) return "";
  std::string text = " It lies so from " + percent(poses[0].share) + " of all starts; it can also ";
  text += "lie ";
  for (std::size_t i = 1; i < poses.size() && i < poses_in_answer; ++i) {
    if (i > 1) text += ", or ";
    text += pose_words(poses[i]) + " (share " + percent(poses[i].share) + ")";
  }
  if (poses.size() > poses_in_answer) {
    text += ", and in " + std::to_string(poses.size() - poses_in_answer) + " more way" +
            (poses.size() - poses_in_answer == 1 ? "" : "s");
  }
  return text + ".";
}

// What leads where the lure is nearly otherwise.
std::string border_warning(const FloatResult& result) {
  std::string text;
  if (!result.balance.poses.empty() && near_border(result, 0)) {
    text += " Only just: it " + barrier_words(result, 0) + '.';
  }
  if (result.draws && result.draws->share_as_nominal < sure_share) {
    text += ' ' + draws_sentence(result);
  }
  return text;
}

std::string sinks_answer(const FloatResult& result, const TextStyle& style) {
  const water::Balance& balance = result.balance;
  const bool suspends = balance.state == water::State::suspends;
  std::string text = suspends ? "Suspends: " : "Sinks: ";
  text += mass_within(-balance.reserve_g, result.reserve_doubt.bound_g, style) + " in water";
  if (suspends) text += ", within 1 % of its mass";
  if (result.sink) text += "; it sinks at " + fall_words(*result.sink);
  if (balance.poses.empty()) return text + ".";
  return text + ". Set free under water it first hangs " + pose_words(balance.poses[0]) +
         ", before it gathers speed, which is not its angle while falling." + line_sentence(result);
}

std::string floats_answer(const FloatResult& result, const TextStyle& style) {
  const water::Balance& balance = result.balance;
  const bool suspends = balance.state == water::State::suspends;
  const std::string reserve =
      mass_within(balance.reserve_g, result.reserve_doubt.bound_g, style) + " in reserve";
  if (balance.poses.empty()) {
    return "No rest: it turns without stopping anywhere; " + reserve + ".";
  }
  const water::RestPose& first = balance.poses[0];
  std::string text;
  if (suspends) text = "Suspends, " + reserve + ", within 1 % of its mass. At the surface it lies ";
  if (!suspends) text = "Lies ";
  text += pose_words(first) + depth_words(result, first);
  if (!suspends) text += "; " + reserve;
  if (result.list_per_1g_2mm_deg && !first.indifferent) {
    text += "; 1 g moved 2 mm sideways lists it by " + degrees(*result.list_per_1g_2mm_deg);
  }
  return text + "." + other_poses(balance.poses);
}

std::string baseline_words(const FloatResult& result) {
  std::string text;
  for (const double deg : result.tail_down_baseline_deg) {
    if (!text.empty()) text += "; ";
    text += trim_words(deg);
  }
  return text + ", by the line from nose eye to tail eye" +
         (result.tail_down_baseline_deg.size() > 1 ? ", pose by pose" : "");
}

// What only --verbose wants: the frame and where each pose's forces act.
void add_details(Facts& facts, const FloatResult& result) {
  add_frame(facts, result.frame, result.guessed);
  int number = 0;
  for (const water::RestPose& pose : result.balance.poses) {
    const std::string line = pose.waterline_offset_mm
                                 ? "waterline at " + fixed(*pose.waterline_offset_mm, 2) +
                                       " mm along it, waterplane " + fixed(pose.waterplane_mm2, 1) +
                                       " mm²"
                                 : "all under water";
    facts.add("pose " + std::to_string(++number),
              "up " + point_text(pose.up, 5) + ", " + line + ", centre of buoyancy " +
                  point_text(pose.centre_of_buoyancy_mm, 2) + " mm");
  }
  if (result.tight_line) {
    const water::TightLine& line = result.tight_line->line;
    facts.add("tight line", lie_words(line.tail_down_deg, line.list_deg) + "; " +
                                fixed(line.tension_g, 2) + " g of pull, stiffness " +
                                fixed(line.stiffness_g_mm_per_deg, 2) + " g·mm/°, eye at " +
                                point_text(result.tight_line->eye_mm, 1) + " mm");
  }
  if (result.sink) {
    facts.add("falling", "Reynolds number " + figures(result.sink->reynolds.low, 2) + " to " +
                             figures(result.sink->reynolds.high, 2));
  }
}

std::string rig_words(const rig::RiggedLure& lure) {
  if (lure.ratio_g_per_100g_wood == 0) return "nothing but wood";
  return figures(lure.ratio_g_per_100g_wood, 3) +
         " g of wire, weights and hooks per 100 g of wood; " +
         figures(lure.ratio_without_hooks_g_per_100g_wood, 3) + " g without the hooks";
}

std::string facts_text(const FloatResult& result, const TextStyle& style) {
  Facts facts;
  facts.add("sheet",
            shown(result.sheet) + (result.title.empty() ? "" : ": " + shown(result.title)));
  add_input(facts, result.input, result.record);
  facts.add("length", length_text(result.length_mm, 1, style) + ", body " +
                          fixed(result.volume_mm3 / 1000, 2) + " cm³");
  add_record(facts, result.record, result.water.density_g_cm3, style);
  facts.add("wood", (result.wood_name.empty() ? "" : result.wood_name + ", ") +
                        fixed(result.wood_density_g_cm3, 3) + " g/cm³");
  facts.add("water", water_text(result.water));
  facts.add("mass", mass_text(result.balance.mass_g, style) + "; wholly under water it displaces " +
                        mass_within(result.balance.displacement_full_g,
                                    result.displacement_doubt.bound_g, style));
  facts.add("budget", budget_words(result.budget, style));
  facts.add("rig", rig_words(result.lure));
  facts.add("bench", bench_words(result.lure, style));
  facts.add("casting", casting_words(result.casting, style));
  const std::string hover = hover_words(result, style);
  if (!hover.empty()) facts.add("to suspend", hover);
  if (!result.tail_down_baseline_deg.empty()) facts.add("baseline", baseline_words(result));
  if (style.verbose) add_details(facts, result);
  return facts.text();
}

std::string cautions(const FloatResult& result) {
  std::string text;
  if (result.sink && result.sink->slow) {
    text += paragraph(
        "A slow fall: water drags more on slow things than the estimate allows for, so the true "
        "rate is below it.");
  }
  if (std::abs(result.balance.reserve_g) < skin_of_water_g) {
    text += paragraph(
        "Little reserve: the skin of the water can hold up a dry lure by a gram or two, and that "
        "is left out here. Wet it well, with a drop of soap in the tub.");
  }
  if (result.has_lead) {
    text += paragraph(
        "Lead: wash your hands, keep it from children and food; local rules come first, and some "
        "ban it. Tin, bismuth or brass do it without lead, tungsten in less room.");
  }
  return text;
}

}  // namespace

std::string answer(const FloatResult& result, const TextStyle& style) {
  return (result.balance.reserve_g < 0 ? sinks_answer(result, style)
                                       : floats_answer(result, style)) +
         border_warning(result);
}

std::string to_text(const FloatResult& result, const TextStyle& style) {
  std::string text = paragraph(answer(result, style)) +
                     paragraph(tank_sentence(result, style) + ' ' + waters_sentence(result.waters));
  text += '\n' + facts_text(result, style);
  text += '\n' + mass_table(result, style);
  const std::string poses = pose_table(result);
  if (!poses.empty()) text += '\n' + poses + firmness_text(result, style);
  for (const std::string& part :
       {border_text(result, style), draws_text(result), sweep_text(result.sweep, style)}) {
    if (!part.empty()) text += '\n' + part;
  }
  if (style.verbose) text += '\n' + waters_table_text(result.waters);
  const std::string last = cautions(result) + notes(result.warnings);
  return last.empty() ? text : text + '\n' + last;
}

}  // namespace trueblank::report
